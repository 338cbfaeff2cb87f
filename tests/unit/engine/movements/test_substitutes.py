"""The best stand-ins for a whole round: fewest left out, fewest crowded neighbours, then the nearest."""

from __future__ import annotations

from builders import movement

from engine.movements.best_round import RoundPlace, best_round
from engine.movements.movement import Equipment, Form, Joint, Kit, Movement, MovementPattern, Region
from engine.movements.substitutes import Candidate, Distance, stand_ins

LOWER, UPPER, TRUNK = Region.lower_body, Region.upper_body, Region.trunk


def option(slug: str, far: int = 0, *, region: Region = LOWER, grip_heavy: bool = False) -> Candidate:
    one = movement(slug, region=region, grip_heavy=grip_heavy)
    return Candidate(one, one.forms[0], Distance(far))


def place(*options: Candidate, region: Region = LOWER, grip_heavy: bool = False) -> RoundPlace:
    return RoundPlace(region, grip_heavy, options)


def filled(*places: RoundPlace) -> list[str | None]:
    return [one.movement.slug if one is not None else None for one in best_round(places)]


def test_the_first_to_ask_gives_way_where_the_other_has_nothing_else() -> None:
    contested, spare = option("crate-lift"), option("crate-hold", far=5)
    assert filled(place(contested, spare), place(contested)) == ["crate-hold", "crate-lift"]


def test_where_two_want_the_same_the_round_is_nearest_as_a_whole() -> None:
    first = place(option("crate-lift"), option("crate-hold", far=2))
    second = place(option("crate-lift"), option("crate-turn", far=9))
    assert filled(first, second) == ["crate-hold", "crate-lift"]


def test_one_that_is_left_out_does_not_take_another_with_it() -> None:
    assert filled(place(option("crate-lift")), place(), place(option("crate-hold"))) == [
        "crate-lift",
        None,
        "crate-hold",
    ]


def test_a_farther_stand_in_keeps_lower_and_upper_apart() -> None:
    near, far = option("row", region=UPPER), option("plank", far=7, region=TRUNK)
    around = (
        place(option("press", region=UPPER), region=UPPER),
        place(option("pull", region=UPPER), region=UPPER),
    )
    assert filled(around[0], place(near, far), around[1]) == ["press", "plank", "pull"]


def test_two_of_one_region_stay_together_where_the_plan_put_them_so() -> None:
    near, far = option("squat"), option("plank", far=1, region=TRUNK)
    assert filled(place(option("hinge")), place(near, far)) == ["hinge", "squat"]


def test_what_moves_together_when_one_is_left_out_counts_as_neighbours() -> None:
    """The upper movement between them goes, so the second lower one gives way to the trunk."""
    second = place(option("hinge"), option("plank", far=3, region=TRUNK))
    others = place(option("press", region=UPPER), region=UPPER), place(region=UPPER)
    assert filled(place(option("squat")), others[1], second, others[0]) == ["squat", None, "plank", "press"]


def test_a_hard_grip_is_not_put_beside_a_hard_grip() -> None:
    gripping = place(option("carry", region=TRUNK, grip_heavy=True), region=TRUNK, grip_heavy=True)
    wanted = place(
        option("row", region=UPPER, grip_heavy=True), option("pull", far=4, region=UPPER), region=UPPER
    )
    assert filled(gripping, wanted) == ["carry", "pull"]


def test_a_round_far_beyond_any_use_still_comes_to_an_end_without_a_repetition() -> None:
    many = [option(f"lift-{number}", far=number) for number in range(12)]
    found = filled(*(place(*many) for _ in range(20)))
    stand = [slug for slug in found if slug is not None]
    assert len(stand) == len(set(stand)) == 12


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


def order(planned: Movement, *candidates: Movement) -> list[str]:
    """The stand-ins for a movement, nearest first, each in its first form."""
    known = {one.slug: one for one in candidates}
    found = stand_ins(Candidate(planned, planned.forms[0]), known, lambda slug: known[slug].forms[:1])
    return [one.movement.slug for one in found]


def test_an_easier_stand_in_comes_before_a_harder_one_though_it_is_farther() -> None:
    harder, easier = movement("heavy-lift", level=4), movement("light-lift", level=1)
    assert order(movement("lift", level=3), harder, easier) == ["light-lift", "heavy-lift"]


def test_what_is_more_than_one_level_harder_never_stands_in() -> None:
    assert order(movement("lift", level=2), movement("heavy-lift", level=4)) == []


def test_what_few_homes_have_is_asked_for_last() -> None:
    band = movement("band-lift", forms=(Form(id="band", name="Band", kit=Kit.none, needs=(Equipment.band,)),))
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
