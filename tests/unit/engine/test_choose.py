"""Which movement and form a person does today."""

from __future__ import annotations

import pytest
from builders import BOTH, FLOOR, HAND, LEG, TEST_MOVEMENTS, movement, plan, practice, work

from engine.choose import Choice, Room, SoreJoint, allowed_stress, choose, substitute_for
from engine.movement import Equipment, Form, Joint, Kit, MovementPattern, Region, Side, Sides
from engine.plan import SessionPlan, WorkMovement

HARD = movement("deep-bend", stress={Joint.knee: 3}, pattern=MovementPattern.squat, easier="half-bend")
HALF = movement("half-bend", stress={Joint.knee: 1}, pattern=MovementPattern.squat)
WALL_ONLY = movement(
    "wall-press",
    pattern=MovementPattern.horizontal_push,
    region=Region.upper_body,
    forms=(Form(id="wall", name="At the wall", kit=Kit.none, needs=(Equipment.wall,)),),
)


def bending(*others: str) -> SessionPlan:
    return plan(
        practice(movements=(HARD.slug,)),
        work(HARD.slug, *others),
        movements=(*TEST_MOVEMENTS, HARD, HALF, WALL_ONLY),
    )


def sore(rating: int, joint: Joint = Joint.knee) -> Room:
    return Room(kit=Kit.single, sore=(SoreJoint(joint=joint, side=Side.right, rating=rating),))


def chosen_in(choice: Choice, block: str = "circuit") -> dict[str, str]:
    return {slug: chosen.movement for slug, chosen in choice.by_block[block].items()}


@pytest.mark.parametrize("rating, grade", [(1, 1), (2, 1), (3, 0), (10, 0)])
def test_a_joint_that_hurts_more_takes_less(rating: int, grade: int) -> None:
    assert allowed_stress(rating) == grade


def test_a_sore_joint_leads_to_the_easier_movement_and_says_so() -> None:
    choice = choose(bending(HAND.slug), sore(2))
    assert chosen_in(choice)[HARD.slug] == HALF.slug
    assert [swap.text for swap in choice.swaps] == [
        "Half bend instead of Deep bend, to spare the right knee."
    ]
    assert choice.by_block["circuit"][HARD.slug].instead_of == HARD.slug


def test_practice_follows_what_the_work_block_chose() -> None:
    assert chosen_in(choose(bending(HAND.slug), sore(2)), "practice") == {HARD.slug: HALF.slug}


def test_a_substitute_spares_the_joint_as_well() -> None:
    known = bending(HAND.slug).known_movements()
    for movement_chosen in chosen_in(choose(bending(HAND.slug), sore(3))).values():
        assert known[movement_chosen].stress_on(Joint.knee, known[movement_chosen].forms[0]) == 0


def test_a_missing_wall_takes_the_movement_away() -> None:
    room = Room(kit=Kit.none, without=(Equipment.wall,))
    choice = choose(bending(WALL_ONLY.slug), room)
    assert chosen_in(choice)[WALL_ONLY.slug] != WALL_ONLY.slug
    assert choice.swaps[0].text.endswith("for want of a wall.")


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


def test_on_the_run_a_movement_is_replaced_by_one_that_leaves_the_hurt_joint_alone() -> None:
    known = plan(movements=(*TEST_MOVEMENTS, HARD, HALF, WALL_ONLY)).known_movements()
    room = Room(kit=Kit.single)
    chosen = choose(bending(HAND.slug), room).by_block["circuit"]
    found = substitute_for(
        chosen[HARD.slug],
        known=known,
        room=room,
        neighbours=(chosen[HAND.slug],),
        used=(HARD.slug, HAND.slug),
        sparing=frozenset({Joint.knee}),
    )
    assert found is not None
    assert found.instead_of == HARD.slug
    assert found.movement not in (HARD.slug, HALF.slug, HAND.slug)
    form = next(form for form in known[found.movement].forms if form.id == found.form)
    assert known[found.movement].stress_on(Joint.knee, form) == 0
    assert known[found.movement].region is Region.lower_body
