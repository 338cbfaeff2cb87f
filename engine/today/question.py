"""The question put to the fit: what a person has and says today, shaped by history and the coach's word; and
the whole answer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from engine.fit.asked import Asked
from engine.fit.choose import Choice, choose
from engine.fit.offer import Offer, offer
from engine.growth.one_load import one_load
from engine.growth.round_more import round_more
from engine.load.proposal import LoadProposal
from engine.load.propose import starting_message
from engine.load.rack import Rack
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.today.adjusted import with_adjustments
from engine.today.care import Care, care_for
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.loads import loads_for
from engine.today.mornings import after_mornings, what_pain_changes
from engine.today.no_session import NoSession, hurt_lately, no_session


@dataclass(frozen=True)
class FitQuestion:
    """What to ask of the fit, the movements already chosen for it, and the care that shaped it.

    ``choice`` is ``choose(plan, asked.room)``, to be handed to ``offer``.
    """

    asked: Asked
    choice: Choice
    care: Care


def question(
    plan: SessionPlan, today: Today, learned: Learned, adjustments: Iterable[Adjustment] = ()
) -> FitQuestion | NoSession:
    """The question for a plan (free of faults) today, or why there is no strength session.

    ``adjustments`` are those ``in_force`` today. Care is taken of the movements as they would be without
    adjustments. Movements are chosen once, and a second time only where the coach spares a joint.
    """
    pain = no_session(today.sore, again=hurt_lately(today.day, learned.history, today.noted_days))
    if pain is not None:
        return pain
    worse = after_mornings(learned.history, plan.known_movements())
    room = today.room((*learned.after_pain, *worse))
    choice = choose(plan, room)
    care = care_for(plan, choice, learned.history, today)
    care = replace(care, pain=tuple(what_pain_changes(learned.history, worse, today.spared, today.rated)))
    asked = Asked(minutes=today.minutes, room=room, first_side=learned.first_side, pace=learned.pace)
    asked = with_adjustments(care.over(asked), plan, adjustments, today.day)
    return FitQuestion(asked, choice if asked.room == room else choose(plan, asked.room), care)


@dataclass(frozen=True)
class Answer:
    """What the fit offers, and the care that shaped it."""

    offer: Offer
    care: Care


def answer(
    plan: SessionPlan,
    today: Today,
    learned: Learned,
    rack: Rack,
    adjustments: Iterable[Adjustment] = (),
) -> Answer | NoSession:
    """The answer for a plan (free of faults) today, or why there is no strength session.

    A weight that is heavier than the last time keeps its practice, which may cost a round.
    """
    known = tuple(adjustments)
    put = question(plan, today, learned, known)
    if isinstance(put, NoSession):
        return put
    made, care = offer(plan, put.asked, put.choice), put.care
    loads = _loads(made, today, learned, rack, known)
    if loads and not care.practice_required:
        careful = _with_loads(plan, put, today, learned, loads)
        if careful.practice_required:
            care = careful
            made = offer(plan, replace(put.asked, practice_required=True), put.choice)
            loads = _loads(made, today, learned, rack, known)
    said = starting_message(loads), one_load(loads), round_more(loads, made.missing_ms)
    return Answer(made, replace(care, said=(*care.said, *filter(None, said))))


def _loads(
    made: Offer, today: Today, learned: Learned, rack: Rack, adjustments: Iterable[Adjustment]
) -> tuple[LoadProposal, ...]:
    if made.session is None:
        return ()
    return loads_for(
        made.session,
        learned.history.exposures,
        rack,
        adjustments=adjustments,
        today=today.day,
        sore_muscles=today.sore_muscles,
        flags=today.flags,
        easy_session=today.easy_session,
    )


def _with_loads(
    plan: SessionPlan, put: FitQuestion, today: Today, learned: Learned, loads: Iterable[LoadProposal]
) -> Care:
    """The care that the proposed loads ask for as well."""
    heaviest_g: dict[str, int] = {}
    for one in loads:
        slug = one.key.movement
        heaviest_g[slug] = max(heaviest_g.get(slug, 0), one.load_g or 0, one.heavier_g or 0)
    care = care_for(plan, put.choice, learned.history, today, loads_g=heaviest_g)
    return replace(care, pain=put.care.pain)
