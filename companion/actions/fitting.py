"""The fit of the chosen plan, made again whenever something it depends on changes."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.said_today import count_today
from companion.state.session import Fit
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.movements.movement import Equipment
from engine.plan.adjustment import Adjustment, in_force
from engine.record.history import History
from engine.record.noted_pain import severe_days
from engine.session.fitted import FittedSession
from engine.today.care import Care, pressure_too_high
from engine.today.day import Today
from engine.today.easy_movement import easy_movement
from engine.today.learned import Learned
from engine.today.loads import free_for, loads_for
from engine.today.no_session import NoSession
from engine.today.question import answer
from storage.models import KitOwned


def learn(context: Context, history: History) -> None:
    """Works out what earlier sessions say about the next one."""
    context.state.learned = Learned.from_history(history)


def asked_by_coach(context: Context) -> tuple[Adjustment, ...]:
    """The coach's adjustments in force for this plan and person today."""
    state, today = context.state, context.now().date()
    ids = state.home.profile.ids if state.home.profile else None
    return in_force(state.plans.adjustments, state.plans.chosen, today, ids=ids)


def fit(context: Context) -> None:
    """Fits the chosen plan. This is quick enough to do on every change of a choice."""
    count_today(context)
    state, plan = context.state, context.state.plans.chosen
    today = _today(context)
    made = answer(plan, today, state.learned, context.state.home.rack, asked_by_coach(context))
    state.fit.picked = None
    if isinstance(made, NoSession):
        _without_session(state.fit, made, today)
    else:
        state.fit.care, state.fit.offer = made.care, made.offer
        state.fit.no_session, state.fit.answers = None, {}
    find_easy_movement(context)


def find_easy_movement(context: Context) -> None:
    """Works out what may be done on a day without a session, from what was answered about the pain."""
    state, why = context.state, context.state.fit.no_session
    state.fit.easy = None
    if why is not None:
        today, asked = _today(context), asked_by_coach(context)
        state.fit.easy = easy_movement(why, state.fit.answers, today, state.learned, asked)


def _today(context: Context) -> Today:
    state, profile = context.state, context.state.home.profile
    return Today(
        day=context.now().date(),
        minutes=state.fit.minutes,
        kit=state.home.kit,
        without=state.home.without,
        sore=state.body.sore,
        rated=state.body.rated,
        spared=state.body.spared,
        noted_days=severe_days(state.body.noted),
        sore_muscles=state.body.sore_muscles,
        pressure_high=bool(state.body.pressure_high),
        not_yet=state.body.not_yet,
        easy_session=state.body.easy_session,
        flags=profile.flags if profile else (),
        pregnancy=profile.pregnancy if profile else None,
        birth=profile.birth if profile else None,
    )


def _without_session(fit: Fit, why: NoSession, today: Today) -> None:
    """Nothing to start. What was answered stays until the pain is said otherwise; what else speaks against a
    session today is said first."""
    if fit.no_session != why:
        fit.answers = {}
    care = Care(pain=tuple(pressure_too_high(today)))
    fit.care, fit.offer, fit.no_session = care, None, why


def fit_and_show(context: Context) -> None:
    fit(context)
    context.state.on_change()


async def choose_plan(context: Context, plan_id: str) -> None:
    """Makes a plan the one of the next sessions, and remembers it on this device."""
    state = context.state
    state.plans.chosen_id = plan_id
    state.device.settings = state.device.settings.model_copy(update={"plan_id": plan_id})
    fit_and_show(context)
    if not state.read_only:
        await context.keep_settings()


async def toggle_absent(context: Context, equipment: Equipment) -> None:
    """Says that something is not in the room, or that it is after all."""
    absent = set(context.state.home.without) ^ {equipment}
    context.state.home.without = tuple(one for one in Equipment if one in absent)
    await save_kit(context)


async def save_kit(context: Context) -> None:
    """Fits and then saves, so that somebody who presses start at once gets what they just chose."""
    fit_and_show(context)

    async def write() -> None:
        home = context.state.home
        owned = KitOwned(dumbbells=home.kit, rack=home.rack, absent=home.without)
        await context.store.person.save_kit(owned)

    await context.keeping.keep("kit", write)


def proposed(context: Context, session: FittedSession) -> tuple[LoadProposal, ...]:
    """The load proposed for each loaded movement of a session."""
    return loads_for(
        session,
        context.state.learned.history.exposures,
        context.state.home.rack,
        adjustments=asked_by_coach(context),
        today=context.now().date(),
        sore_muscles=context.state.body.sore_muscles,
        flags=context.profile().flags,
        easy_session=context.state.body.easy_session,
    )


def proposed_free(context: Context, session: FittedSession) -> tuple[FreeProposal, ...]:
    """How to do each movement of a session that takes no weight."""
    return free_for(
        session,
        context.state.learned.history.exposures,
        today=context.now().date(),
        sore_muscles=context.state.body.sore_muscles,
        flags=context.profile().flags,
        easy_session=context.state.body.easy_session,
    )
