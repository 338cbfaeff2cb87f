"""Which movement and variant a person does today."""

from __future__ import annotations

from typing import Any

import pytest
from builders import BOTH, FLOOR, HAND, LEG, TEST_MOVEMENTS, cool_down, movement, plan, practice, work
from reasons_said import swaps_said

from companion.words.words import ENGLISH, english
from engine.fit.choose import Choice, choose
from engine.fit.reasons import Swap
from engine.movements.movement import (
    JOINT_POINTS,
    PATTERNS_THAT_WORK,
    Equipment,
    Joint,
    Kit,
    MovementPattern,
    Region,
    Side,
    Sides,
    StartsWith,
    Variant,
    library,
    trains_pattern_of,
)
from engine.movements.room import Room, SoreJoint
from engine.movements.substitutes import MOST_LEVELS_HARDER
from engine.movements.terms import every_term, joint_term
from engine.plan.plan import Amount, SessionPlan, WarmUpBlock, WarmUpItem, WorkMovement
from engine.session.choices import Chosen

LIBRARY = library()

HARD = movement("deep-bend", stress={Joint.knee: 3}, pattern=MovementPattern.squat, easier="half-bend")
HALF = movement("half-bend", stress={Joint.knee: 1}, pattern=MovementPattern.squat)
WALL_ONLY = movement(
    "wall-press",
    pattern=MovementPattern.horizontal_push,
    region=Region.upper_body,
    variants=(Variant(id="wall", name="At the wall", kit=Kit.none, needs=(Equipment.wall,)),),
)


def bending(*others: str) -> SessionPlan:
    return plan(
        practice(movements=(HARD.slug,)),
        work(HARD.slug, *others),
        movements=(*TEST_MOVEMENTS, HARD, HALF, WALL_ONLY),
    )


def sore(rating: int, joint: Joint = Joint.knee) -> Room:
    return Room(kit=Kit.single, sore=(SoreJoint(joint=joint, side=Side.right, rating=rating),))


def of_library(*slugs: str, **fields: Any) -> SessionPlan:
    return plan(work(*slugs, **fields), movements=())


said = swaps_said


def chosen_in(choice: Choice, block: str = "circuit") -> dict[str, str]:
    return {slug: chosen.movement for slug, chosen in choice.by_block[block].items()}


def test_a_sore_joint_leads_to_the_easier_movement_and_says_so() -> None:
    choice = choose(bending(HAND.slug), sore(2))
    assert chosen_in(choice)[HARD.slug] == HALF.slug
    assert said(choice) == ["Half bend (One weight) instead of Deep bend: spares the right knee."]
    assert choice.by_block["circuit"][HARD.slug].instead_of == HARD.slug


def test_practice_follows_what_the_work_block_chose() -> None:
    assert chosen_in(choose(bending(HAND.slug), sore(2)), "practice") == {HARD.slug: HALF.slug}


def test_a_substitute_spares_the_joint_as_well() -> None:
    known = bending(HAND.slug).known_movements()
    for movement_chosen in chosen_in(choose(bending(HAND.slug), sore(3))).values():
        assert known[movement_chosen].stress_on(Joint.knee, known[movement_chosen].variants[0]) == 0


def test_a_missing_wall_takes_the_movement_away() -> None:
    room = Room(kit=Kit.none, without=(Equipment.wall,))
    choice = choose(bending(WALL_ONLY.slug), room)
    assert chosen_in(choice)[WALL_ONLY.slug] != WALL_ONLY.slug
    assert said(choice)[0].endswith(": no wall.")


def test_a_movement_without_a_substitute_is_left_out() -> None:
    everywhere = dict.fromkeys(Joint, 3)
    only = movement("all-out", pattern=MovementPattern.carry, region=Region.trunk, stress=everywhere)
    every_joint = Room(sore=tuple(SoreJoint(joint=joint, rating=10) for joint in Joint), kit=Kit.none)
    choice = choose(plan(work(only.slug), movements=(only,)), every_joint)
    assert set(chosen_in(choice).values()) <= {
        slug for slug, known in plan().known_movements().items() if not any(known.stress.values())
    }


