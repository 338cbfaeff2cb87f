"""What can stand in for a movement, nearest first."""

from __future__ import annotations

from builders import movement

from engine.movements.movement import Equipment, Joint, Kit, Movement, MovementPattern, Region, Variant
from engine.movements.substitutes import AS_PLANNED, Candidate, stand_ins

LOWER, UPPER, TRUNK = Region.lower_body, Region.upper_body, Region.trunk


def test_what_is_planned_is_at_no_distance() -> None:
    assert not any(AS_PLANNED)


def test_an_easier_one_of_the_chain_comes_before_another_as_near() -> None:
    planned = movement("lift", level=3, easier="lower-lift")
    easier, other = movement("lower-lift", level=2), movement("other-lift", level=2)
    assert order(planned, planned, other, easier) == ["lift", "lower-lift", "other-lift"]


def test_the_same_pattern_comes_before_the_same_region_and_an_accessory_last() -> None:
    planned = movement("lift")
    accessory = movement("toe-lift", accessory=True)
    region = movement("fold", pattern=MovementPattern.hinge)
    pattern = movement("low-lift", level=1)
    elsewhere = movement("reach", pattern=MovementPattern.vertical_push, region=UPPER)
    loosening = movement("swing", pattern=MovementPattern.mobility)
    found = order(planned, accessory, region, pattern, elsewhere, loosening, planned)
    assert found == ["lift", "low-lift", "fold", "toe-lift"]


def test_of_the_same_pattern_a_full_movement_of_the_region_comes_before_an_accessory_and_another_region() -> (
    None
):
    """Though both others are of the planned level, and it is easier by two."""
    planned = movement("lift", level=3)
    accessory, elsewhere = (
        movement("toe-lift", level=3, accessory=True),
        movement("reach", level=3, region=UPPER),
    )
    assert order(planned, accessory, elsewhere, movement("low-lift", level=1))[0] == "low-lift"
    small = movement("heel-lift", level=3, accessory=True)
    assert order(small, movement("whole-lift", level=3), movement("calf-lift", level=1, accessory=True)) == [
        "calf-lift",
        "whole-lift",
    ]


def order(planned: Movement, *candidates: Movement) -> list[str]:
    """The stand-ins for a movement, nearest first, each in its first variant."""
    known = {one.slug: one for one in candidates}
    found = stand_ins(Candidate(planned, planned.variants[0]), known, lambda slug: known[slug].variants[:1])
    return [one.movement.slug for one in found]


def test_an_easier_stand_in_comes_before_a_harder_one_though_it_is_farther() -> None:
    harder, easier = movement("heavy-lift", level=4), movement("light-lift", level=1)
    assert order(movement("lift", level=3), harder, easier) == ["light-lift", "heavy-lift"]


def test_what_is_more_than_one_level_harder_never_stands_in() -> None:
    assert order(movement("lift", level=2), movement("heavy-lift", level=4)) == []


def test_what_few_homes_have_is_asked_for_last() -> None:
    band = movement(
        "band-lift", variants=(Variant(id="band", name="Band", kit=Kit.none, needs=(Equipment.band,)),)
    )
    assert order(movement("lift"), band, movement("low-lift", level=1)) == ["low-lift", "band-lift"]


def test_repetitions_stand_in_for_repetitions_and_a_hold_for_a_hold() -> None:
    hold, lift = movement("still-lift", starts_with="hold"), movement("moved-lift")
    assert order(movement("lift"), hold, lift) == ["moved-lift", "still-lift"]
    assert order(movement("long-hold", starts_with="hold"), lift, hold) == ["still-lift", "moved-lift"]


def test_of_two_as_near_the_one_that_works_the_same_joints_comes_first() -> None:
    planned = movement("lift", stress={Joint.hip: 2, Joint.knee: 1})
    other, same = (
        movement("arm-lift", stress={Joint.shoulder: 1}),
        movement("leg-lift", stress={Joint.hip: 1}),
    )
    assert order(planned, other, same) == ["leg-lift", "arm-lift"]


def test_standing_work_stands_in_for_standing_work() -> None:
    lying, standing = movement("lying-lift", on_floor=True), movement("upright-lift")
    assert order(movement("lift"), lying, standing) == ["upright-lift", "lying-lift"]
