"""The adjustment: what the coach changes for one person until a day, without writing a new plan.

It is data that is shown in plain sentences before it is taken, and then shapes each fit while it is in force.
An adjustment asks for less, or lets a load rise that was earned: it never lifts a stop rule, a sore joint or
a hold.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Annotated, Literal, TypeVar

from pydantic import AwareDatetime, Field

from engine.fit import Asked
from engine.model import Model, Name, Sentence, Slug
from engine.movement import PAIRED_JOINTS, Joint, Movement, Side
from engine.plan import SessionPlan
from engine.progress import LoadRules
from engine.reading import Issue, Unreadable, parse_json, place
from engine.room import SORE_ALLOWS, SoreJoint
from engine.wording import joint_word, rounds_words

LONGEST_DAYS = 92
"""A quarter of a year; what should hold for longer belongs into the plan. † Our judgement, no source."""
SPARED_RATING = SORE_ALLOWS[0][0]
"""A joint that the coach spares is treated as one that was rated so: it may take nothing."""


class SpareJoint(Model):
    """A joint that may take nothing, to the adjustment's last day or an earlier one."""

    kind: Literal["spare"] = "spare"
    joint: Joint
    side: Literal[Side.left, Side.right] | None = None
    until: date | None = None


class NextWeight(Model):
    """The next weight is allowed whatever the published limits of a rise say, once it was earned by clear
    sessions: two, or one with ``after_one``."""

    kind: Literal["next_weight"] = "next_weight"
    movement: Slug
    after_one: bool = False


class RoundsLimit(Model):
    """So many rounds of each work block at most, or exactly so many."""

    kind: Literal["rounds"] = "rounds"
    rounds: Annotated[int, Field(ge=1, le=30)]
    exact: bool = False


class MinutesHint(Model):
    """About how long a session should be; the minutes stay the trainee's own to say."""

    kind: Literal["minutes"] = "minutes"
    minutes: Annotated[int, Field(ge=5, le=180)]


class LeaveOut(Model):
    """A movement of the work that is left out, and nothing stands in for it."""

    kind: Literal["leave_out"] = "leave_out"
    movement: Slug


class Remark(Model):
    kind: Literal["remark"] = "remark"
    text: Sentence


Change = Annotated[
    SpareJoint | NextWeight | RoundsLimit | MinutesHint | LeaveOut | Remark, Field(discriminator="kind")
]
Kind = TypeVar("Kind", SpareJoint, NextWeight, RoundsLimit, MinutesHint, LeaveOut, Remark)


class Adjustment(Model):
    """What a coach asks of one trainee, from the day it was made to ``until``, both included.

    ``trainee_id`` and ``plan_id`` say whom and which plan it is for; None is whoever takes it, and any plan.
    """

    format: Literal["adjustment"] = "adjustment"
    version: Literal[1] = 1
    trainee_id: Annotated[str, Field(min_length=1, max_length=64)] | None = None
    trainee: Name
    plan_id: Slug | None = None
    author: Name
    made_at: AwareDatetime
    until: date
    changes: tuple[Change, ...] = Field(min_length=1, max_length=20)


def is_adjustment(written: bytes) -> bool:
    """Whether a file says that it holds an adjustment; what cannot be read says nothing."""
    try:
        content = parse_json(written)
    except Unreadable:
        return False
    return isinstance(content, dict) and content.get("format") == "adjustment"


def adjustment_faults(adjustment: Adjustment) -> tuple[Issue, ...]:
    """Faults that the shape alone cannot show, each with its place."""
    return tuple(_faults(adjustment))


def _faults(adjustment: Adjustment) -> Iterator[Issue]:
    made, until = adjustment.made_at.date(), adjustment.until
    if until < made:
        yield Issue("until", f"{until} is before the day it was made.")
    if until > made + timedelta(days=LONGEST_DAYS):
        yield Issue("until", f"an adjustment holds for {LONGEST_DAYS} days at most.")
    for number, change in enumerate(adjustment.changes):
        if not isinstance(change, SpareJoint):
            continue
        if change.side is not None and change.joint not in PAIRED_JOINTS:
            yield Issue(place(("changes", number, "side")), f"the {joint_word(change.joint)} has no side.")
        if change.until is not None and change.until > until:
            yield Issue(place(("changes", number, "until")), "this is after the adjustment's own last day.")


