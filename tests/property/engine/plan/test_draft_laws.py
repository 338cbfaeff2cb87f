"""Laws of a plan while it is being written."""

from __future__ import annotations

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import plans

from engine.base.reading import read
from engine.plan.check import check
from engine.plan.draft import (
    Edit,
    EditHistory,
    Insert,
    Move,
    PlanDraft,
    Put,
    Remove,
    apply,
    draft_of,
    plan_of,
)
from engine.plan.draft_faults import faults_of
from engine.plan.plan import SessionPlan

NAMES = st.sampled_from(
    [
        "name",
        "blocks",
        "movements",
        "items",
        "rounds",
        "min",
        "work_s",
        "movement",
        "amount",
        "tempo",
        "id",
        "none",
    ]
)
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False)
    | st.text(max_size=5)
    | st.just("\ud800"),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(NAMES, inner, max_size=2),
    max_leaves=4,
)


def places(content: Any, way: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """Every place of a document."""
    steps = (
        content.items()
        if isinstance(content, dict)
        else enumerate(content if isinstance(content, list) else ())
    )
    return [way, *(place for step, inner in steps for place in places(inner, (*way, step)))]


@st.composite
def edits(draw: st.DrawFn, draft: PlanDraft) -> Edit:
    """An edit at a place that exists or at one that does not."""
    there = st.sampled_from(places(draft.content))
    where = draw(there | st.lists(NAMES | st.integers(-1, 4), max_size=4).map(tuple))
    at = draw(st.integers(-1, 3))
    match draw(st.sampled_from(["put", "insert", "remove", "move"])):
        case "put":
            return Put(where, draw(JSON))
        case "insert":
            return Insert(where, at, draw(JSON))
        case "remove":
            return Remove(where, at)
        case _:
            return Move(where, at, draw(st.integers(-2, 2)))


@settings(max_examples=40)
@given(plans(), st.data())
def test_whatever_is_written_can_be_taken_back_and_written_again(
    plan: SessionPlan, data: st.DataObject
) -> None:
    """After any edits, undoing every step gives the first draft, and redoing every step the last."""
    history = EditHistory(draft_of(plan))
    for _ in range(data.draw(st.integers(1, 6))):
        history = history.did(data.draw(edits(history.now)))
    written, steps = history.now, len(history.past)
    for _ in range(steps):
        history = history.undone()
    assert history.now == draft_of(plan)
    for _ in range(steps):
        history = history.redone()
    assert history.now == written


@settings(max_examples=40)
@given(plans(), st.data())
def test_no_edit_and_no_question_about_it_raises(plan: SessionPlan, data: st.DataObject) -> None:
    """A draft is a plan, or has faults that say why not: never both, and never an exception."""
    draft = draft_of(plan)
    for _ in range(data.draw(st.integers(1, 4))):
        draft = apply(draft, data.draw(edits(draft)))
    written, found = plan_of(draft), faults_of(draft)
    assert (written is None) == bool(found)
    assert written is None or check(written) == ()


@given(plans())
def test_a_plan_written_out_and_opened_again_is_the_same_draft(plan: SessionPlan) -> None:
    """draft → plan → file → plan → draft is the identity."""
    draft = draft_of(plan)
    written = plan_of(draft)
    assert written == plan
    assert draft_of(read(SessionPlan, written.model_dump_json())) == draft
