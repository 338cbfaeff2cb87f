"""A plan while it is being written: edits, undo and redo, and faults at their places."""

from __future__ import annotations

import pytest
from builders import BOTH, HAND, plan, warm_up, work

from engine.base.message import Own, message
from engine.movements.own_choice import Occasion
from engine.plan.draft import (
    EditHistory,
    Insert,
    Move,
    Put,
    Remove,
    apply,
    draft_of,
    new_draft,
    plan_of,
    value_at,
)
from engine.plan.draft_faults import faults_at, faults_of, faults_within
from engine.plan.draft_parts import (
    BlockKind,
    allowance_added,
    block_added,
    movement_added,
    movements_found,
    own_movement_added,
    substitute_added,
)
from engine.plan.plan import Amount, WarmUpItem

WORK_S = ("blocks", 0, "work_s")
SHORT = plan(work(HAND.slug, BOTH.slug))


def test_a_plan_is_written_from_nothing() -> None:
    draft = new_draft("evening")
    draft = apply(draft, Put(("name",), "Evening at the boathouse"))
    draft = apply(draft, block_added(draft, "work"))
    draft = apply(draft, movement_added(draft, 0, "goblet-squat"))
    written = plan_of(draft)
    assert written is not None, faults_of(draft)
    assert written.work_blocks()[0].movements[0].movement == "goblet-squat"


@pytest.mark.parametrize("kind", ["practice", "work", "cool_down"])
def test_a_new_block_begins_with_lengths_that_a_coach_would_say(kind: BlockKind) -> None:
    """† Our judgement, no source: by fives."""
    draft = new_draft("evening")
    block = value_at(apply(draft, block_added(draft, kind)), ("blocks", 0))
    assert isinstance(block, dict)
    figures = {**block, **(block.get("timed") or {})}
    lengths_s = [value for name, value in figures.items() if name.endswith("_s") and value is not None]
    assert lengths_s
    assert all(length_s % 5 == 0 for length_s in lengths_s)


def test_nothing_written_yet_is_said_at_each_place() -> None:
    found = faults_of(new_draft("evening"))
    assert faults_at(found, ("name",)) == (message("nothing_here"),)
    assert faults_at(found, ("blocks",)) == (message("nothing_here"),)


def test_a_number_out_of_range_is_a_fault_at_its_place_and_hides_no_other() -> None:
    draft = apply(draft_of(SHORT), Put(("blocks", 0, "movements", 0, "movement"), "unheard-of"))
    draft = apply(draft, Put(WORK_S, "soon"))
    found = faults_of(draft)
    assert faults_at(found, WORK_S) == (message("write_whole_number"),)
    assert faults_at(found, ("blocks", 0, "movements", 0)) == (
        message("no_movement_of_that_name", written=Own(own="unheard-of")),
    )
    assert len(faults_within(found, ("blocks", 0))) == 2
    assert faults_within(found, ("side_change",)) == ()


def test_a_number_written_as_a_text_is_a_number() -> None:
    assert value_at(apply(draft_of(SHORT), Put(WORK_S, "45")), WORK_S) == 45


def test_a_place_that_is_not_there_changes_nothing() -> None:
    draft = draft_of(SHORT)
    for edit in (
        Put(("blocks", 7, "work_s"), 1),
        Insert(("name",), 0, "x"),
        Remove(("blocks",), 5),
        Move(("blocks",), 0, -1),
        Put((), 1),
    ):
        assert apply(draft, edit) == draft


def test_movements_change_places() -> None:
    moved = plan_of(apply(draft_of(SHORT), Move(("blocks", 0, "movements"), 1, -1)))
    assert moved is not None
    assert [item.movement for item in moved.work_blocks()[0].movements] == [BOTH.slug, HAND.slug]


def test_letters_written_at_one_place_are_one_step_back() -> None:
    history = EditHistory(draft_of(SHORT))
    for written in ("T", "To", "Tow"):
        history = history.did(Put(("name",), written))
    assert history.undone().now == draft_of(SHORT)
    assert value_at(history.undone().redone().now, ("name",)) == "Tow"


def test_undo_takes_one_edit_back_at_a_time_the_last_first() -> None:
    history = EditHistory(draft_of(SHORT))
    for work_s in (40, 45, 50):
        history = history.did(Put(WORK_S, work_s)).did(Put(("name",), f"For {work_s} s"))
    told = []
    for _ in range(3):
        history = history.undone()
        told.append((value_at(history.now, WORK_S), value_at(history.now, ("name",))))
    assert told == [(50, "For 45 s"), (45, "For 45 s"), (45, "For 40 s")]


def test_what_was_undone_is_gone_once_something_else_is_written() -> None:
    history = EditHistory(draft_of(SHORT)).did(Put(WORK_S, 45)).undone().did(Put(WORK_S, 50))
    assert history.redone() == history


