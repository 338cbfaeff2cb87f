"""The library of movements as a strength coach would check it, one rule a test.

Grades of stress: 0 no more than quiet standing, sitting or lying; 1 light; 2 clear; 3 high. They are our
judgement (common practice, no source). A movement's grades and level are those of its heaviest variant; a
variant that is lighter, supported or raised says where it differs.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.movements.movement import (
    PATTERNS_THAT_WORK,
    Changing,
    Equipment,
    Held,
    Joint,
    Kit,
    Movement,
    MovementPattern,
    Position,
    Sides,
    StartsWith,
    Variant,
    changing_in,
    library,
    sides_of,
    trains_pattern_of,
)
from engine.plan.check import movement_faults

LIBRARY = library()
PATTERNS = tuple(pattern for pattern in MovementPattern if pattern is not MovementPattern.mobility)
LONGEST_CUE = 60
"""Characters that a voice speaks in about four seconds. Common practice, no source."""


def every_variant() -> Iterator[tuple[Movement, Variant]]:
    return ((movement, variant) for movement in LIBRARY.values() for variant in movement.variants)


def easier_chain(movement: Movement) -> Iterator[Movement]:
    yield movement
    while movement.easier is not None:
        movement = LIBRARY[movement.easier]
        yield movement


def most_stress(movement: Movement, joint: Joint) -> int:
    return max(movement.stress_on(joint, variant) for variant in movement.variants)


def loaded(variant: Variant) -> bool:
    return variant.kit is not Kit.none


def of_pattern(pattern: MovementPattern) -> tuple[Movement, ...]:
    return tuple(movement for movement in LIBRARY.values() if movement.pattern is pattern)


def patterns_left_out(joint: Joint, kit: Kit, grade: int) -> set[MovementPattern]:
    """The patterns in which this kit allows no full movement with at most this stress on the joint."""
    return {
        pattern
        for pattern in PATTERNS
        if not any(
            movement.stress_on(joint, variant) <= grade
            for movement in of_pattern(pattern)
            if not movement.accessory
            for variant in movement.variants_for(kit)
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
    assert seen[-1].variant_for(Kit.none) is not None


def test_an_easier_movement_asks_for_no_more() -> None:
    """No higher level, and no joint stressed by more than one grade above the harder
    movement's. The knee that is knelt on is a price of its own, with a test of its own."""
    for movement in LIBRARY.values():
        if movement.easier is None:
            continue
        easier = LIBRARY[movement.easier]
        assert easier.level <= movement.level, movement.slug
        for joint in Joint:
            if joint is Joint.knee and any("towel" in variant.name for variant in easier.variants):
                continue
            assert most_stress(easier, joint) <= most_stress(movement, joint) + 1, (movement.slug, joint)


def test_a_form_says_only_where_it_differs_from_its_movement() -> None:
    for movement, variant in every_variant():
        assert variant.level != movement.level, (movement.slug, variant.id)
        assert all(movement.stress.get(j, 0) != grade for j, grade in variant.stress.items()), movement.slug


def test_a_form_without_a_weight_never_asks_for_more_than_one_with_it() -> None:
    for movement in LIBRARY.values():
        for free in movement.variants_for(Kit.none):
            for variant in filter(loaded, movement.variants):
                assert movement.level_of(free) <= movement.level_of(variant), movement.slug
                for joint in Joint:
                    assert movement.stress_on(joint, free) <= movement.stress_on(joint, variant), (
                        movement.slug
                    )


def test_what_hangs_heavy_from_the_hand_pulls_at_the_neck() -> None:
    for movement, variant in every_variant():
        if variant.grip_heavy and loaded(variant):
            assert Joint.neck in movement.stressed_in(variant), movement.slug


def test_a_weight_in_the_hand_is_felt_in_the_arm() -> None:
    for movement, variant in every_variant():
        if loaded(variant):
            assert {Joint.elbow, Joint.shoulder} <= movement.stressed_in(variant), movement.slug


def test_an_easier_movement_trains_the_same_pattern() -> None:
    for movement in LIBRARY.values():
        if movement.easier is not None:
            assert LIBRARY[movement.easier].pattern is movement.pattern


def test_a_movement_does_not_count_its_own_pattern_twice() -> None:
    assert all(movement.pattern not in movement.also for movement in LIBRARY.values())


def test_a_hand_is_a_side_only_with_a_single_weight() -> None:
    for _, variant in every_variant():
        if variant.sides is Sides.hand:
            assert variant.kit is Kit.single
            assert variant.held is not Held.both_hands


def test_a_leg_stays_a_side_with_whatever_kit() -> None:
    for movement in LIBRARY.values():
        of_leg = {variant.kit for variant in movement.variants if sides_of(variant) is Sides.leg}
        assert not of_leg or of_leg == {variant.kit for variant in movement.variants}


