"""The best round: fewest places left empty, fewest crowded neighbours, then the nearest stand-ins."""

from __future__ import annotations

from dataclasses import replace

from builders import movement

from engine.movements.best_round import RoundPlace, best_round
from engine.movements.movement import Region
from engine.movements.substitutes import SAME_REGION, Candidate, Distance

LOWER, UPPER, TRUNK = Region.lower_body, Region.upper_body, Region.trunk


def candidate(slug: str, far: int = 0, *, region: Region = LOWER, grip_heavy: bool = False) -> Candidate:
    one = movement(slug, region=region, grip_heavy=grip_heavy)
    return Candidate(one, one.variants[0], Distance(far))


def place(*candidates: Candidate, region: Region = LOWER, grip_heavy: bool = False) -> RoundPlace:
    return RoundPlace(region, grip_heavy, candidates)


def filled(*places: RoundPlace) -> list[str | None]:
    return [one.movement.slug if one is not None else None for one in best_round(places)]


def test_the_first_to_ask_gives_way_where_the_other_has_nothing_else() -> None:
    contested, spare = candidate("crate-lift"), candidate("crate-hold", far=5)
    assert filled(place(contested, spare), place(contested)) == ["crate-hold", "crate-lift"]


def test_where_two_want_the_same_the_round_is_nearest_as_a_whole() -> None:
    first = place(candidate("crate-lift"), candidate("crate-hold", far=2))
    second = place(candidate("crate-lift"), candidate("crate-turn", far=9))
    assert filled(first, second) == ["crate-hold", "crate-lift"]


def test_a_place_is_filled_by_another_kind_rather_than_left_empty() -> None:
    contested, elsewhere = candidate("crate-lift"), candidate("press", far=SAME_REGION, region=UPPER)
    assert filled(place(contested, elsewhere), place(contested)) == ["press", "crate-lift"]


def test_what_could_stand_in_either_place_stands_in_the_one_that_is_not_optional() -> None:
    """Short minutes may leave the optional one out, and something of the round is to stay."""
    needed = place(candidate("crate-lift", far=5))
    optional = replace(place(candidate("crate-lift")), optional=True)
    assert filled(needed, optional) == ["crate-lift", None]


def test_one_that_is_left_out_does_not_take_another_with_it() -> None:
    assert filled(place(candidate("crate-lift")), place(), place(candidate("crate-hold"))) == [
        "crate-lift",
        None,
        "crate-hold",
    ]


def test_a_farther_stand_in_keeps_lower_and_upper_apart() -> None:
    near, far = candidate("row", region=UPPER), candidate("plank", far=7, region=TRUNK)
    around = (
        place(candidate("press", region=UPPER), region=UPPER),
        place(candidate("pull", region=UPPER), region=UPPER),
    )
    assert filled(around[0], place(near, far), around[1]) == ["press", "plank", "pull"]


def test_two_of_one_region_stay_together_where_the_plan_put_them_so() -> None:
    near, far = candidate("squat"), candidate("plank", far=1, region=TRUNK)
    assert filled(place(candidate("hinge")), place(near, far)) == ["hinge", "squat"]


def test_what_moves_together_when_one_is_left_out_counts_as_neighbours() -> None:
    """The upper-body movement between them goes, so the second lower-body one gives way to the trunk."""
    second = place(candidate("hinge"), candidate("plank", far=3, region=TRUNK))
    others = place(candidate("press", region=UPPER), region=UPPER), place(region=UPPER)
    assert filled(place(candidate("squat")), others[1], second, others[0]) == [
        "squat",
        None,
        "plank",
        "press",
    ]


def test_a_hard_grip_is_not_put_beside_a_hard_grip() -> None:
    gripping = place(candidate("carry", region=TRUNK, grip_heavy=True), region=TRUNK, grip_heavy=True)
    wanted = place(
        candidate("row", region=UPPER, grip_heavy=True), candidate("pull", far=4, region=UPPER), region=UPPER
    )
    assert filled(gripping, wanted) == ["carry", "pull"]


def test_a_round_far_beyond_any_use_still_comes_to_an_end_without_a_repetition() -> None:
    many = [candidate(f"lift-{number}", far=number) for number in range(12)]
    found = filled(*(place(*many) for _ in range(20)))
    stand = [slug for slug in found if slug is not None]
    assert len(stand) == len(set(stand)) == 12