def test_a_new_block_has_an_id_of_its_own_and_practises_what_is_worked() -> None:
    draft = apply(draft_of(SHORT), block_added(draft_of(SHORT), "work"))
    draft = apply(draft, block_added(draft, "work"))
    draft = apply(draft, block_added(draft, "practice"))
    assert [block["id"] for block in draft.content["blocks"]] == ["practice", "circuit", "work", "work-2"]
    assert draft.content["blocks"][0]["movements"] == [HAND.slug, BOTH.slug]


def test_a_block_is_added_where_it_usually_stands() -> None:
    draft = new_draft("evening")
    for kind in ("work", "cool_down", "practice", "work", "warm_up", "warm_up"):
        draft = apply(draft, block_added(draft, kind))
    kinds = [block["kind"] for block in draft.content["blocks"]]
    assert kinds == ["warm_up", "warm_up", "practice", "work", "work", "cool_down"]


def test_a_hold_in_a_warm_up_is_counted_in_seconds() -> None:
    draft = draft_of(plan(warm_up(), work()))
    held = apply(draft, movement_added(draft, 0, "plank"))
    assert value_at(held, ("blocks", 0, "items", 2, "amount", "unit")) == "seconds"


def test_the_first_allowance_of_a_silent_plan_stands_behind_the_usual_ones() -> None:
    silent = draft_of(SHORT)
    usual = plan_of(apply(silent, allowance_added(silent, "extra_rounds")))
    assert usual is not None
    assert usual.allowances is not None
    assert usual.allowances[-1].give_up == "extra_rounds"
    assert len(usual.allowances) > 1


def test_what_is_named_as_it_was_written_is_found_first_and_a_pattern_finds_all_of_its_movements() -> None:
    found = [movement.name for movement in movements_found(new_draft("a"), "squat")]
    assert found[0] == "Squat"
    assert found.index("Goblet squat") < found.index("Calf raise"), "a squat by its pattern alone"
    assert not movements_found(new_draft("a"), "squat nothing")


@pytest.mark.parametrize(
    "written, slug",
    [
        ("reverse lunge", "step-back-lunge"),
        ("push-up", "press-up"),
        ("glute bridge", "glute-bridge"),
        ("cat and cow", "back-round-and-hollow"),
        ("hamstring", "hamstring-stretch"),
        ("mountain climber", "slow-climber"),
        ("RDL", "romanian-deadlift"),
    ],
)
def test_a_movement_is_found_by_the_names_that_others_give_it(written: str, slug: str) -> None:
    assert slug in [movement.slug for movement in movements_found(new_draft("a"), written)]


def test_a_new_movement_is_made_like_one_that_is_known() -> None:
    draft = draft_of(SHORT)
    draft = apply(draft, own_movement_added(draft, "goblet-squat", "Kettle squat"))
    written = plan_of(draft)
    assert written is not None, faults_of(draft)
    assert written.movements[-1].slug == "kettle-squat"
    assert written.movements[-1].pattern == "squat"


@pytest.mark.parametrize("when", Occasion)
def test_a_substitute_begins_as_what_the_fit_would_choose_and_has_no_fault(when: Occasion) -> None:
    draft = draft_of(plan(work("goblet-squat", "bent-over-row", "floor-press"), movements=()))
    here = ("blocks", 0, "movements", 0)
    draft = apply(draft, substitute_added(draft, here, when))
    written = value_at(draft, (*here, "substitutes"))
    assert [one["when"] for one in written] == [when.value]
    assert written[0]["movement"] not in ("goblet-squat", "bent-over-row", "floor-press")
    assert faults_of(draft) == ()
    again = apply(draft, substitute_added(draft, here, when))
    assert "two_substitutes" in [one.what.code for one in faults_of(again)]


def test_a_substitute_of_the_warm_up_begins_without_a_weight() -> None:
    draft = draft_of(plan(warm_up(items=(WarmUpItem(movement="squat", amount=Amount(low=8)),)), work()))
    here = ("blocks", 0, "items", 0)
    draft = apply(draft, substitute_added(draft, here, Occasion.knee))
    assert plan_of(draft) is not None


def test_a_wrong_occasion_hides_no_other_fault() -> None:
    draft = draft_of(plan(work(HAND.slug, BOTH.slug)))
    here = ("blocks", 0, "movements", 0)
    draft = apply(draft, substitute_added(draft, here, Occasion.knee))
    draft = apply(draft, Put((*here, "substitutes", 0, "when"), "never"))
    draft = apply(draft, Put(("blocks", 0, "rounds", "min"), 9))
    found = faults_of(draft)
    assert (*here, "substitutes", 0, "when") in [one.where for one in found]
    assert "minimum_above_maximum" in [one.what.code for one in found]
