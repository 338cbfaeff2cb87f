"""The words for the parts of a plan."""

from __future__ import annotations

from builders import BOTH, HAND, LEG, movement

from engine.movements.movement import Sides
from engine.plan.plan import WorkMovement
from engine.plan.words import sides_words, tempo_words


def test_a_hold_has_no_tempo_and_a_fast_lift_no_seconds() -> None:
    hold = movement("wall-lean", starts_with="hold")
    assert tempo_words(WorkMovement(movement="wall-lean"), hold) == "hold"
    assert tempo_words(WorkMovement(movement=BOTH.slug, tempo="4-0-X-1"), BOTH) == (
        "4 s down, up fast, 1 s at the top"
    )


def test_what_changes_sides_is_named_with_the_kit_where_that_makes_the_difference() -> None:
    assert sides_words(HAND) == "change hands halfway with one dumbbell"
    assert sides_words(LEG) == "change legs halfway"
    assert sides_words(BOTH) == ""
    assert sides_words(movement("plank", sides=Sides.none)) == ""
