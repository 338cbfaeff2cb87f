"""The coach's own choice for a place in the round."""

from __future__ import annotations

import pytest
from builders import HAND, movement

from companion.words.words import english
from engine.movements.best_round import RoundPlace, crowded
from engine.movements.limits import Limit
from engine.movements.movement import Equipment, Joint, Kit, Movement, Position, Region, Variant
from engine.movements.own_choice import (
    COMES_ALREADY,
    Occasion,
    OwnSubstitute,
    best_round_with,
    occurring,
    own_choice,
)
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room, SoreJoint
from engine.movements.substitutes import Candidate

SQUAT = movement("low-squat", stress={Joint.knee: 3})
PULL = movement("long-pull", region=Region.upper_body)
BRACE = movement("tall-brace", region=Region.trunk)
ON_A_BENCH = Variant(id="bench", name="On a bench", kit=Kit.none, needs=(Equipment.bench,))
ON_THE_BACK = Variant(id="back", name="On the back", kit=Kit.none, position=Position.supine)
SORE_KNEE = SoreJoint(joint=Joint.knee, rating=3)


def place_of(one: Movement, *others: Movement, optional: bool = False) -> RoundPlace:
    candidates = tuple(Candidate(other, other.variants[0]) for other in (one, *others))
    return RoundPlace(one.region, one.variants[0].grip_heavy, candidates, optional)


def fixed(one: Movement) -> Candidate:
    return Candidate(one, one.variants[0])


def names(filled) -> list[str | None]:
    return [one.movement.slug if one else None for one in filled]


def test_there_is_an_occasion_for_each_joint_and_for_each_kit_that_is_not_everything() -> None:
    assert [one.joint for one in Occasion if one.joint] == list(Joint)
    assert [one.kit for one in Occasion if one.kit] == [Kit.none, Kit.single]
    assert all((one.joint is None) is not (one.kit is None) for one in Occasion)


def test_a_sore_joint_comes_before_the_kit() -> None:
    written = tuple(OwnSubstitute(when=when, movement=when) for when in ("none", "hip", "knee", "single"))
    assert [one.when for one in occurring(written, Room(kit=Kit.none, sore=(SORE_KNEE,)))] == ["knee", "none"]
    assert [one.when for one in occurring(written, Room(kit=Kit.single))] == ["single"]
    assert occurring(written, Room(kit=Kit.pair)) == []


def test_the_coachs_own_choice_stands_before_what_is_nearer() -> None:
    places = [place_of(SQUAT), place_of(PULL, HAND)]
    assert names(best_round_with(places, {0: [fixed(BRACE)]})) == [BRACE.slug, PULL.slug]


def test_it_never_stands_twice_in_a_round() -> None:
    places = [place_of(SQUAT), place_of(PULL), place_of(HAND)]
    filled = best_round_with(places, {0: [fixed(BRACE)], 1: [fixed(BRACE)]})
    assert names(filled) == [BRACE.slug, PULL.slug, HAND.slug]
    assert names(best_round_with(places, {0: [fixed(PULL)]}))[0] == SQUAT.slug


def test_it_never_crowds_a_neighbour_that_the_round_leaves_apart() -> None:
    places = [place_of(SQUAT), place_of(PULL), place_of(BRACE)]
    upper = movement("high-press", region=Region.upper_body)
    filled = best_round_with(places, {0: [fixed(upper)]})
    assert names(filled) == [SQUAT.slug, PULL.slug, BRACE.slug]
    assert crowded(places, filled) == 0
    assert crowded(places, (fixed(upper), *filled[1:])) == 1


def test_of_two_choices_the_second_stands_where_the_first_may_not() -> None:
    upper = movement("high-press", region=Region.upper_body)
    lower = movement("slow-lunge")
    places = [place_of(SQUAT), place_of(PULL), place_of(BRACE)]
    assert names(best_round_with(places, {0: [fixed(upper), fixed(lower)]}))[0] == lower.slug


@pytest.mark.parametrize(
    ("one", "room", "most", "why"),
    [
        (SQUAT, Room(sore=(SORE_KNEE,)), 0, "too hard on the knee"),
        (SQUAT, Room(after_pain=(SQUAT.slug,)), 0, "after pain"),
        (movement("bench-dip", variants=(ON_A_BENCH,)), Room(without=(Equipment.bench,)), 0, "no bench"),
        (
            movement("back-bridge", variants=(ON_THE_BACK,)),
            Room(limits=(Limit.not_on_back,)),
            0,
            "not on the back",
        ),
        (movement("press", variants=HAND.variants[1:2]), Room(), 0, "no dumbbell"),
        (movement("press", variants=HAND.variants[2:]), Room(kit=Kit.single), 1, "no second dumbbell"),
        (
            movement("press", variants=HAND.variants[1:2]),
            Room(kit=Kit.single),
            0,
            "a warm-up gains no weight",
        ),
    ],
    ids=["sore", "after pain", "equipment", "limit", "no dumbbell", "one too few", "warm-up"],
)
def test_what_cannot_be_done_today_says_why(one: Movement, room: Room, most: int, why: str) -> None:
    written = OwnSubstitute(when=Occasion.knee, movement=one.slug)
    made = own_choice(written, Repertoire({one.slug: one}, room), most, ())
    assert (made.candidate, [*map(english, made.hindrance)]) == (None, [why])


def test_what_another_block_has_comes_already() -> None:
    written = OwnSubstitute(when=Occasion.knee, movement=PULL.slug)
    today = Repertoire({PULL.slug: PULL}, Room())
    assert own_choice(written, today, 0, {PULL.slug}).hindrance == (COMES_ALREADY,)
    free = own_choice(written, today, 0, ())
    assert free.candidate == fixed(PULL)
    assert free.beside({PULL.slug}).hindrance == (COMES_ALREADY,)