def test_a_single_weight_in_one_hand_always_has_a_side() -> None:
    for movement, variant in every_variant():
        if variant.kit is Kit.single:
            assert (variant.held is Held.both_hands) or variant.sides is not Sides.none, movement.slug


def test_a_weight_is_held_somewhere_and_nothing_is_held_nowhere() -> None:
    assert all(loaded(variant) == (variant.held is not Held.none) for _, variant in every_variant())


def test_each_loaded_form_says_how_to_place_the_weight_and_begins_with_the_collars() -> None:
    for movement, variant in every_variant():
        assert loaded(variant) == (variant.placing is not None), movement.slug
        assert variant.placing is None or variant.placing.startswith("Check the collars"), movement.slug


def test_a_weight_over_the_chest_is_rolled_in_with_both_hands_and_never_crosses_the_face() -> None:
    """Lying: roll to the side (on a bench sit up), two hands, never across the face. Common practice, no
    source."""
    lying = [
        variant
        for movement, variant in every_variant()
        if loaded(variant)
        and variant.position is Position.supine
        and movement.pattern is MovementPattern.horizontal_push
    ]
    assert lying
    for variant in lying:
        placing = variant.placing or ""
        assert "roll" in placing or "sit up" in placing
        assert "both hands" in placing.lower() or variant.kit is Kit.pair
        assert "hug" in placing
        assert "the face" in placing


def test_a_weight_comes_down_from_overhead_before_it_changes_hands() -> None:
    """Overhead: two hands to the shoulder, never change hands overhead. Common practice, no source."""
    pressed = [
        variant
        for movement, variant in every_variant()
        if variant.sides is not Sides.none
        and MovementPattern.vertical_push in (movement.pattern, *movement.also)
    ]
    assert pressed
    for variant in pressed:
        assert "never overhead" in (variant.placing or "")
        assert "to the shoulder" in (variant.placing or "")


def test_no_weight_comes_down_on_the_belly() -> None:
    """A weight changes hands at the chest or on the floor, for everybody. Common practice, no source; that
    nothing strikes the abdomen in pregnancy is ACOG Committee Opinion 804, from memory."""
    for movement, variant in every_variant():
        if loaded(variant):
            said = (variant.placing or "", *movement.cues, movement.end_point)
            assert not any("to the belly" in one or "touches the belly" in one for one in said), movement.slug
            assert "belly" not in (variant.placing or ""), movement.slug
    changing = [variant.placing or "" for _, variant in every_variant() if variant.held is Held.shoulder]
    for placing in (one for one in changing if "To change sides" in one or "Change sides" in one):
        assert "chest" in placing or "lap" in placing, placing
        assert "both hands" in placing


def test_floor_work_needs_the_floor() -> None:
    assert all(variant.on_floor == (Equipment.floor in variant.needs) for _, variant in every_variant())


def test_what_hangs_from_one_hand_or_is_squeezed_is_heavy_on_the_grip_and_a_light_weight_is_not() -> None:
    hanging = {Held.same_side, Held.opposite_side, Held.at_sides, Held.front}
    for movement, variant in every_variant():
        if variant.grip_heavy:
            assert variant.held in hanging or movement.slug == "towel-grip-hold"
            assert movement.stress_on(Joint.wrist, variant) >= 1
        elif variant.held in hanging:
            assert "light" in variant.name or movement.slug == "half-kneeling-press", movement.slug


def test_whatever_is_held_in_the_hand_loads_the_wrist_unless_it_lies_on_the_forearms() -> None:
    unloaded = {
        m.slug for m, variant in every_variant() if loaded(variant) and m.stress_on(Joint.wrist, variant) == 0
    }
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
            assert "breath" in spoken, movement.slug


def test_the_position_of_a_form_is_what_its_name_says() -> None:
    lying = ("on the back", "lying on the floor", "lying on a bench")
    for movement, variant in every_variant():
        words = variant.name.lower()
        on_back = any(one in words for one in lying) or movement.slug in SUPINE
        assert (variant.position is Position.supine) == on_back, movement.slug
        assert (variant.position is Position.prone) == ("face down" in words), movement.slug
        assert not (variant.hands_bear and loaded(variant))


SUPINE = frozenset({"weighted-bridge", "one-leg-bridge", "table-row"})
"""Variants that name something more important: the weight on the hips, the other knee, the table."""


def test_hands_bear_the_body_in_every_press_up_and_plank_and_on_all_fours() -> None:
    bearing = {movement.slug for movement, variant in every_variant() if variant.hands_bear}
    propped = {slug for slug in LIBRARY if slug.endswith(("press-up", "plank", "plank-knees"))}
    assert bearing == propped | {
        "bird-dog",
        "knees-lifted-hold",
        "slow-climber",
        "back-round-and-hollow",
        "hand-walk-out",
        "table-row",
    }


