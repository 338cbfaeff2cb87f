"""The coach's own substitutes in a fit: for a kit, and while a joint hurts."""

from __future__ import annotations

from builders import BEND, HAND, TEST_MOVEMENTS, movement, plan, practice, work
from reasons_said import swap_said, swaps_said

from engine.fit.asked import Asked
from engine.fit.choose import Choice, choose
from engine.fit.offer import offer
from engine.fit.reasons import SwapCode
from engine.fit.replace import substitute_for
from engine.movements.movement import (
    Equipment,
    Joint,
    Kit,
    MovementPattern,
    Region,
    Side,
    StartsWith,
    Variant,
)
from engine.movements.own_choice import OwnSubstitute
from engine.movements.room import Room, SoreJoint
from engine.plan.check import check
from engine.plan.plan import Amount, AmountUnit, SessionPlan, WarmUpBlock, WarmUpItem, WorkMovement
from engine.session.fitted import FittedSession

HARD = movement("deep-bend", stress={Joint.knee: 3}, easier="half-bend")
HALF = movement("half-bend", stress={Joint.knee: 1})
BRACE = movement("tall-brace", pattern=MovementPattern.trunk, region=Region.trunk)
STILL = movement("wall-hold", starts_with=StartsWith.hold, stress={Joint.knee: 1})
PRESS = movement("high-press", pattern=MovementPattern.vertical_push, region=Region.upper_body)
KNOWN = (*TEST_MOVEMENTS, HARD, HALF, BRACE, STILL, PRESS)


def own(*substitutes: tuple[str, str], slug: str = HARD.slug, beside: str = HAND.slug) -> SessionPlan:
    """A practice and a circuit of two, whose first movement has the coach's own substitutes."""
    written = tuple(OwnSubstitute(when=when, movement=other) for when, other in substitutes)
    items = (WorkMovement(movement=slug, substitutes=written), WorkMovement(movement=beside))
    made = plan(practice(movements=(slug,)), work(movements=items), movements=KNOWN)
    assert check(made) == ()
    return made


def room(rating: int = 0, kit: Kit = Kit.single) -> Room:
    knee = SoreJoint(joint=Joint.knee, side=Side.left, rating=max(1, rating))
    return Room(kit=kit, sore=(knee,) if rating else ())


def fit_in(of: SessionPlan, here: Room) -> FittedSession:
    made = offer(of, Asked(minutes=30, room=here)).session
    assert made is not None
    return made


def stands(choice: Choice, block: str = "circuit", slug: str = HARD.slug) -> str | None:
    chosen = choice.by_block[block].get(slug)
    return chosen.movement if chosen else None


def said(choice: Choice) -> str:
    (swap,) = choice.swaps
    return swap_said(swap)


def test_while_a_joint_hurts_the_coachs_own_choice_stands_in_and_is_named_so() -> None:
    choice = choose(own(("knee", BRACE.slug)), room(2))
    assert stands(choice) == stands(choice, "practice") == BRACE.slug
    assert choice.swaps[0].code is SwapCode.own_choice
    assert said(choice) == (
        "Tall brace (One weight) instead of Deep bend, as the coach chose: spares the left knee."
    )


def test_it_stands_in_while_the_joint_hurts_even_where_the_planned_movement_would_do() -> None:
    choice = choose(own(("knee", BRACE.slug), slug=HALF.slug), room(1))
    assert stands(choice, slug=HALF.slug) == BRACE.slug


def test_without_the_occasion_everything_stays_as_planned() -> None:
    for_all = own(("none", HALF.slug), ("knee", BRACE.slug))
    assert choose(for_all, room(kit=Kit.pair)).swaps == ()
    assert stands(choose(for_all, room())) == HARD.slug
    hip = Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.hip, rating=2),))
    assert stands(choose(for_all, hip)) == HARD.slug


def test_with_a_kit_the_coachs_own_choice_stands_in() -> None:
    both = own(("none", HALF.slug), ("single", BRACE.slug))
    none, single = (choose(both, room(kit=kit)) for kit in (Kit.none, Kit.single))
    assert (stands(none), stands(single)) == (HALF.slug, BRACE.slug)
    assert said(none).endswith(" instead of Deep bend, as the coach chose: no dumbbells.")
    assert said(single).endswith(" instead of Deep bend, as the coach chose: one dumbbell.")


def test_a_joint_that_hurts_too_much_leaves_the_ordinary_choice_and_one_sentence() -> None:
    choice = choose(own(("knee", HALF.slug)), room(3))
    (swap,) = choice.swaps
    ordinary = choose(own(), room(3))
    assert stands(choice) == stands(ordinary) != HALF.slug
    assert (swap.code, swap.not_used) == (SwapCode.swapped, HALF.slug)
    assert said(choice) == (
        f"{said(ordinary)} Half bend instead of Deep bend, as the coach chose, cannot be done today: "
        "too hard on the left knee."
    )


def test_where_it_cannot_be_used_and_nothing_else_is_wrong_the_plan_stays() -> None:
    choice = choose(own(("single", BRACE.slug)), room().model_copy(update={"after_pain": (BRACE.slug,)}))
    assert stands(choice) == HARD.slug
    assert choice.swaps[0].code is SwapCode.own_choice_not_used
    assert said(choice) == (
        "Tall brace instead of Deep bend, as the coach chose, cannot be done today: after pain."
    )


def test_the_second_choice_is_used_where_the_first_cannot_be_and_both_are_said() -> None:
    choice = choose(own(("single", BRACE.slug), ("knee", HALF.slug)), room(3))
    assert stands(choice) == BRACE.slug
    assert said(choice) == (
        "Tall brace (One weight) instead of Deep bend, as the coach chose: one dumbbell. Half bend instead "
        "of Deep bend, as the coach chose, cannot be done today: too hard on the left knee."
    )


