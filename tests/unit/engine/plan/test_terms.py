"""The words for the parts of a plan."""

from __future__ import annotations

from collections.abc import Iterable

from builders import BOTH, HAND, LEG, movement

from companion.words.words import english
from engine.base.message import Message
from engine.movements.movement import Sides
from engine.plan.plan import WorkMovement
from engine.plan.terms import side_changes, tempo_terms


def words_of(several: Iterable[Message]) -> list[str]:
    return [*map(english, several)]


def test_a_hold_has_no_tempo_and_a_fast_lift_no_seconds() -> None:
    hold = movement("wall-lean", starts_with="hold")
    assert words_of(tempo_terms(WorkMovement(movement="wall-lean"), hold)) == ["hold"]
    fast = WorkMovement(movement=BOTH.slug, tempo="4-0-X-1")
    assert words_of(tempo_terms(fast, BOTH)) == ["4 s down", "up fast", "1 s at the top"]


def test_what_changes_sides_is_named_with_the_kit_where_that_makes_the_difference() -> None:
    assert words_of(side_changes(HAND)) == ["change hands halfway (one dumbbell)"]
    assert words_of(side_changes(LEG)) == ["change legs halfway"]
    assert words_of(side_changes(BOTH)) == []
    assert words_of(side_changes(movement("plank", sides=Sides.none))) == []
