"""What is wrong with a draft, and where: in its shape, and in what the shape alone cannot show."""

from __future__ import annotations

from copy import deepcopy

from engine.base.issue import Issue, without_kinds
from engine.base.message import Message
from engine.base.model import JsonObject
from engine.plan.check import check
from engine.plan.draft import DraftPlace, PlanDraft, found_at, put_into, shape_of

_STAND_INS = {
    "name": "Name",
    "low": 1,
    "min": 1,
    "max": 30,
    "work_s": 30,
    "rest_s": 30,
    "duration_s": 300,
    "tempo": "3-0-1-0",
    "give_up": "practice",
    "when": "none",
}
"""A valid value for each field without a default. None of them is ever shown."""


def faults_of(draft: PlanDraft) -> tuple[Issue, ...]:
    """Every fault with its place. Never raises.

    A value of the wrong kind does not hide other faults: the rest is checked as if a valid one were there.
    """
    plan, wrong = shape_of(draft.content)
    if plan is None:
        plan, _ = shape_of(_mended(draft.content, wrong))
    found = check(plan) if plan is not None else ()
    of_shape = {issue.where for issue in wrong.values()}
    return (*wrong.values(), *(issue for issue in found if issue.where not in of_shape))


def _mended(content: JsonObject, wrong: dict[DraftPlace, Issue]) -> JsonObject:
    """The content with a valid value, or the default, in place of each wrong one."""
    mended = deepcopy(content)
    for location in wrong:
        parent = found_at(mended, without_kinds(location[:-1]))
        last = location[-1] if location else ""
        if last in _STAND_INS:
            put_into(parent, last, _STAND_INS[last])
        elif isinstance(parent, dict):
            parent.pop(last, None)
    return mended


def faults_at(found: tuple[Issue, ...], where: DraftPlace) -> tuple[Message, ...]:
    """What is wrong at exactly this place."""
    return tuple(issue.what for issue in found if issue.where == where)


def faults_within(found: tuple[Issue, ...], where: DraftPlace) -> tuple[Issue, ...]:
    """The faults at this place and in everything it holds."""
    return tuple(one for one in found if one.where[: len(where)] == where)