def test_it_never_takes_the_place_of_two_blocks() -> None:
    one = work(movements=own(("knee", BRACE.slug)).work_blocks()[0].movements, id="first")
    other = work(BRACE.slug, HAND.slug, id="second")
    choice = choose(plan(one, other, movements=KNOWN), room(2))
    assert stands(choice, "first") != BRACE.slug
    assert swaps_said(choice)[0].endswith("cannot be done today: the session has it already.")


def test_it_never_crowds_its_neighbour() -> None:
    written = (OwnSubstitute(when="knee", movement=PRESS.slug),)
    items = (
        WorkMovement(movement=HARD.slug, substitutes=written),
        WorkMovement(movement=HAND.slug),
        WorkMovement(movement=BRACE.slug),
    )
    choice = choose(plan(work(movements=items), movements=KNOWN), room(2))
    assert stands(choice) == HALF.slug
    assert "it comes too close to a movement that trains the same part" in said(choice)


def warming(*substitutes: tuple[str, str]) -> SessionPlan:
    written = tuple(OwnSubstitute(when=when, movement=other) for when, other in substitutes)
    items = (WarmUpItem(movement=HALF.slug, amount=Amount(low=8), substitutes=written),)
    return plan(WarmUpBlock(id="warm-up", items=items), work(HAND.slug, BRACE.slug), movements=KNOWN)


def test_the_amount_of_a_warm_up_follows_what_stands_in() -> None:
    of = fit_in(warming(("knee", STILL.slug)), room(2))
    (item,) = of.blocks[0].items
    assert item.chosen.movement == STILL.slug
    assert item.amount == Amount(low=24, unit=AmountUnit.seconds)


def test_a_warm_up_never_gains_a_weight() -> None:
    choice = choose(warming(("knee", BRACE.slug)), room(2, Kit.pair))
    assert choice.by_block["warm-up"][HALF.slug].dumbbells == 0
    loaded = PRESS.model_copy(update={"variants": PRESS.variants[1:]})
    with_weights = warming(("knee", PRESS.slug)).model_copy(update={"movements": (*KNOWN[:-1], loaded)})
    refused = choose(with_weights, room(2, Kit.pair))
    assert refused.by_block["warm-up"][HALF.slug].movement != PRESS.slug
    assert "cannot be done today: a warm-up gains no weight." in said(refused)


def test_the_coachs_aims_and_starting_load_stay_with_the_planned_movement() -> None:
    made = own(("knee", BRACE.slug))
    (first, second), block = made.work_blocks()[0].movements, made.work_blocks()[0]
    first = first.model_copy(update={"goal": 8, "starting_g": 9_000, "starting_pair_g": 7_000})
    blocks = (block.model_copy(update={"movements": (first, second)}),)
    made = made.model_copy(update={"blocks": blocks})
    single, pair, sore = (
        fit_in(made, one).blocks[0].items[0] for one in (room(), room(kit=Kit.pair), room(2))
    )
    assert (single.goal, single.starting_g, pair.starting_g) == (8, 9_000, 7_000)
    assert (sore.chosen.movement, sore.goal, sore.starting_g) == (BRACE.slug, None, None)


def test_another_version_than_usual_has_no_starting_load() -> None:
    light = Variant(id="seated", name="Seated", kit=Kit.single, placing="Two hands.")
    two_ways = HALF.model_copy(
        update={"variants": (HALF.variants[1].model_copy(update={"needs": (Equipment.bench,)}), light)}
    )
    items = (WorkMovement(movement=HALF.slug, starting_g=9_000), WorkMovement(movement=HAND.slug))
    made = plan(work(movements=items), movements=(*TEST_MOVEMENTS, two_ways))
    usual, without = (
        fit_in(made, Room(kit=Kit.single, without=missing)).blocks[0].items[0]
        for missing in ((), (Equipment.bench,))
    )
    assert (usual.chosen.variant, usual.starting_g) == ("one", 9_000)
    assert (without.chosen.variant, without.starting_g) == ("seated", None)


def test_on_the_run_the_coachs_own_choice_comes_first_too_and_no_other_weight_with_it() -> None:
    made, kit = own(("knee", BRACE.slug)), Room(kit=Kit.single)
    known, chosen = made.known_movements(), choose(made, kit).by_block["circuit"]
    found = substitute_for(
        chosen[HARD.slug],
        known=known,
        room=kit.model_copy(update={"sore": room(4).sore}),
        around=(chosen[HAND.slug], chosen[HARD.slug]),
        used=(HARD.slug, HAND.slug),
        sparing=frozenset(),
    )
    assert found is not None
    assert (found.movement, found.instead_of) == (BRACE.slug, HARD.slug)
    assert found.dumbbells <= chosen[HARD.slug].dumbbells
    wrist = substitute_for(
        chosen[HARD.slug],
        known=known,
        room=kit,
        around=(chosen[HARD.slug],),
        used=(HARD.slug, HAND.slug),
        sparing=frozenset({Joint.wrist}),
    )
    assert wrist is not None
    assert wrist.movement != BRACE.slug


def test_nothing_of_it_is_in_the_way_of_a_mobility_warm_up() -> None:
    items = (
        WarmUpItem(
            movement=BEND.slug,
            amount=Amount(low=8),
            substitutes=(OwnSubstitute(when="knee", movement=HALF.slug),),
        ),
    )
    made = plan(WarmUpBlock(id="warm-up", items=items), work(HAND.slug, BRACE.slug), movements=KNOWN)
    assert check(made) == ()
    assert stands(choose(made, room(2)), "warm-up", BEND.slug) == HALF.slug
