"""Questions for the coach that a week suggests, for the person to change, drop or keep."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Sequence
from datetime import date

from engine.base.message import MOST_LISTED, Argument, Count, at_most, message
from engine.base.model import canonical_json
from engine.coach.question import Question
from engine.coach.session_report import MovementReport, SessionReport, counted
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal
from engine.load.sides import SIDE_WEAKER, side_question
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.terms import joint_term, named
from engine.plan.plan import GiveUp
from engine.record.exposure import Exposure
from engine.record.record import LimitedBy
from engine.record.sets import is_whole

OFTEN = 2
"""What came up this often in a week is worth a question. † Our judgement, no source."""
MOST_PROPOSED = 8
"""More than can be talked through is not proposed. † Our judgement, no source."""
MOST_NAMED = 3
"""The most movements that one question names."""
LIMITS = {
    LimitedBy.grip: message("limit_of_grip"),
    LimitedBy.breath: message("limit_of_breath"),
    LimitedBy.balance: message("limit_of_balance"),
    LimitedBy.position: message("limit_of_position"),
    LimitedBy.joint: message("limit_of_joint"),
}
"""What limits besides the muscles."""


def week_questions(
    sessions: Sequence[SessionReport],
    exposures: Iterable[Exposure],
    left_out: Iterable[AfterPain],
    *,
    today: date,
    proposed: Iterable[LoadProposal | FreeProposal] = (),
) -> tuple[Question, ...]:
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


def _about_left_out(movement: AfterPain, today: date) -> Question:
    name = named(movement.movement, movement.name)
    joint = joint_term((movement.joint, movement.side))
    if movement.asks_for_clinician(today):
        asked = message("clinician_question", movement=name, joint=joint)
    elif movement.stage is Stage.returning:
        asked = message("returning_question", movement=name, joint=joint)
    else:
        asked = message("left_out_question", movement=name, joint=joint)
    return Question(said=asked, about="pain")


def _sides(sessions: Sequence[SessionReport], exposures: Iterable[Exposure]) -> Iterator[Question]:
    """A side that was weaker in three sessions, by variant; intervals and tempos of a variant count
    together."""
    names = {(one.movement, one.variant, one.key.kit): (one.name, one.weight) for one in _movements(sessions)}
    of_variant: dict[object, list[Exposure]] = {variant: [] for variant in names}
    for exposure in exposures:
        of_variant.get((exposure.key.movement, exposure.key.variant, exposure.key.kit), []).append(exposure)
    for variant, (name, weight) in names.items():
        asked = side_question(named(variant[0], name), of_variant[variant], weight)
        if asked is not None:
            yield Question(said=asked)


def _steps(proposed: Iterable[LoadProposal | FreeProposal]) -> Iterator[Question]:
    """What the proposals ask about their steps; their questions about sides are asked already."""
    for one in proposed:
        if one.question is not None and one.question.code != SIDE_WEAKER:
            yield Question(said=one.question)


def _below_minimum(sessions: Sequence[SessionReport]) -> Iterator[Question]:
    short = [one for one in sessions if one.below_minimum]
    if short:
        minutes = at_most(MOST_LISTED, [Count(count=one.minutes) for one in short])
        asked = message("below_minimum_question", sessions=Count(count=len(short)), minutes=minutes)
        yield Question(said=asked, about="given_up")


def _without_effort(sessions: Sequence[SessionReport], away: Collection[str]) -> Iterator[Question]:
    """Loaded movements for which nobody said an effort all week: their loads cannot rise.

    One in ``away`` is out after pain or on its way back, so its load rises for another reason or not at all;
    one that was never worked to the end of a set has no repetitions left to speak of.
    """
    said: dict[Argument, bool] = {}
    for of_one in _movements(sessions):
        if of_one.dumbbells and of_one.movement not in away and any(map(is_whole, of_one.sets_done())):
            rated = any(done.effort is not None for done in of_one.sets)
            said[of_one.term] = said.get(of_one.term, False) or rated
    silent = [one for one, rated in said.items() if not rated]
    if silent:
        movements = at_most(MOST_NAMED, silent)
        yield Question(said=message("effort_not_said_question", movements=movements), about="effort")


def _position(sessions: Sequence[SessionReport]) -> Iterator[Question]:
    lost = dict.fromkeys(one.term for one in _movements(sessions) if one.sets_with_form_slipped)
    if lost:
        movements = at_most(MOST_NAMED, tuple(lost))
        yield Question(said=message("form_slipped_question", movements=movements))


def _limits(sessions: Sequence[SessionReport]) -> Iterator[Question]:
    """What limited a movement in several sets, other than its muscles."""
    limits = Counter(
        (one.term, done.limited_by) for one in _movements(sessions) for done in one.sets if done.limited_by
    )
    for (movement, limit), times in limits.items():
        if limit in LIMITS and times >= OFTEN:
            asked = message(
                "limited_question", movement=movement, limit=LIMITS[limit], sets=Count(count=times)
            )
            yield Question(said=asked, about="pain" if limit is LimitedBy.joint else None)


def _given_up(sessions: Sequence[SessionReport]) -> Iterator[Question]:
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
            yield Question(said=asked, about="given_up")


def _movements(sessions: Iterable[SessionReport]) -> Iterator[MovementReport]:
    return (of_one for session in sessions for of_one in session.movements)
