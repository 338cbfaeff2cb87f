"""The adjustment: what the coach changes for one person for some days, without writing a new plan.

The person sees it in plain sentences before accepting it; then it shapes each fit while it is in force. It
asks for less, or lets a load rise that was earned. It never overrides a stop rule, a sore joint, or what is
left out after pain.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from datetime import date
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.base.issue import Issue, Unreadable
from engine.base.message import Argument, Count, Day, Message, Own, message
from engine.base.model import Identifier, Model, Name, Sentence, Slug
from engine.base.reading import parse_json
from engine.movements.movement import PAIRED_JOINTS, Joint, Movement, Side
from engine.movements.terms import joint_term, movement_term
from engine.plan.plan import SessionPlan

LONGEST_DAYS = 92
"""A quarter of a year. What should last longer belongs in the plan. † Our judgement, no source."""

MOST_DAYS_AHEAD = 1
"""The coach's zone may have reached the next day already."""


class SpareJoint(Model):
    """A joint that may take no load at all, until the adjustment ends or an earlier day."""

    kind: Literal["spare"] = "spare"
    joint: Joint
    side: Literal[Side.left, Side.right] | None = None
    until: date | None = None


class NextWeight(Model):
    """The next weight is allowed, whatever the published limits of a rise say, once it was earned by two
    clear sessions, or by one with ``after_one``."""

    kind: Literal["next_weight"] = "next_weight"
    movement: Slug
    after_one: bool = False


class RoundsLimit(Model):
    """The most rounds that each work block may have or, with ``exact``, the number it has."""

    kind: Literal["rounds"] = "rounds"
    rounds: Annotated[int, Field(ge=1, le=30)]
    exact: bool = False


class MinutesHint(Model):
    """About how long a session should be. The trainee still says how many minutes there are."""

    kind: Literal["minutes"] = "minutes"
    minutes: Annotated[int, Field(ge=5, le=180)]


class LeaveOut(Model):
    """A movement of the work that is left out, with nothing in its place."""

    kind: Literal["leave_out"] = "leave_out"
    movement: Slug


class Remark(Model):
    """A sentence for the trainee. It changes nothing in the fit."""

    kind: Literal["remark"] = "remark"
    text: Sentence


Change = Annotated[
    SpareJoint | NextWeight | RoundsLimit | MinutesHint | LeaveOut | Remark, Field(discriminator="kind")
]


class Adjustment(Model):
    """What a coach asks of one trainee, from the day it was made to ``until``, both included.

    ``trainee_id`` and ``plan_id`` say whom and which plan it is for; None means whoever accepts it, and any
    plan.
    """

    format: Literal["adjustment"] = "adjustment"
    version: Literal[1] = 1
    trainee_id: Identifier | None = None
    trainee: Name
    plan_id: Slug | None = None
    author: Name
    made_at: AwareDatetime
    until: date
    changes: tuple[Change, ...] = Field(min_length=1, max_length=20)


def is_adjustment(written: bytes) -> bool:
    """Whether a file says that it holds an adjustment; False for a file that cannot be read."""
    try:
        content = parse_json(written)
    except Unreadable:
        return False
    return isinstance(content, dict) and content.get("format") == "adjustment"


def adjustment_faults(adjustment: Adjustment, *, today: date | None = None) -> tuple[Issue, ...]:
    """The faults of an adjustment that its shape alone cannot show, each with its place.

    With ``today``, one that was made in the future has a fault too.
    """
    made = adjustment.made_at.date()
    ahead = today is not None and not _is_made_by(adjustment, today)
    to_come = Issue(("made_at",), message("made_in_the_future", made=Day(day=made)))
    return (*[to_come] * ahead, *_faults(adjustment))


def _is_made_by(adjustment: Adjustment, day: date) -> bool:
    return (adjustment.made_at.date() - day).days <= MOST_DAYS_AHEAD


def _faults(adjustment: Adjustment) -> Iterator[Issue]:
    made, until = adjustment.made_at.date(), adjustment.until
    if until < made:
        yield Issue(("until",), message("ends_before_it_was_made"))
    if (until - made).days > LONGEST_DAYS:
        yield Issue(("until",), message("adjustment_too_long", most=Count(count=LONGEST_DAYS)))
    for number, change in enumerate(adjustment.changes):
        if not isinstance(change, SpareJoint):
            continue
        if change.side is not None and change.joint not in PAIRED_JOINTS:
            joint = joint_term((change.joint, None))
            yield Issue(("changes", number, "side"), message("joint_has_no_side", joint=joint))
        if change.until is not None and change.until > until:
            yield Issue(("changes", number, "until"), message("ends_after_the_adjustment"))


def describe(adjustment: Adjustment, known: Mapping[str, Movement]) -> tuple[Message, ...]:
    """What a person reads before accepting an adjustment: from whom, for how long, then a sentence a change.

    ``known`` holds the movements of the plan and the library by slug; any other movement goes by its slug.
    """
    author, trainee = Own(own=adjustment.author), Own(own=adjustment.trainee)
    until = Day(day=adjustment.until)
    if adjustment.plan_id:
        plan = Own(own=adjustment.plan_id)
        whose = message("asked_for_plan", author=author, trainee=trainee, plan=plan, until=until)
    else:
        whose = message("asked_for", author=author, trainee=trainee, until=until)
    return whose, *(_described(change, known) for change in adjustment.changes)


def _described(change: Change, known: Mapping[str, Movement]) -> Message:
    match change:
        case SpareJoint(until=None):
            return message("spare_joint", joint=joint_term((change.joint, change.side)))
        case SpareJoint(until=date() as until):
            joint = joint_term((change.joint, change.side))
            return message("spare_joint_until", joint=joint, until=Day(day=until))
        case NextWeight(after_one=True):
            return message("next_weight_after_one", movement=_term_of(change.movement, known))
        case NextWeight():
            return message("next_weight_after_two", movement=_term_of(change.movement, known))
        case RoundsLimit(exact=True):
            return message("rounds_exactly", rounds=Count(count=change.rounds))
        case RoundsLimit():
            return message("rounds_at_most", rounds=Count(count=change.rounds))
        case MinutesHint():
            return message("minutes_are_enough", minutes=Count(count=change.minutes))
        case LeaveOut():
            return message("leave_out", movement=_term_of(change.movement, known))
        case Remark():
            return message("remark", remark=Own(own=change.text))
    raise TypeError(change)


def in_force(
    adjustments: Iterable[Adjustment], plan: SessionPlan, today: date, *, ids: Collection[str] | None = None
) -> tuple[Adjustment, ...]:
    """The adjustments in force today for a plan and a person, the earliest made first.

    ``ids`` are those of the person. Without them it may be anyone, and every adjustment for the plan is in
    force.
    """
    current = (
        one
        for one in adjustments
        if _is_made_by(one, today)
        and today <= one.until
        and one.plan_id in (None, plan.id)
        and (ids is None or one.trainee_id is None or one.trainee_id in ids)
    )
    return tuple(sorted(current, key=lambda one: (one.made_at, one.model_dump_json())))


def _term_of(slug: str, known: Mapping[str, Movement]) -> Argument:
    return movement_term(known[slug]) if slug in known else Own(own=slug)
