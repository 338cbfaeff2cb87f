"""Minutes and kit: every change of a choice fits the plan anew."""

from __future__ import annotations

from uuid import uuid4

from pydantic import JsonValue

from companion.actions.base import Base
from engine.base.periods import iso_week
from engine.fit.offer import offer
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.movements.room import SoreJoint
from engine.record.follow_up import FollowUp, follow_up
from engine.record.record import AmendedField, Amendment
from engine.session.fitted import FittedSession
from engine.today.question import Today, question
from storage.models import KitOwned
from storage.store import amended_records


class Fitting(Base):
    def refit(self) -> None:
        """Fits the plan anew; pure and quick, so it runs on every change of a choice."""
        state = self.state
        today = Today(
            day=self.now().date(),
            minutes=state.minutes,
            kit=state.kit,
            without=state.without,
            sore=state.sore,
            rated=state.said_today,
            sore_muscles=state.sore_muscles,
            flags=state.profile.flags if state.profile else (),
        )
        asked = question(state.plan, today, self._learned, self.adjustments_now())
        state.care = asked.care
        state.offer, state.picked = offer(state.plan, asked.asked, asked.choice), None

    async def _open_questions(self) -> FollowUp | None:
        """What the latest session still asks; one week is read for it, and only where it is recent."""
        if not self._history.days or self.state.read_only:
            return None
        week = iso_week(self._history.days[-1])
        records = await amended_records(self.store, week)
        return follow_up(records, await self.store.sessions.amendments_in(week), self.now())

    async def _amend(self, record_id: str, field: AmendedField, value: JsonValue) -> None:
        await self.store.sessions.amend(
            Amendment(id=str(uuid4()), record_id=record_id, at=self.now(), field=field, value=value)
        )

    def set_minutes(self, minutes: int) -> None:
        self.state.minutes = minutes
        self._refitted()

    async def choose_plan(self, plan_id: str) -> None:
        """The plan of the next sessions, until another one is chosen."""
        state = self.state
        state.plan_id, state.settings = plan_id, state.settings.model_copy(update={"plan_id": plan_id})
        self._refitted()
        if not state.read_only:
            await self.store.person.save_settings(state.settings)

    def pick(self, session: FittedSession | None) -> None:
        """Takes an alternative, or goes back to the best fit with None."""
        self.state.picked = session
        self.state.on_change()

    async def choose_kit(self, kit: str) -> None:
        self.state.kit = Kit(kit)
        await self._keep_kit()

    async def toggle_absent(self, equipment: Equipment) -> None:
        absent = set(self.state.without) ^ {equipment}
        self.state.without = tuple(one for one in Equipment if one in absent)
        await self._keep_kit()

    async def _keep_kit(self) -> None:
        """Fits first: whoever presses start at once gets what was just chosen."""
        self._refitted()
        state = self.state
        await self.store.person.save_kit(KitOwned(dumbbells=state.kit, rack=state.rack, absent=state.without))

    def rate_sore(self, joint: Joint, side: Side | None, rating: int) -> None:
        """A joint that hurts today, 0 takes it back."""
        others = tuple(s for s in self.state.sore if (s.joint, s.side) != (joint, side))
        added = (SoreJoint(joint=joint, side=side, rating=rating),) if rating else ()
        self.state.sore = others + added
        self.state.said_today |= {(joint, side)}
        self._refitted()

    def rate_sore_muscles(self, rating: int) -> None:
        """How sore the muscles are today, 0 to 10: fewer rounds, never other movements."""
        self.state.sore_muscles = rating
        self._refitted()

    def _refitted(self) -> None:
        self.refit()
        self.state.on_change()