def describe(adjustment: Adjustment, known: Mapping[str, Movement]) -> tuple[str, ...]:
    """What is shown before an adjustment is taken: from whom, how long, then each change in a sentence.

    ``known`` are the movements of the plan and the library; a movement that is not among them goes by its
    slug.
    """
    about = f", for the plan “{adjustment.plan_id}”" if adjustment.plan_id else ""
    return (
        f"From {adjustment.author} to {adjustment.trainee}{about}, until {_day(adjustment.until)}.",
        *(_described(change, known) for change in adjustment.changes),
    )


def _described(change: Change, known: Mapping[str, Movement]) -> str:
    match change:
        case SpareJoint():
            joint = joint_word(change.joint, change.side)
            until = f" until {_day(change.until)}" if change.until else ""
            return f"Spare the {joint}{until}: what stresses it gives way to something else."
        case NextWeight():
            after = "one clear session is" if change.after_one else "two clear sessions are"
            return f"{_name(change.movement, known)}: the next weight is allowed as soon as {after} done."
        case RoundsLimit():
            much = "Exactly" if change.exact else "At most"
            return f"{much} {rounds_words(change.rounds)} of each work block."
        case MinutesHint():
            return f"About {change.minutes} min are enough; the minutes stay yours to say."
        case LeaveOut():
            return f"{_name(change.movement, known)} is left out."
        case Remark():
            return f"Remark: {change.text}"


def in_force(
    adjustments: Iterable[Adjustment], plan: SessionPlan, today: date, *, trainee_id: str | None = None
) -> tuple[Adjustment, ...]:
    """The adjustments that hold for this plan and person today, the earliest made first.

    Without a ``trainee_id`` those for whomever count too.
    """
    holding = (
        one
        for one in adjustments
        if today <= one.until
        and one.plan_id in (None, plan.id)
        and (trainee_id is None or one.trainee_id in (None, trainee_id))
    )
    return tuple(sorted(holding, key=lambda one: (one.made_at, one.model_dump_json())))


def applied(asked: Asked, plan: SessionPlan, adjustments: Iterable[Adjustment], today: date) -> Asked:
    """The same question as the coach's adjustments ``in_force`` shape it.

    Of what can hold only once, the rounds, the latest made counts. What the person asked for stays where it
    is the lesser.
    """
    held = tuple(adjustments)
    spared = tuple(
        SoreJoint(joint=joint, side=side, rating=SPARED_RATING)
        for joint, side in dict.fromkeys((one.joint, one.side) for one in _spared(held, today))
        if not any((s.joint, s.side) == (joint, side) and s.rating >= SPARED_RATING for s in asked.room.sore)
    )
    left_out = dict.fromkeys((*asked.left_out, *(one.movement for one in _changes(held, LeaveOut))))
    shaped = replace(
        asked,
        room=asked.room.model_copy(update={"sore": (*asked.room.sore, *spared)}),
        left_out=tuple(left_out),
    )
    limit = next(reversed(_changes(held, RoundsLimit)), None)
    return shaped if limit is None else _with_limit(shaped, limit, plan)


def _with_limit(asked: Asked, limit: RoundsLimit, plan: SessionPlan) -> Asked:
    """Exactly so many rounds, but never beyond what every work block of the plan has at most."""
    rounds = asked.rounds
    if rounds is None and limit.exact:
        rounds = min(block.rounds.max for block in plan.work_blocks())
    exactly = None if rounds is None else min(rounds, limit.rounds)
    return replace(asked, rounds=exactly, rounds_at_most=limit.rounds)


def rules_under(rules: LoadRules, adjustments: Iterable[Adjustment]) -> LoadRules:
    """The rules for loads with what the coach allows; a movement on hold stays on hold."""
    steps = _changes(tuple(adjustments), NextWeight)
    allowed = dict.fromkeys((*rules.allowed, *(step.movement for step in steps)))
    sooner = dict.fromkeys((*rules.sooner, *(step.movement for step in steps if step.after_one)))
    return rules.model_copy(update={"allowed": tuple(allowed), "sooner": tuple(sooner)})


def minutes_hint(adjustments: Iterable[Adjustment]) -> int | None:
    """The minutes that the latest hint names, for the question to start with; None where there is none."""
    return next((one.minutes for one in reversed(_changes(tuple(adjustments), MinutesHint))), None)


def _spared(adjustments: Iterable[Adjustment], today: date) -> Iterator[SpareJoint]:
    spared = _changes(tuple(adjustments), SpareJoint)
    return (one for one in spared if one.until is None or today <= one.until)


def _changes(adjustments: tuple[Adjustment, ...], kind: type[Kind]) -> list[Kind]:
    return [change for one in adjustments for change in one.changes if isinstance(change, kind)]


def _name(slug: str, known: Mapping[str, Movement]) -> str:
    return known[slug].name if slug in known else f"“{slug}”"


def _day(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
