"""The ways between screens."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from companion.actions.actions import Actions
    from companion.state.plan_on_desk import PlanOnDesk
    from engine.plan.plan import SessionPlan


class Go:
    """Each method shows a screen."""

    def __init__(self, do: Actions) -> None:
        self._do = do
        self.setup = do.setup.show
        self.afterwards = do.afterwards.show

    async def week(self) -> None:
        await self._do.week.show()

    async def record(self, record_id: str) -> None:
        await self._do.record.open(record_id)

    async def kit(self) -> None:
        await self._do.kit.show()

    async def cues(self) -> None:
        await self._do.cues.show()

    async def settings(self) -> None:
        await self._do.settings.show()

    def differences(self) -> None:
        self._do.differences.show()

    async def plans(self) -> None:
        await self._do.plans.show()

    async def write_plan(self, plan: SessionPlan | None = None) -> None:
        await self._do.desk.write_plan(plan)

    async def go_on_writing(self, plan: PlanOnDesk) -> None:
        await self._do.desk.go_on_writing(plan)

    async def to_somebody_else(self) -> None:
        """Asks who trains now."""
        await self._do.opening.ask_who()

    def pages(self) -> None:
        self._do.pages.show()
