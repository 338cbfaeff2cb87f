"""The library of movements as a strength coach would check it, one rule a test.

Stress grades read: 0 no more than quiet standing, sitting or lying; 1 light; 2 clear; 3 high. They are our
judgement (common practice, no source) and are graded for the heaviest form of a movement.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.movement import (
    Equipment,
    Form,
    Held,
    Joint,
    Kit,
    Movement,
    MovementPattern,
    Sides,
    StartsWith,
    library,
    sides_of,
)
from engine.plan_check import movement_faults

LIBRARY = library()
PATTERNS = tuple(pattern for pattern in MovementPattern if pattern is not MovementPattern.mobility)
LONGEST_CUE = 60
"""Characters that a voice speaks in about four seconds. Common practice, no source."""


def every_form() -> Iterator[tuple[Movement, Form]]:
    return ((movement, form) for movement in LIBRARY.values() for form in movement.forms)


def easier_chain(movement: Movement) -> Iterator[Movement]:
    yield movement
    while movement.easier is not None:
        movement = LIBRARY[movement.easier]
        yield movement


def loaded(form: Form) -> bool:
    return form.kit is not Kit.none


def of_pattern(pattern: MovementPattern) -> tuple[Movement, ...]:
    return tuple(movement for movement in LIBRARY.values() if movement.pattern is pattern)


def patterns_left_out(joint: Joint, kit: Kit, grade: int, but: frozenset[str] = frozenset()) -> set[str]:
    """The patterns without any movement that this kit allows and that spares the joint so far."""
    return {
        pattern.value
        for pattern in PATTERNS
        if not any(
            movement.form_for(kit) is not None
            and any(movement.stress_on(joint, form) <= grade for form in movement.forms_for(kit))
            for movement in of_pattern(pattern)
            if movement.slug not in but
        )
    }


def test_there_are_at_least_sixty_movements_and_each_pattern_has_several() -> None:
    assert len(LIBRARY) >= 60
    assert all(len(of_pattern(pattern)) >= 5 for pattern in MovementPattern)


def test_no_movement_has_a_fault() -> None:
    faults = [
        fault
        for index, movement in enumerate(LIBRARY.values())
        for fault in movement_faults(("movements", index), movement, LIBRARY)
    ]
    assert faults == []


def test_no_two_movements_share_a_name() -> None:
    names = [movement.name.lower() for movement in LIBRARY.values()]
    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize("slug", LIBRARY)
def test_easier_and_easier_again_ends_without_a_weight_and_never_in_a_circle(slug: str) -> None:
    seen: list[Movement] = []
    for movement in easier_chain(LIBRARY[slug]):
        assert movement not in seen
        seen.append(movement)
    assert seen[-1].form_for(Kit.none) is not None


def test_easier_and_harder_answer_each_other() -> None:
    """A harder movement names this one as its easier; an easier one leads on to something harder.

    Several movements may share one easier form; it leads back to the usual next step among them.
    """
    for movement in LIBRARY.values():
        if movement.harder is not None:
            assert LIBRARY[movement.harder].easier == movement.slug
        if movement.easier is not None:
            assert LIBRARY[movement.easier].harder is not None


def test_an_easier_movement_trains_the_same_pattern() -> None:
    for movement in LIBRARY.values():
        if movement.easier is not None:
            assert LIBRARY[movement.easier].pattern is movement.pattern


def test_a_movement_does_not_count_its_own_pattern_twice() -> None:
    assert all(movement.pattern not in movement.also for movement in LIBRARY.values())


def test_a_hand_is_a_side_only_with_a_single_weight() -> None:
    for _, form in every_form():
        if form.sides is Sides.hand:
            assert form.kit is Kit.single
            assert form.held is not Held.both_hands


def test_a_leg_stays_a_side_with_whatever_kit() -> None:
    for movement in LIBRARY.values():
        of_leg = {form.kit for form in movement.forms if sides_of(form) is Sides.leg}
        assert not of_leg or of_leg == {form.kit for form in movement.forms}


def test_a_single_weight_in_one_hand_always_has_a_side() -> None:
    for movement, form in every_form():
        if form.kit is Kit.single:
            assert (form.held is Held.both_hands) or form.sides is not Sides.none, movement.slug


def test_a_weight_is_held_somewhere_and_nothing_is_held_nowhere() -> None:
    assert all(loaded(form) == (form.held is not Held.none) for _, form in every_form())


def test_each_loaded_form_says_how_to_place_the_weight_and_begins_with_the_collars() -> None:
    for movement, form in every_form():
        assert loaded(form) == (form.placing is not None), movement.slug
        assert form.placing is None or form.placing.startswith("Check the collars"), movement.slug


def test_a_weight_over_the_chest_is_rolled_in_with_both_hands_and_never_crosses_the_face() -> None:
    """Lying: roll to the side, two hands, never across the face. Common practice, no source."""
    lying = [
        form
        for movement, form in every_form()
        if loaded(form) and form.on_floor and movement.pattern is MovementPattern.horizontal_push
    ]
    assert lying
    for form in lying:
        placing = form.placing or ""
        assert "roll" in placing
        assert "both hands" in placing.lower()
        assert "the face" in placing


def test_a_weight_comes_down_from_overhead_before_it_changes_hands() -> None:
    """Overhead: two hands to the shoulder, never change hands overhead. Common practice, no source."""
    pressed = [
        form
        for movement, form in every_form()
        if form.sides is Sides.hand and MovementPattern.vertical_push in (movement.pattern, *movement.also)
    ]
    assert pressed
    for form in pressed:
        assert "never overhead" in (form.placing or "")
        assert "to the shoulder" in (form.placing or "")


def test_floor_work_needs_the_floor() -> None:
    assert all(form.on_floor == (Equipment.floor in form.needs) for _, form in every_form())


def test_only_a_weight_carried_in_the_hands_is_heavy_on_the_grip() -> None:
    for movement, form in every_form():
        if form.grip_heavy:
            assert form.held in {Held.same_side, Held.opposite_side, Held.at_sides, Held.front}
            assert movement.stress_on(Joint.wrist, form) >= 1


def test_whatever_is_held_in_the_hand_loads_the_wrist_unless_it_lies_on_the_forearms() -> None:
    unloaded = {m.slug for m, form in every_form() if loaded(form) and m.stress_on(Joint.wrist, form) == 0}
    assert unloaded == {"cradle-march"}


def test_cues_are_short_sentences_that_can_be_spoken() -> None:
    for movement in LIBRARY.values():
        assert 2 <= len(movement.cues) <= 3, movement.slug
        for cue in movement.cues:
            assert len(cue) <= LONGEST_CUE
            assert cue[0].isupper()
            assert cue.endswith(".")
            assert not set(cue) & set("()/;:–")


def test_each_movement_has_an_end_point_and_a_stop_rule() -> None:
    for movement in LIBRARY.values():
        assert movement.end_point.endswith(".")
        assert movement.stop_rules
        assert all(rule.endswith(".") for rule in movement.stop_rules)


def test_a_hold_that_works_reminds_of_breathing() -> None:
    """No long breath-holds. Common practice, no source."""
    for movement in LIBRARY.values():
        if movement.starts_with is StartsWith.hold and movement.pattern is not MovementPattern.mobility:
            spoken = " ".join(movement.cues).lower()
            assert "breath" in spoken or movement.slug == "suitcase-carry", movement.slug


@pytest.mark.parametrize("pattern", PATTERNS)
def test_each_pattern_can_be_trained_with_nothing_but_a_dry_floor(pattern: MovementPattern) -> None:
    without = frozenset(Equipment) - {Equipment.floor}
    assert any(movement.form_for(Kit.none, without) is not None for movement in of_pattern(pattern))


@pytest.mark.parametrize(
    ("slug", "words"),
    [
        ("wall-sit", "30 cm"),
        ("floor-press", "45°"),
        ("romanian-deadlift", "just below the knee; just above is fine"),
        ("knees-lifted-hold", "2–3 cm"),
        ("overhead-press", "level with the ear or just behind"),
        ("hip-hinge", "head, upper back and pelvis"),
    ],
)
def test_the_end_points_are_those_of_common_practice(slug: str, words: str) -> None:
    """Common practice, no source."""
    assert words in LIBRARY[slug].end_point


LEFT_OUT_AT_GRADE_0 = {
    Joint.wrist: set(),
    Joint.elbow: set(),
    Joint.shoulder: {"horizontal_push", "vertical_push", "horizontal_pull", "vertical_pull"},
    Joint.neck: set(),
    Joint.low_back: set(),
    Joint.hip: {"squat", "hinge", "lunge"},
    Joint.knee: {"squat", "lunge"},
    Joint.ankle: {"lunge"},
}
"""What cannot be trained at all while a joint may take nothing: the joint is what the pattern moves."""

CALF_RAISES = frozenset({"calf-raise", "one-leg-calf-raise"})
"""They stand with the squats for want of a pattern of their own, and bend neither hip nor knee."""


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("joint", Joint)
def test_a_joint_that_may_take_nothing_has_a_substitute_or_the_pattern_is_left_out(
    joint: Joint, kit: Kit
) -> None:
    assert patterns_left_out(joint, kit, 0, CALF_RAISES) == LEFT_OUT_AT_GRADE_0[joint]


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("joint", Joint)
def test_a_joint_that_may_take_light_stress_has_a_substitute_in_every_pattern(joint: Joint, kit: Kit) -> None:
    assert patterns_left_out(joint, kit, 1, CALF_RAISES) == set()
