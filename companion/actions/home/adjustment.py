"""What the coach asks of this person: shown in sentences before it is taken."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.fitting import asked_by_coach, fit
from companion.state.screen import Screen
from engine.plan.adjustment import Adjustment as CoachAdjustment
from engine.today.adjusted import minutes_hint


class Adjustment:
    def __init__(self, context: Context) -> None:
        self._context = context

    def look_at(self, adjustment: CoachAdjustment) -> None:
        plans = self._context.state.plans
        plans.adjustment_shown, plans.faults = adjustment, ()
        self._context.show(Screen.adjustment)

    async def take(self) -> None:
        """Takes the adjustment that is shown: it shapes every fit while it is in force, and the minutes it
        suggests are set for the next session."""
        context, plans = self._context, self._context.state.plans
        if plans.adjustment_shown is not None:
            await context.store.person.save_adjustment(plans.adjustment_shown)
            plans.adjustments = await context.store.person.adjustments()
            plans.adjustment_shown = None
            minutes = minutes_hint(asked_by_coach(context))
            context.state.fit.minutes = minutes or context.state.fit.minutes
            fit(context)
        context.show(Screen.setup)