def test_no_movement_stands_twice_in_a_block_after_swaps() -> None:
    second = movement("low-bend", stress={Joint.knee: 3}, pattern=MovementPattern.squat, easier="half-bend")
    twice = plan(work(HARD.slug, second.slug), movements=(HARD, HALF, second))
    chosen = list(chosen_in(choose(twice, sore(2))).values())
    assert len(chosen) == len(set(chosen)) == 2


@pytest.mark.parametrize("hard_first", [True, False])
def test_what_one_work_block_has_stands_in_for_nothing_in_another(hard_first: bool) -> None:
    hard = work(HARD.slug, BOTH.slug, FLOOR.slug, id="hard")
    half = work(HALF.slug, HAND.slug, id="half")
    blocks = (hard, half) if hard_first else (half, hard)
    choice = choose(plan(*blocks, movements=(*TEST_MOVEMENTS, HARD, HALF)), sore(2))
    assert HALF.slug in chosen_in(choice, "half").values()
    assert HALF.slug not in chosen_in(choice, "hard").values()


def test_a_substitute_does_not_put_grip_beside_grip() -> None:
    gripping = movement("heavy-hold", grip_heavy=True, pattern=MovementPattern.carry, region=Region.trunk)
    tight = movement("tight-bend", grip_heavy=True, region=Region.trunk, easier="loose-bend")
    loose = movement("loose-bend", region=Region.trunk)
    hard = movement("hard-bend", stress={Joint.hip: 3}, region=Region.trunk, easier="tight-bend")
    crowded = plan(work(gripping.slug, hard.slug), movements=(gripping, tight, loose, hard))
    assert chosen_in(choose(crowded, sore(3, Joint.hip)))[hard.slug] == loose.slug


def test_the_coachs_words_in_the_block_come_before_the_librarys() -> None:
    item = WorkMovement(movement=BOTH.slug, cues=("Mind the beam.",), end_point="To the chalk line.")
    chosen = choose(plan(work(movements=(item,))), Room(kit=Kit.none)).by_block["circuit"][BOTH.slug]
    assert (chosen.cues, chosen.end_point) == (("Mind the beam.",), "To the chalk line.")


@pytest.mark.parametrize(
    "kit, sides",
    [
        (Kit.none, {BOTH.slug: Sides.none, HAND.slug: Sides.none, LEG.slug: Sides.leg}),
        (Kit.single, {BOTH.slug: Sides.none, HAND.slug: Sides.hand, LEG.slug: Sides.leg}),
        (Kit.pair, {BOTH.slug: Sides.none, HAND.slug: Sides.none, LEG.slug: Sides.leg}),
    ],
)
def test_what_changes_sides_depends_on_the_kit(kit: Kit, sides: dict[str, Sides]) -> None:
    chosen = choose(plan(), Room(kit=kit)).by_block["circuit"]
    assert {slug: one.sides for slug, one in chosen.items()} == sides


def test_a_floor_movement_stays_where_the_floor_is_allowed() -> None:
    choice = choose(plan(work(FLOOR.slug)), Room(kit=Kit.none))
    assert choice.by_block["circuit"][FLOOR.slug].on_floor
    assert choice.swaps == ()


@pytest.mark.parametrize(
    "named, nearest",
    [
        ("floor-press", "incline-press-up"),
        ("bench-press", "incline-press-up"),
        ("overhead-press", "raised-hips-high-press-up"),
        ("romanian-deadlift", "staggered-deadlift"),
        ("weighted-bridge", "glute-bridge"),
        ("bent-over-row", "prone-row"),
        ("suitcase-carry", "tall-march"),
        ("hugged-lean-back", "seated-lean-back"),
    ],
)
def test_without_a_weight_the_nearest_in_demand_stands_in_and_not_the_easiest(
    named: str, nearest: str
) -> None:
    """A floor press becomes a press-up on a table, not one at the wall; nor one on the floor, since a weight
    can be light and the body cannot. Common practice, no source."""
    assert chosen_in(choose(of_library(named), Room())) == {named: nearest}


