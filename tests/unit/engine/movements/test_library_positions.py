"""Positions, balance and what the trunk does in the library, as a physiotherapist would check them.

Grades are our judgement (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from engine.movements.limits import Limit, barring
from engine.movements.movement import (
    Demand,
    Equipment,
    Joint,
    Kit,
    Movement,
    MovementPattern,
    Position,
    Sides,
    Variant,
    library,
)

LIBRARY = library()
PATTERNS = tuple(pattern for pattern in MovementPattern if pattern is not MovementPattern.mobility)


def every_variant() -> Iterator[tuple[Movement, Variant]]:
    return ((movement, variant) for movement in LIBRARY.values() for variant in movement.variants)


def of_pattern(pattern: MovementPattern) -> tuple[Movement, ...]:
    return tuple(movement for movement in LIBRARY.values() if movement.pattern is pattern)


def loaded(variant: Variant) -> bool:
    return variant.kit is not Kit.none


def kneels(variant: Variant) -> bool:
    """On a knee, by the words of its name, or by its position."""
    return (
        variant.position in KNEELING
        or "knees on" in variant.name.lower()
        or "knee on" in variant.name.lower()
    )


KNEELING = {Position.kneeling, Position.half_kneeling, Position.all_fours}


def test_no_text_of_a_movement_names_what_only_a_person_can_say_of_themselves() -> None:
    for movement in LIBRARY.values():
        said = movement.model_dump_json().lower()
        assert not any(word in said for word in ("pregnan", "birth", "blood pressure", "osteop", "fragile"))


def test_who_kneels_on_a_joint_has_stress_2_on_the_knee_and_1_on_a_pad() -> None:
    padded = [
        (m, variant) for m, variant in every_variant() if kneels(variant) and "towel" in variant.name.lower()
    ]
    bare = [
        (m, variant)
        for m, variant in every_variant()
        if kneels(variant) and "towel" not in variant.name.lower()
    ]
    assert {m.slug for m, _ in bare} == {
        "knee-plank",
        "side-plank-knees",
        "bird-dog",
        "back-round-and-hollow",
        "half-kneeling-press",
        "kneeling-fold",
    }
    assert all(movement.stress_on(Joint.knee, variant) == 2 for movement, variant in bare)
    assert len(padded) >= 7
    assert all(movement.stress_on(Joint.knee, variant) == 1 for movement, variant in padded)


def test_balance_is_what_a_coach_would_see() -> None:
    """0 lying, sitting or leaning; 1 both feet or a hand on something firm; 2 split, stepping, on the toes; 3
    on one leg. Common practice, no source."""
    low = {Position.supine, Position.prone, Position.sitting, Position.floor_sitting, Position.on_side}
    for movement, variant in every_variant():
        balance, words = movement.balance_of(variant), variant.name.lower()
        if variant.position in low:
            assert balance == 0, movement.slug
        if variant.on_floor and variant.position is not Position.half_kneeling:
            assert balance <= 1, movement.slug
        if balance == 3:
            assert variant.position is Position.standing, movement.slug
            assert variant.sides is Sides.leg, movement.slug
        if (
            movement.pattern is MovementPattern.lunge
            and "hand on" not in words
            and variant.sides is Sides.leg
        ):
            assert balance >= 2, movement.slug
        if "fingertips on" in words or "hand on" in words or "hands on the wall" in words:
            assert balance <= 2, movement.slug
    assert {m.slug for m, variant in every_variant() if m.balance_of(variant) == 3} == {
        "one-leg-chair-squat",
        "one-leg-deadlift",
        "raised-rear-split-squat",
    }


def test_a_weight_never_makes_balance_easier() -> None:
    for movement in LIBRARY.values():
        for free in movement.variants_for(Kit.none):
            for variant in filter(loaded, movement.variants):
                if movement.slug != "calf-raise":  # the weight in one hand, the other on the wall
                    assert movement.balance_of(free) <= movement.balance_of(variant), movement.slug


def test_a_position_on_the_floor_needs_the_floor_and_lying_on_a_bench_does_not() -> None:
    upright = {Position.standing, Position.sitting, Position.raised_hands}
    for movement, variant in every_variant():
        on_bench = Equipment.bench in variant.needs and variant.position is Position.supine
        assert (variant.position not in upright and not on_bench) == variant.on_floor, movement.slug


def test_hands_bear_the_body_where_it_is_propped() -> None:
    propped = {Position.propped, Position.raised_hands, Position.side_propped, Position.all_fours}
    hanging = {"table-row"}
    for movement, variant in every_variant():
        bears = variant.position in propped or movement.slug in hanging
        assert variant.hands_bear == bears, movement.slug


def test_what_a_movement_does_to_the_trunk_is_what_its_texts_say() -> None:
    for movement in LIBRARY.values():
        for variant in movement.variants:
            asked = movement.asks_of(variant)
            words = f"{variant.name} {movement.name} {' '.join(movement.cues)} {movement.end_point}".lower()
            assert not ("hips high" in words or "bridge" in words) or Demand.head_low in asked, movement.slug
            assert "round" not in movement.name.lower() or Demand.rounding in asked, movement.slug
            assert "turns" not in movement.slug.removeprefix("neck-turns") or Demand.twisting in asked
        if movement.pattern is MovementPattern.hinge and movement.variants[0].position is Position.standing:
            assert Demand.trunk_level in movement.asks, movement.slug
        if "bent-over" in movement.name.lower() or movement.slug.endswith("-over-row"):
            assert Demand.trunk_level in movement.asks, movement.slug


def test_another_version_of_a_movement_leads_to_one_that_is_nobody_elses() -> None:
    for movement, variant in every_variant():
        really = movement.really(variant)
        assert LIBRARY[really].same_as is None, movement.slug
        assert LIBRARY[really].pattern is movement.pattern or movement.slug == "tall-march"


def test_what_hangs_heavy_from_the_hand_of_who_stands_is_carried_by_the_hip() -> None:
    """A weight at the side is more than quiet standing, on the toes as on the whole foot."""
    for movement, variant in every_variant():
        if variant.grip_heavy and loaded(variant):
            assert Joint.hip in movement.stressed_in(variant), movement.slug


def test_what_pushes_or_pulls_as_well_is_no_neighbour_for_a_press() -> None:
    """A push or a pull beside a press leaves the arms no rest, whatever else it trains. Common practice, no
    source."""
    arms = {"horizontal_push", "vertical_push", "horizontal_pull", "vertical_pull"}
    assert not any(
        {str(pattern) for pattern in movement.also} & arms
        for movement in LIBRARY.values()
        if movement.region.value == "trunk"
    )


LIMITED = (Limit.steady, Limit.head_up, Limit.no_rounding, Limit.no_twisting, Limit.not_on_back)


@pytest.mark.parametrize("limit", [*LIMITED, Limit.not_prone, Limit.hands_raised, Limit.not_on_one_leg])
def test_each_pattern_has_a_whole_movement_within_each_limit(limit: Limit) -> None:
    for pattern in PATTERNS:
        assert any(
            not barring((limit,), movement, variant)
            for movement in of_pattern(pattern)
            if not movement.accessory
            for variant in movement.variants_for(Kit.none)
        ), (limit, pattern)