def test_who_changes_sides_is_told_to_change_what_really_changes() -> None:
    """In a side plank nobody changes legs: a variant that is held on one side changes the side."""
    changing = {
        (m.slug, changing_in(variant))
        for m, variant in every_variant()
        if sides_of(variant) is not Sides.none
    }
    assert {slug for slug, what in changing if what is Changing.side} == {
        "wall-side-plank",
        "side-plank-knees",
        "side-plank",
        "lying-chest-opening",
        "chest-stretch",
        "half-kneeling-press",
    }
    for movement, variant in every_variant():
        if changing_in(variant) is Changing.leg:
            assert movement.region.value == "lower" or movement.slug == "towel-row"
        assert (changing_in(variant) is Changing.hand) == (sides_of(variant) is Sides.hand)


@pytest.mark.parametrize("pattern", PATTERNS)
def test_each_pattern_can_be_trained_with_nothing_but_a_dry_floor(pattern: MovementPattern) -> None:
    without = frozenset(Equipment) - {Equipment.floor}
    assert any(movement.variant_for(Kit.none, without) is not None for movement in of_pattern(pattern))


COMMON_PRACTICE = {
    "floor-press": ("about 45° from the trunk", "Wrist over elbow", "Finish over the shoulder"),
    "bench-press": ("about 45° from the trunk", "Wrist over elbow", "Finish over the shoulder"),
    "press-up": ("about 45° from the trunk",),
    "knee-press-up": ("about 45° from the trunk",),
    "incline-press-up": ("about 45° from the trunk",),
    "wall-press-up": ("about 45° from the trunk",),
    "hip-hinge": ("a stick along the spine would touch head, upper back and pelvis",),
    "romanian-deadlift": ("just below the knee; just above is fine, the floor is not the aim",),
    "two-hand-deadlift": ("just below the knees; just above is fine",),
    "staggered-deadlift": ("just below the knee; just above is fine", "rear toes down"),
    "one-leg-deadlift": ("just below the knee", "Put the toes down if you wobble"),
    "wall-sit": ("Feet about 30 cm from the wall, thighs level or just above",),
    "hugged-wall-sit": ("Feet about 30 cm from the wall, thighs level or just above",),
    "knees-lifted-hold": ("2–3 cm above the floor",),
    "overhead-press": ("level with the ear or just behind",),
    "seated-press": ("level with the ear or just behind",),
    "half-kneeling-press": ("level with the ear or just behind",),
    "squat-and-press": ("level with the ear",),
    "suitcase-deadlift": ("A step under it raises the start",),
}
"""What our own texts have to say. Common practice, no source."""


@pytest.mark.parametrize("slug", COMMON_PRACTICE)
def test_our_texts_say_what_common_practice_says(slug: str) -> None:
    movement = LIBRARY[slug]
    said = " ".join((movement.end_point, *movement.cues, *(variant.name for variant in movement.variants)))
    for words in COMMON_PRACTICE[slug]:
        assert words in said


def test_a_movement_that_asks_for_balance_has_an_easier_variant_without_a_weight() -> None:
    """Without a weight is a valid easier variant. Common practice, no source."""
    for movement in LIBRARY.values():
        if any(changing_in(variant) is Changing.leg and loaded(variant) for variant in movement.variants):
            assert movement.variants_for(Kit.none)


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("joint", Joint)
def test_a_joint_that_may_take_nothing_has_a_substitute_or_the_pattern_is_said_to_be_left_out(
    joint: Joint, kit: Kit
) -> None:
    assert patterns_left_out(joint, kit, 0) == PATTERNS_THAT_WORK.get(joint, set())


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("joint", Joint)
def test_a_joint_that_may_take_light_stress_has_a_substitute_in_every_pattern(joint: Joint, kit: Kit) -> None:
    assert patterns_left_out(joint, kit, 1) == set()


def test_calf_raises_stand_with_the_squats_but_never_in_place_of_one() -> None:
    """No pattern is about the ankle alone. A calf raise pushes the floor away upright, as a squat does, but
    bends neither hip nor knee: it is an accessory. Common practice, no source."""
    accessories = [movement for movement in LIBRARY.values() if movement.accessory]
    assert [movement.slug for movement in accessories] == ["calf-raise", "one-leg-calf-raise"]
    assert all(movement.pattern is MovementPattern.squat for movement in accessories)
    assert not any(trains_pattern_of(one, LIBRARY["squat"]) for one in accessories)
    assert trains_pattern_of(LIBRARY["squat"], LIBRARY["calf-raise"])