def test_a_stand_in_asks_for_nothing_that_a_home_may_lack_where_something_else_will_do() -> None:
    choice = choose(of_library("bent-over-row", "overhead-press", "straight-arm-sweep"), Room())
    rare = {Equipment.band, Equipment.bench, Equipment.step}
    for one in choice.by_block["circuit"].values():
        variant = next(variant for variant in LIBRARY[one.movement].variants if variant.id == one.variant)
        assert not rare & set(variant.needs)


def test_a_lighter_form_of_the_same_movement_comes_before_any_other_movement() -> None:
    room = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.wrist, rating=4),))
    choice = choose(of_library("goblet-squat"), room)
    assert chosen_in(choice) == {"goblet-squat": "goblet-squat"}
    assert choice.by_block["circuit"]["goblet-squat"].variant == "bodyweight"
    assert choice.by_block["circuit"]["goblet-squat"].instead_of is None
    assert said(choice) == ["Goblet squat with empty hands: spares the wrist."]


def test_a_raised_form_is_allowed_where_the_form_on_the_floor_is_too_much() -> None:
    room = Room(sore=(SoreJoint(joint=Joint.wrist, rating=2),))
    choice = choose(of_library("slow-climber"), room)
    assert choice.by_block["circuit"]["slow-climber"].variant == "bodyweight-chair"


def test_a_sore_wrist_on_one_side_spares_both_and_says_so() -> None:
    room = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.wrist, side=Side.left, rating=3),))
    choice = choose(of_library("suitcase-hold"), room)
    (chosen,) = choice.by_block["circuit"].values()
    assert Joint.wrist not in LIBRARY[chosen.movement].stressed_in(LIBRARY[chosen.movement].variants[0])
    (text,) = said(choice)
    assert "spares the left wrist and the other side too, so that both stay equal" in text


def test_a_movement_of_both_hands_needs_no_word_about_the_other_side() -> None:
    room = Room(kit=Kit.pair, sore=(SoreJoint(joint=Joint.wrist, side=Side.left, rating=3),))
    assert "other side" not in said(choose(of_library("suitcase-hold"), room))[0]


def test_only_a_joint_that_is_worked_one_side_at_a_time_brings_in_the_other_side() -> None:
    """With a weight in both hands over one leg, a sore left wrist has nothing to do with the other leg."""
    wrist = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.wrist, side=Side.left, rating=3),))
    knee = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.knee, side=Side.left, rating=3),))
    assert "other side" not in said(choose(of_library("split-squat"), wrist))[0]
    assert "the other side too" in said(choose(of_library("split-squat"), knee))[0]
    assert "the other side too" in said(choose(of_library("side-plank"), knee))[0]


def test_a_message_holds_however_much_is_sore_and_however_long_the_names() -> None:
    longest = movement("longest", name="A" * 120, stress=dict.fromkeys(Joint, 3), sides=Sides.leg)
    sore = tuple(SoreJoint(joint=joint, side=side, rating=9) for joint, side in JOINT_POINTS)
    choice = choose(plan(work(longest.slug), movements=(longest,)), Room(sore=sore))
    (text,) = said(choice)
    assert "A" * 120 in text
    assert all(ENGLISH.argument(joint_term(point)) in text for point in JOINT_POINTS if point[1] is not None)
    assert Swap.model_validate_json(choice.swaps[0].model_dump_json()) == choice.swaps[0]


def test_the_coachs_easier_movement_comes_before_the_librarys_nearest() -> None:
    item = WorkMovement(movement="floor-press", easier="wall-press-up")
    choice = choose(plan(work(movements=(item,)), movements=()), Room())
    assert chosen_in(choice) == {"floor-press": "wall-press-up"}


def test_a_hold_never_stands_in_where_repetitions_are_counted() -> None:
    room = Room(sore=(SoreJoint(joint=Joint.low_back, rating=3),))
    items = (WarmUpItem(movement="hip-hinge", amount=Amount(low=10)),)
    counted = choose(plan(WarmUpBlock(id="warm-up", items=items), work(), movements=TEST_MOVEMENTS), room)
    worked = choose(of_library("hip-hinge"), room)
    assert worked.by_block["circuit"]["hip-hinge"].starts_with is StartsWith.hold
    assert counted.by_block["warm-up"]["hip-hinge"].starts_with is not StartsWith.hold


