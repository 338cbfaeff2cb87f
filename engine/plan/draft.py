"""A plan while it is being written: a value that may be faulty, the edits of it, undo and redo.

A draft holds what a plan's document would hold, so that it can keep whatever a coach has half written. A
place in it is the path from the top of the document, as in ``("blocks", 2, "work_s")``.
"""

from __future__ import annotations

import json
from copy import deepcopy
from dataclasses import dataclass, replace
from typing import Any

from pydantic import ValidationError

from engine.base.issue import Issue, Place, issue_of, own_errors
from engine.base.model import JsonObject
from engine.plan.check import check
from engine.plan.plan import RoundsRange, SessionPlan, WorkBlock, WorkMovement

DraftPlace = Place


@dataclass(frozen=True)
class PlanDraft:
    """What has been written so far. ``content`` is never changed in place."""

    content: JsonObject


@dataclass(frozen=True)
class Put:
    """Writes a value at a place: a number, a text, a choice, or None for nothing."""

    where: DraftPlace
    value: Any


@dataclass(frozen=True)
class Insert:
    """Adds a part to the list at a place: a block, a movement, a cue, an allowance, a stop rule."""

    where: DraftPlace
    at: int
    part: Any


@dataclass(frozen=True)
class Remove:
    """Takes part number ``at`` out of the list at a place."""

    where: DraftPlace
    at: int


@dataclass(frozen=True)
class Move:
    """Moves part number ``at`` of a list down by ``by`` parts, or up where that is negative."""

    where: DraftPlace
    at: int
    by: int


Edit = Put | Insert | Remove | Move


def draft_of(plan: SessionPlan) -> PlanDraft:
    """The draft that holds exactly this plan."""
    return PlanDraft(plan.model_dump(mode="json"))


def new_draft(plan_id: str) -> PlanDraft:
    """The draft of a plan with no name and no blocks yet."""
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
            put_into(found_at(content, tuple(way)), last, deepcopy(edit.value))
        case Insert():
            parts = found_at(content, edit.where)
            if isinstance(parts, list) and 0 <= edit.at <= len(parts):
                parts.insert(edit.at, deepcopy(edit.part))
        case Remove():
            parts = found_at(content, edit.where)
            if isinstance(parts, list) and 0 <= edit.at < len(parts):
                del parts[edit.at]
        case Move():
            parts = found_at(content, edit.where)
            if isinstance(parts, list) and {edit.at, edit.at + edit.by} <= set(range(len(parts))):
                parts.insert(edit.at + edit.by, parts.pop(edit.at))
    return _normalised(content)


def _normalised(content: JsonObject) -> PlanDraft:
    """Writes the content as the plan it is, where it is one: a number typed as text becomes a number."""
    plan, _ = shape_of(content)
    return PlanDraft(content) if plan is None else draft_of(plan)


def value_at(draft: PlanDraft, where: DraftPlace) -> Any:
    """The value at a place; None where there is no such place."""
    return found_at(draft.content, where)


def found_at(content: Any, where: DraftPlace) -> Any:
    """The part of a document at a place; None where there is no such place."""
    for step in where:
        if isinstance(content, dict) and isinstance(step, str):
            content = content.get(step)
        elif isinstance(content, list) and isinstance(step, int) and 0 <= step < len(content):
            content = content[step]
        else:
            return None
    return content


def put_into(parent: Any, last: str | int, value: Any) -> None:
    """Writes a value into the object or list ``parent``, in place, where that has such a place."""
    in_list = isinstance(parent, list) and isinstance(last, int) and 0 <= last < len(parent)
    if in_list or (isinstance(parent, dict) and isinstance(last, str)):
        parent[last] = value


def shape_of(content: JsonObject) -> tuple[SessionPlan | None, dict[DraftPlace, Issue]]:
    """The plan that a content is, or None and what is wrong with its shape, by pydantic's location."""
    try:
        return SessionPlan.model_validate_json(json.dumps(content)), {}
    except ValidationError as error:
        errors = error.errors(include_url=False)
        return None, {one["loc"]: issue_of(one) for one in own_errors(errors)}


def plan_of(draft: PlanDraft) -> SessionPlan | None:
    """The plan that was written; None while it has faults."""
    plan, _ = shape_of(draft.content)
    return plan if plan is not None and not check(plan) else None


@dataclass(frozen=True)
class EditHistory:
    """A draft with every state it was in before, and every state that was taken back."""

    now: PlanDraft
    past: tuple[PlanDraft, ...] = ()
    future: tuple[PlanDraft, ...] = ()
    writing: DraftPlace | None = None
    """The place where a value is being typed: undo takes back the value, not letter after letter."""

    def did(self, edit: Edit) -> EditHistory:
        """The history after an edit; the same history where the edit changes nothing."""
        after = apply(self.now, edit)
        where = edit.where if isinstance(edit, Put) else None
        if after == self.now:
            return self
        if where is not None and where == self.writing:
            return replace(self, now=after, future=())
        return EditHistory(after, (*self.past, self.now), (), where)

    def undone(self) -> EditHistory:
        """One step back, where there is one."""
        if not self.past:
            return self
        return EditHistory(self.past[-1], self.past[:-1], (self.now, *self.future))

    def redone(self) -> EditHistory:
        """One step forward again, where there is one."""
        if not self.future:
            return self
        return EditHistory(self.future[0], (*self.past, self.now), self.future[1:])
