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

from engine.base.issue import Issue, Unreadable, place
from engine.base.model import Identifier, Model, Name, Sentence, Slug
from engine.base.phrases import number_of
from engine.base.reading import parse_json
from engine.movements.movement import PAIRED_JOINTS, Joint, Movement, Side
from engine.movements.words import joint_word
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
    to_come = (Issue("made_at", f"it says it was made on {made}, which is still to come."),) if ahead else ()
    return (*to_come, *_faults(adjustment))


def _is_made_by(adjustment: Adjustment, day: date) -> bool:
    return (adjustment.made_at.date() - day).days <= MOST_DAYS_AHEAD


def _faults(adjustment: Adjustment) -> Iterator[Issue]:
    made, until = adjustment.made_at.date(), adjustment.until
    if until < made:
        yield Issue("until", f"{until} is before the day it was made.")
    if (until - made).days > LONGEST_DAYS:
        yield Issue("until", f"an adjustment holds for {LONGEST_DAYS} days at most.")
    for number, change in enumerate(adjustment.changes):
        if not isinstance(change, SpareJoint):
            continue
        if change.side is not None and change.joint not in PAIRED_JOINTS:
            yield Issue(place(("changes", number, "side")), f"the {joint_word(change.joint)} has no side.")
        if change.until is not None and change.until > until:
            yield Issue(place(("changes", number, "until")), "this is after the adjustment's own last day.")


def describe(adjustment: Adjustment, known: Mapping[str, Movement]) -> tuple[str, ...]:
    """What a person reads before accepting an adjustment: from whom, for how long, then a sentence a change.

    ``known`` holds the movements of the plan and the library by slug; any other movement goes by its slug.
    """
    about = f", for the plan “{adjustment.plan_id}”" if adjustment.plan_id else ""
    return (
        f"From {adjustment.author} to {adjustment.trainee}{about}, until {_day_words(adjustment.until)}.",
        *(_described(change, known) for change in adjustment.changes),
    )


def _described(change: Change, known: Mapping[str, Movement]) -> str:
    match change:
        case SpareJoint():
            joint = joint_word(change.joint, change.side)
            until = f" until {_day_words(change.until)}" if change.until else ""
            return f"Spare the {joint}{until}: what stresses it gives way to something else."
        case NextWeight():
            after = "one clear session is" if change.after_one else "two clear sessions are"
            return f"{_name_of(change.movement, known)}: the next weight is allowed as soon as {after} done."
        case RoundsLimit():
            much = "Exactly" if change.exact else "At most"
            return f"{much} {number_of(change.rounds, 'round')} of each work block."
        case MinutesHint():
            return f"About {change.minutes} min are enough; the minutes stay yours to say."
        case LeaveOut():
            return f"{_name_of(change.movement, known)} is left out."
        case Remark():
            return f"Remark: {change.text}"


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


def _name_of(slug: str, known: Mapping[str, Movement]) -> str:
    return known[slug].name if slug in known else f"“{slug}”"


def _day_words(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
