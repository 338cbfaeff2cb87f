"""Questions for the coach that a week suggests, for the person to change, drop or keep."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date

from engine.base.message import Count, message
from engine.base.model import canonical_json
from engine.coach.question import About, Suggested
from engine.coach.session_report import MovementReport, SessionReport, counted
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.load.sides import SIDE_WEAKER, side_question
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.terms import named
from engine.movements.words import joint_word
from engine.plan.plan import GiveUp
from engine.record.exposure import Exposure
from engine.record.record import LimitedBy
from engine.record.sets import is_whole

OFTEN = 2
"""What came up this often in a week is worth a question. † Our judgement, no source."""
MOST_PROPOSED = 8
"""More than can be talked through is not proposed. † Our judgement, no source."""


def week_questions(
    sessions: Sequence[SessionReport],
    exposures: Iterable[Exposure],
    left_out: Iterable[AfterPain],
    *,
    today: date,
    proposed: Iterable[LoadProposal | FreeProposal] = (),
) -> tuple[Suggested, ...]:
    """What to ask about the ``sessions`` of a week, easy movement apart, at most 8 questions, pain first.

    ``exposures`` are those up to the end of the week, the earliest first; only movements of the week are
    asked about. ``left_out`` are the movements left out after pain, ``proposed`` is what the next session
    would be, where that is known.
    """
    sessions, away, exposures = counted(sessions), tuple(left_out), tuple(exposures)
    found = [
        *(_about_left_out(one, today) for one in away),
        *_sides(sessions, exposures),
        *_steps(proposed),
        *_below_minimum(sessions),
        *_without_effort(sessions, {one.movement for one in away}),
        *_position(sessions),
        *_limits(sessions),
        *_given_up(sessions),
    ]
    return tuple(found[:MOST_PROPOSED])


def _about_left_out(movement: AfterPain, today: date) -> Suggested:
    if movement.asks_for_clinician(today):
        ask = "a health professional should look at it; what takes its place until then?"
    elif movement.stage is Stage.returning:
        ask = "it comes back at a part of its load; how far should it go down?"
    else:
        ask = "what takes its place?"
    where = joint_word(movement.joint, movement.side)
    return Suggested(
        f"{movement.name} is left out after pain in the {where}: {ask}",
        about="pain",
    )


def _sides(sessions: Sequence[SessionReport], exposures: Iterable[Exposure]) -> Iterator[Suggested]:
    """A side that was weaker in three sessions, by variant; intervals and tempos of a variant count
    together."""
    names = {(one.movement, one.variant, one.key.kit): (one.name, one.weight) for one in _movements(sessions)}
    of_variant: dict[object, list[Exposure]] = {variant: [] for variant in names}
    for exposure in exposures:
        of_variant.get((exposure.key.movement, exposure.key.variant, exposure.key.kit), []).append(exposure)
    for variant, (name, weight) in names.items():
        asked = side_question(named(variant[0], name), of_variant[variant], weight)
        if asked is not None:
            yield Suggested(asked)


def _steps(proposed: Iterable[LoadProposal | FreeProposal]) -> Iterator[Suggested]:
    """What the proposals ask about their steps; their questions about sides are asked already."""
    for one in proposed:
        if one.question is not None and one.question.code != SIDE_WEAKER:
            yield Suggested(one.question)


def _below_minimum(sessions: Sequence[SessionReport]) -> Iterator[Suggested]:
    short = [one for one in sessions if one.below_minimum]
    if short:
        times = "One session" if len(short) == 1 else f"{len(short)} sessions"
        minutes = ", ".join(f"{one.minutes:g}" for one in short)
        yield Suggested(
            f"{times} had fewer rounds than the plan asks for (minutes: {minutes}): change the plan?",
            about="given_up",
        )


def _without_effort(sessions: Sequence[SessionReport], away: Collection[str]) -> Iterator[Suggested]:
    """Loaded movements for which nobody said an effort all week: their loads cannot rise.

    One in ``away`` is out after pain or on its way back, so its load rises for another reason or not at all;
    one that was never worked to the end of a set has no repetitions left to speak of.
    """
    said: dict[str, bool] = {}
    for of_one in _movements(sessions):
        if of_one.dumbbells and of_one.movement not in away and any(map(is_whole, of_one.sets_done())):
            rated = any(done.effort is not None for done in of_one.sets)
            said[of_one.name] = said.get(of_one.name, False) or rated
    silent = [name for name, rated in said.items() if not rated]
    if silent:
        yield Suggested(
            f"Repetitions left were not said for {_listed(silent)}, so no load rises: what is the aim?",
            about="effort",
        )


def _position(sessions: Sequence[SessionReport]) -> Iterator[Suggested]:
    lost = Counter(one.name for one in _movements(sessions) if not all(s.form_held for s in one.sets))
    if lost:
        yield Suggested(f"Form slipped in {_listed(lost)}: an easier version, or less range?")


def _limits(sessions: Sequence[SessionReport]) -> Iterator[Suggested]:
    """What limited a movement in several sets, other than its muscles."""
    limits = Counter(
        (one.name, done.limited_by)
        for one in _movements(sessions)
        for done in one.sets
        if done.limited_by not in (None, LimitedBy.muscle)
    )
    for (name, limit), times in limits.items():
        if times >= OFTEN:
            about: About | None = "pain" if limit is LimitedBy.joint else None
            yield Suggested(f"{limit.capitalize()} limited {name} in {times} sets: why?", about=about)


def _given_up(sessions: Sequence[SessionReport]) -> Iterator[Suggested]:
    """What most of the sessions gave up for lack of minutes."""
    gave_up = (one for s in sessions for one in {r.said for r in s.reasons if r.code in set(GiveUp)})
    given = sorted(Counter(gave_up).items(), key=lambda one: (-one[1], canonical_json(one[0])))
    for said, times in given:
        if times >= OFTEN and times * 2 > len(sessions):
            asked = message(
                "plan_too_long_question",
                times=Count(count=times),
                sessions=Count(count=len(sessions)),
                said=said,
            )
            yield Suggested(asked, about="given_up")


def _movements(sessions: Iterable[SessionReport]) -> Iterator[MovementReport]:
    return (of_one for session in sessions for of_one in session.movements)


def _listed(names: Iterable[str]) -> str:
    """“the row, the press, the squat and 2 more”: at most three names, so that the sentence stays short."""
    known = list(names)
    shown, more = known[:3], len(known) - 3
    if more > 0:
        return f"{', '.join(shown)} and {more} more"
    return " and ".join(filter(None, [", ".join(shown[:-1]), shown[-1]]))
