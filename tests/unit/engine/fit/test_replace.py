"""Another movement in the place of one, while a session runs."""

from __future__ import annotations

from builders import HAND, TEST_MOVEMENTS, movement, plan, work

from engine.fit.choose import choose
from engine.fit.replace import easier_for, substitute_for
from engine.movements.movement import Joint, Kit, MovementPattern, Region, library
from engine.movements.room import Room

HARD = movement("deep-bend", stress={Joint.knee: 3}, pattern=MovementPattern.squat, easier="half-bend")
HALF = movement("half-bend", stress={Joint.knee: 1}, pattern=MovementPattern.squat)
LIBRARY = library()


def test_on_the_run_a_movement_is_replaced_by_one_that_leaves_the_hurt_joint_alone() -> None:
    bending = plan(work(HARD.slug, HAND.slug), movements=(*TEST_MOVEMENTS, HARD, HALF))
    known, room = bending.known_movements(), Room(kit=Kit.single)
    chosen = choose(bending, room).by_block["circuit"]
    found = substitute_for(
        chosen[HARD.slug],
        known=known,
        room=room,
        around=(chosen[HAND.slug], chosen[HARD.slug]),
        used=(HARD.slug, HAND.slug),
        sparing=frozenset({Joint.knee}),
    )
    assert found is not None
    assert found.instead_of == HARD.slug
    assert found.movement not in (HARD.slug, HALF.slug, HAND.slug)
    variant = next(variant for variant in known[found.movement].variants if variant.id == found.variant)
    assert known[found.movement].stress_on(Joint.knee, variant) == 0
    assert known[found.movement].region is Region.lower_body


def test_an_easier_movement_on_the_run_never_takes_up_another_weight() -> None:
    room = Room(kit=Kit.pair)
    (chosen,) = choose(plan(work("one-leg-deadlift"), movements=()), room).by_block["circuit"].values()
    easier = easier_for(chosen, known=LIBRARY, room=room, used=("one-leg-deadlift",))
    assert easier is not None
    assert (chosen.dumbbells, easier.movement, easier.variant) == (1, "staggered-deadlift", "single")
