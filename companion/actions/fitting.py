"""The fit of the chosen plan, made again whenever something it depends on changes."""

from __future__ import annotations

from companion.actions.context import Context
from engine.fit.offer import offer
from engine.load.proposal import LoadProposal
from engine.plan.adjustment import Adjustment, in_force
from engine.record.history import History
from engine.session.fitted import FittedSession
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.loads import Weights, loads_for
from engine.today.question import question
from storage.models import KitOwned


def learn(context: Context, history: History) -> None:
    """Takes over what earlier sessions say."""
    context.state.learned = Learned.from_history(history)


def asked_by_coach(context: Context) -> tuple[Adjustment, ...]:
    """What the coach asks that holds for this plan and person today."""
    state, today = context.state, context.now().date()
    own = state.home.profile.trainee_id if state.home.profile else None
    return in_force(state.plans.adjustments, state.plans.chosen, today, trainee_id=own)


def fit(context: Context) -> None:
    """Fits the chosen plan. Pure and quick, so it runs on every change of a choice."""
    state, plan = context.state, context.state.plans.chosen
    today = Today(
        day=context.now().date(),
        minutes=state.fit.minutes,
        kit=state.home.kit,
        without=state.home.without,
        sore=state.body.sore,
        rated=state.body.rated,
        sore_muscles=state.body.sore_muscles,
        flags=state.home.profile.flags if state.home.profile else (),
    )
    put = question(plan, today, state.learned, asked_by_coach(context))
    state.fit.care = put.care
    state.fit.offer, state.fit.picked = offer(plan, put.asked, put.choice), None


def fit_and_show(context: Context) -> None:
    fit(context)
    context.state.on_change()


async def save_kit(context: Context) -> None:
    """Fits first: somebody who presses start at once gets what was just chosen."""
    fit_and_show(context)
    home = context.state.home
    owned = KitOwned(dumbbells=home.kit, rack=home.rack, absent=home.without)
    await context.store.person.save_kit(owned)


def proposed(context: Context, session: FittedSession) -> tuple[LoadProposal, ...]:
    """What to lift in a session, one proposal for each loaded movement."""
    return loads_for(
        session,
        context.state.learned.history.exposures,
        Weights(context.state.home.rack, context.profile().unit),
        adjustments=asked_by_coach(context),
        today=context.now().date(),
    )
