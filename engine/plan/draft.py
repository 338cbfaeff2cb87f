"""A plan while it is written: a value that may be faulty, edits of it, and the way back and forth.

A draft holds what a plan's document would hold, so that anything a coach has half written can stand in it. A
place in it is the way from the document's top, as in ``("blocks", 2, "work_s")``.
"""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from engine.base.issue import Issue, issue_of, own_errors, place, without_kinds
from engine.base.model import JsonObject
from engine.plan.check import check
from engine.plan.plan import RoundsRange, SessionPlan, WorkBlock, WorkMovement

DraftPlace = tuple[str | int, ...]


@dataclass(frozen=True)
class PlanDraft:
    """What is written so far. ``content`` is never changed in place."""

    content: JsonObject


@dataclass(frozen=True)
class Put:
    """A value at a place: a number, a text, a choice, or None for nothing."""

    where: DraftPlace
    value: Any


@dataclass(frozen=True)
class Insert:
    """A part more in the list at a place: a block, a movement, a cue, an allowance, a stop rule."""

    where: DraftPlace
    at: int
    part: Any


@dataclass(frozen=True)
class Remove:
    where: DraftPlace
    at: int


@dataclass(frozen=True)
class Move:
    """A part of a list ``by`` so many parts down; a negative number is up."""

    where: DraftPlace
    at: int
    by: int


Edit = Put | Insert | Remove | Move


def draft_of(plan: SessionPlan) -> PlanDraft:
    return PlanDraft(plan.model_dump(mode="json"))


def new_draft(plan_id: str) -> PlanDraft:
    """A plan with nothing in it yet."""
    work = WorkBlock(
        id="work",
        movements=(WorkMovement(movement="none"),),
        rounds=RoundsRange(min=1, max=1),
        work_s=30,
        rest_s=30,
    )
    empty = draft_of(SessionPlan(id=plan_id, name="New", blocks=(work,)))
    return PlanDraft(empty.content | {"name": "", "blocks": []})


def apply(draft: PlanDraft, edit: Edit) -> PlanDraft:
    """The draft after an edit; the same draft where there is no such place. Never raises."""
    content = deepcopy(draft.content)
    match edit:
        case Put(where=(*way, last)):
            _put(_at(content, tuple(way)), last, deepcopy(edit.value))
        case Insert():
            found = _at(content, edit.where)
            if isinstance(found, list) and 0 <= edit.at <= len(found):
                found.insert(edit.at, deepcopy(edit.part))
        case Remove():
            found = _at(content, edit.where)
            if isinstance(found, list) and 0 <= edit.at < len(found):
                del found[edit.at]
        case Move():
            found = _at(content, edit.where)
            if isinstance(found, list) and {edit.at, edit.at + edit.by} <= set(range(len(found))):
                found.insert(edit.at + edit.by, found.pop(edit.at))
    return _settled(content)


def at(draft: PlanDraft, where: DraftPlace) -> Any:
    """What stands at a place; None where there is no such place."""
    return _at(draft.content, where)


def _at(content: Any, where: DraftPlace) -> Any:
    for step in where:
        if isinstance(content, dict) and isinstance(step, str):
            content = content.get(step)
        elif isinstance(content, list) and isinstance(step, int) and 0 <= step < len(content):
            content = content[step]
        else:
            return None
    return content


def _put(parent: Any, last: str | int, value: Any) -> None:
    in_list = isinstance(parent, list) and isinstance(last, int) and 0 <= last < len(parent)
    if in_list or (isinstance(parent, dict) and isinstance(last, str)):
        parent[last] = value


def _settled(content: JsonObject) -> PlanDraft:
    """Written as the plan it is, where it is one: a number that was written as a text is a number."""
    plan, _ = _read(content)
    return PlanDraft(content) if plan is None else draft_of(plan)


def _read(content: JsonObject) -> tuple[SessionPlan | None, dict[DraftPlace, Issue]]:
    """The plan, or what is wrong with its shape by where it stands."""
    try:
        return SessionPlan.model_validate_json(json.dumps(content)), {}
    except ValidationError as error:
        found = error.errors(include_url=False)
        return None, {one["loc"]: issue_of(one) for one in own_errors(found)}


def plan_of(draft: PlanDraft) -> SessionPlan | None:
    """The plan that was written, None while it has faults."""
    plan, _ = _read(draft.content)
    return plan if plan is not None and not check(plan) else None


def faults(draft: PlanDraft) -> tuple[Issue, ...]:
    """Every fault with its place. Never raises.

    Where a value is not even of the right kind, the others are looked at as if a fitting one stood there.
    """
    plan, wrong = _read(draft.content)
    if plan is None:
        plan, _ = _read(_mended(draft.content, wrong))
    found = check(plan) if plan is not None else ()
    shape = {issue.where for issue in wrong.values()}
    return (*wrong.values(), *(issue for issue in found if issue.where not in shape))


_FITTING = {
    "name": "Name",
    "low": 1,
    "min": 1,
    "max": 30,
    "work_s": 30,
    "rest_s": 30,
    "duration_s": 300,
    "tempo": "3-0-1-0",
    "give_up": "practice",
}
"""What a value that has no default may be; it is never shown."""


def _mended(content: JsonObject, wrong: dict[DraftPlace, Issue]) -> JsonObject:
    """With a fitting value, or the default, in place of what is wrong."""
    mended = deepcopy(content)
    for location in wrong:
        way = without_kinds(location[:-1])
        parent, last = _at(mended, way), location[-1] if location else ""
        if last in _FITTING:
            _put(parent, last, _FITTING[last])
        elif isinstance(parent, dict):
            parent.pop(last, None)
    return mended


def faults_at(found: tuple[Issue, ...], where: DraftPlace) -> tuple[str, ...]:
    """What is wrong with exactly this place."""
    return tuple(issue.message for issue in found if issue.where == place(where))


def faults_within(found: tuple[Issue, ...], where: DraftPlace) -> tuple[Issue, ...]:
    """What is wrong at this place and in all it holds."""
    here = place(where)
    return tuple(one for one in found if one.where == here or one.where.startswith(f"{here} › "))


@dataclass(frozen=True)
class Edits:
    """A draft with all that it was, and all that was taken back."""

    now: PlanDraft
    past: tuple[PlanDraft, ...] = ()
    future: tuple[PlanDraft, ...] = ()
    writing: DraftPlace | None = None
    """Where a value is being written: letter after letter there is one step back."""

    def did(self, edit: Edit) -> Edits:
        after = apply(self.now, edit)
        where = edit.where if isinstance(edit, Put) else None
        if after == self.now:
            return self
        if where is not None and where == self.writing:
            return replace(self, now=after, future=())
        return Edits(after, (*self.past, self.now), (), where)

    def undone(self) -> Edits:
        if not self.past:
            return self
        return Edits(self.past[-1], self.past[:-1], (self.now, *self.future))

    def redone(self) -> Edits:
        if not self.future:
            return self
        return Edits(self.future[0], (*self.past, self.now), self.future[1:])