def test_a_calf_raise_never_stands_in_for_the_pattern_of_a_squat() -> None:
    room = Room(sore=(SoreJoint(joint=Joint.hip, rating=3),))
    (text,) = said(choose(of_library("squat"), room))
    assert text == "Calf raise (Fingertips on the wall) instead of Squat: every squat works the hip."


def test_where_a_pattern_and_its_region_work_the_sore_joint_the_trunk_stands_in_and_the_reason_is_said() -> (
    None
):
    room = Room(kit=Kit.pair, sore=(SoreJoint(joint=Joint.shoulder, side=Side.right, rating=5),))
    choice = choose(of_library("overhead-press"), room)
    assert said(choice) == [
        "Seated lean-back instead of Overhead press: every overhead press works the right shoulder."
    ]


def test_a_pattern_is_left_out_where_only_the_trunk_could_stand_in_and_would_crowd_a_neighbour() -> None:
    room = Room(kit=Kit.pair, sore=(SoreJoint(joint=Joint.shoulder, side=Side.right, rating=5),))
    choice = choose(of_library("overhead-press", "dead-bug", "squat"), room)
    assert "overhead-press" not in choice.by_block["circuit"]
    assert said(choice)[0] == "Overhead press left out: every overhead press works the right shoulder."


@pytest.mark.parametrize(
    "named, room, why",
    [
        ("floor-press", Room(kit=Kit.none), "no dumbbell"),
        ("wall-sit", Room(without=(Equipment.wall,)), "no wall"),
        (
            "lying-breath",
            Room(without=(Equipment.chair, Equipment.floor)),
            "no chair and no room to lie down",
        ),
        (
            "romanian-deadlift",
            Room(sore=(SoreJoint(joint=Joint.low_back, rating=3),)),
            "no dumbbell and spares the low back",
        ),
        (
            "split-squat",
            Room(sore=tuple(SoreJoint(joint=joint, rating=3) for joint in (Joint.knee, Joint.ankle))),
            "every lunge works the knee and ankle",
        ),
    ],
)
def test_a_change_says_what_is_lacking_and_what_is_spared(named: str, room: Room, why: str) -> None:
    block = cool_down(movements=(named,)) if named == "lying-breath" else work(named)
    choice = choose(plan(block, work(id="other"), movements=TEST_MOVEMENTS), room)
    assert why in said(choice)[0]


def test_both_sides_of_a_joint_are_named_in_one_reason_for_a_pattern_left_out() -> None:
    sides = tuple(SoreJoint(joint=Joint.knee, side=side, rating=3) for side in (Side.left, Side.right))
    (text,) = said(choose(of_library("squat"), Room(sore=sides)))
    assert text.endswith(": every squat works the left knee and right knee.")


@pytest.mark.parametrize("kit", [Kit.none, Kit.pair])
@pytest.mark.parametrize("joint", Joint)
def test_every_movement_has_a_substitute_of_its_pattern_or_the_sentence_says_why_not(
    joint: Joint, kit: Kit
) -> None:
    """No stress is allowed on the joint; each movement of the library is alone in its round."""
    room = Room(kit=kit, sore=(SoreJoint(joint=joint, rating=3),))
    for slug, one in LIBRARY.items():
        if one.pattern is MovementPattern.mobility:
            continue
        choice = choose(of_library(slug), room)
        chosen = choice.by_block["circuit"].get(slug)
        kept = chosen is not None and trains_pattern_of(LIBRARY[chosen.movement], one)
        works = one.pattern in PATTERNS_THAT_WORK.get(joint, ())
        words = f"{english(every_term(one.pattern))} works the {joint.replace('_', ' ')}"
        assert kept or works, slug
        assert kept or words in said(choice)[0], slug
        assert (
            chosen is None or level_of(chosen) <= one.level_of(room.usual_variant(one)) + MOST_LEVELS_HARDER
        ), slug


def level_of(chosen: Chosen) -> int:
    one = LIBRARY[chosen.movement]
    return one.level_of(next(variant for variant in one.variants if variant.id == chosen.variant))
