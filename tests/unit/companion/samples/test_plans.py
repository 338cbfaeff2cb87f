"""The sample plans: each can be read, has no faults, and keeps what its note promises."""

from __future__ import annotations

from itertools import pairwise, product
from typing import TypeVar

import pytest
from places import SAMPLES

from engine.base.reading import read
from engine.fit.choose import choose
from engine.movements.movement import (
    Equipment,
    Held,
    Joint,
    Kit,
    MovementPattern,
    Region,
    Sides,
    StartsWith,
    Variant,
    sides_of,
)
from engine.movements.room import Room, SoreJoint
from engine.plan.check import check
from engine.plan.plan import (
    AmountCount,
    AmountUnit,
    CoolDownBlock,
    PracticeBlock,
    SessionPlan,
    SideChangeMode,
    WarmUpBlock,
    WorkBlock,
    WorkMovement,
)

FILES = sorted(SAMPLES.glob("*.json"))
NAMES = [file.stem for file in FILES]


def plan_from(name: str) -> SessionPlan:
    return read(SessionPlan, (SAMPLES / f"{name}.json").read_bytes())


def variant_of(plan: SessionPlan, item: WorkMovement, kit: Kit) -> Variant | None:
    return plan.known_movements()[item.movement].variant_for(kit)


def sides_with(plan: SessionPlan, block: WorkBlock, kit: Kit) -> list[Sides]:
    """What changes sides in each movement of a block; all of them have a variant for the kit."""
    variants = [variant_of(plan, item, kit) for item in block.movements]
    assert None not in variants
    return [sides_of(variant) for variant in variants if variant is not None]


def round_s(plan: SessionPlan, block: WorkBlock, kit: Kit) -> int:
    """Each movement's work, its change of sides where one is added, and the rest after it."""
    changes = sum(sides is not Sides.none for sides in sides_with(plan, block, kit))
    assert plan.side_change.mode is SideChangeMode.added
    return len(block.movements) * (block.work_s + block.rest_s) + changes * plan.side_change.change_s


def test_there_are_five_samples_in_the_order_of_their_names() -> None:
    assert NAMES == [
        "1-harbour-circuit",
        "2-allotment-evening",
        "3-slipway-without-weights",
        "4-regatta-week",
        "5-net-loft-loop",
    ]


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_reads_and_is_free_of_faults(name: str) -> None:
    assert check(plan_from(name)) == ()


@pytest.mark.parametrize("name", NAMES)
def test_a_sample_says_who_wrote_it_what_it_is_for_and_when_to_stop(name: str) -> None:
    plan = plan_from(name)
    assert plan.author
    assert plan.note
    assert any("chest pain" in rule for rule in plan.stop_rules)
    assert any("Joint pain is never pushed through" in rule for rule in plan.stop_rules)


@pytest.mark.parametrize("name", NAMES)
def test_practice_covers_every_movement_that_has_to_be_done(name: str) -> None:
    plan = plan_from(name)
    (practice,) = (block for block in plan.blocks if isinstance(block, PracticeBlock))
    asked = {item.movement for block in plan.work_blocks() for item in block.movements if not item.optional}
    assert asked <= set(practice.movements)


@pytest.mark.parametrize("name", NAMES)
def test_an_easier_variant_of_a_sample_trains_the_same_pattern(name: str) -> None:
    plan = plan_from(name)
    known = plan.known_movements()
    for block in plan.work_blocks():
        for item in block.movements:
            if item.easier is not None:
                assert known[item.easier].pattern is known[item.movement].pattern


@pytest.mark.parametrize("name", NAMES[:4])
def test_neighbours_of_a_round_alternate_between_lower_and_upper(name: str) -> None:
    """A trunk movement may come between them, and in a block of odd length the last may be like the first."""
    plan = plan_from(name)
    known = plan.known_movements()
    for block in plan.work_blocks():
        regions = [known[item.movement].region for item in block.movements]
        in_a_row = list(pairwise([*regions, regions[0]] if len(regions) % 2 == 0 else regions))
        assert all(one is not other for one, other in in_a_row)
        assert Region.lower_body in regions
        assert Region.upper_body in regions


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("name", NAMES)
def test_no_two_movements_in_a_row_are_heavy_on_the_grip(name: str, kit: Kit) -> None:
    plan = plan_from(name)
    for block in plan.work_blocks():
        variants = [variant_of(plan, item, kit) for item in block.movements]
        for one, other in pairwise([*variants, variants[0]]):
            assert not (one and other and one.grip_heavy and other.grip_heavy)


@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("name", NAMES)
def test_whatever_joint_is_spared_neighbours_stay_apart_as_the_plan_had_them(name: str, kit: Kit) -> None:
    """No hard grip beside another; no region twice in a row where the plan did not, unless a movement had to
    be left out."""
    plan = plan_from(name)
    known = plan.known_movements()
    for joint, rating in product(Joint, (1, 3)):
        choice = choose(plan, Room(kit=kit, sore=(SoreJoint(joint=joint, rating=rating),)))
        for block in plan.work_blocks():
            chosen = choice.by_block[block.id]
            stand = list(chosen.values())
            assert not any(a.grip_heavy and b.grip_heavy for a, b in in_the_round(stand))
            if len(stand) == len(block.movements):
                planned = [known[slug].region for slug in chosen]
                regions = [known[one.movement].region for one in stand]
                before_and_after = zip(in_the_round(planned), in_the_round(regions), strict=True)
                assert all(a is b for (a, b), (c, d) in before_and_after if c is d), (joint, rating)


Item = TypeVar("Item")


def in_the_round(items: list[Item]) -> list[tuple[Item, Item]]:
    """Each item with the one after it; the last with the first."""
    return list(pairwise([*items, *items[:1]])) if len(items) > 1 else []


def test_the_first_sample_changes_hands_with_one_weight_and_nothing_with_two() -> None:
    plan = plan_from(NAMES[0])
    (block,) = plan.work_blocks()
    assert (block.work_s, block.rest_s, block.round_rest_s) == (60, 30, None)
    assert sides_with(plan, block, Kit.single) == [Sides.hand] * 4
    assert sides_with(plan, block, Kit.pair) == [Sides.none] * 4
    assert (round_s(plan, block, Kit.pair), round_s(plan, block, Kit.single)) == (360, 400)


@pytest.mark.parametrize(
    ("kit", "block_s"), [(Kit.pair, {4: 1410, 5: 1770, 6: 2130}), (Kit.single, {4: 1570, 5: 1970, 6: 2370})]
)
def test_the_first_sample_lasts_as_long_as_four_movements_at_60_30_do(
    kit: Kit, block_s: dict[int, int]
) -> None:
    """23:30, 29:30 and 35:30 with the last rest dropped; 26:10, 32:50 and 39:30 with every movement changing
    sides for 10 s. Common practice, no source."""
    plan = plan_from(NAMES[0])
    (block,) = plan.work_blocks()
    assert (block.rounds.min, block.rounds.max) == (3, 6)
    for rounds, expected_s in block_s.items():
        assert rounds * round_s(plan, block, kit) - block.rest_s == expected_s


def test_the_second_sample_has_one_leg_side_one_two_handed_weight_and_two_hand_sides() -> None:
    plan = plan_from(NAMES[1])
    (block,) = plan.work_blocks()
    assert (block.work_s, block.rest_s, block.round_rest_s) == (60, 30, None)
    assert sorted(sides_with(plan, block, Kit.single)) == [Sides.hand, Sides.hand, Sides.leg, Sides.none]
    assert sorted(sides_with(plan, block, Kit.pair)) == [Sides.leg, Sides.none, Sides.none, Sides.none]
    assert (round_s(plan, block, Kit.pair), round_s(plan, block, Kit.single)) == (370, 390)


def test_the_two_handed_weight_of_the_second_sample_stays_one_weight_with_a_pair() -> None:
    plan = plan_from(NAMES[1])
    squat = plan.known_movements()["goblet-squat"]
    single, pair = squat.variant_for(Kit.single), squat.variant_for(Kit.pair)
    assert single is not None
    assert single == pair
    assert single.held is Held.both_hands


@pytest.mark.parametrize("kit", Kit)
def test_the_third_sample_needs_nothing_but_a_floor_whatever_the_kit(kit: Kit) -> None:
    plan = plan_from(NAMES[2])
    known = plan.known_movements()
    without = frozenset(Equipment) - {Equipment.floor}
    for block in plan.blocks:
        named = block.items if isinstance(block, WarmUpBlock) else ()
        for slug in (
            *(item.movement for item in named),
            *(item.movement for work in plan.work_blocks() for item in work.movements),
        ):
            variant = known[slug].variant_for(kit, without)
            assert variant is not None
            assert variant.kit is Kit.none


def test_the_third_sample_has_two_holds() -> None:
    plan = plan_from(NAMES[2])
    (block,) = plan.work_blocks()
    starts = [plan.known_movements()[item.movement].starts_with for item in block.movements]
    assert starts.count(StartsWith.hold) == 2


def test_the_fourth_sample_has_two_work_blocks_an_optional_movement_and_a_cool_down() -> None:
    plan = plan_from(NAMES[3])
    assert len(plan.work_blocks()) == 2
    assert sum(item.optional for block in plan.work_blocks() for item in block.movements) == 1
    (cool_down,) = (block for block in plan.blocks if isinstance(block, CoolDownBlock))
    known = plan.known_movements()
    assert all(known[slug].pattern is MovementPattern.mobility for slug in cool_down.movements)
    assert plan.blocks[-1] is cool_down


def test_the_fifth_sample_is_the_worked_example() -> None:
    """Warm-up 150 s a round, practice 120 s, two changes of block of 20 s, round 225 s: 960 s for 3 rounds,
    1110 with the second warm-up, 1185 for 4 rounds. Common practice, no source."""
    plan = plan_from(NAMES[4])
    warm_up, practice, work = plan.blocks
    assert isinstance(warm_up, WarmUpBlock)
    assert isinstance(practice, PracticeBlock)
    assert isinstance(work, WorkBlock)
    warm_up_s = sum(item.estimate_s or 0 for item in warm_up.items)
    assert practice.timed is not None
    assert practice.repetitions is None
    practice_s = 3 * practice.timed.work_s + 2 * practice.timed.rest_s
    fixed_s = warm_up_s + 2 * plan.transition_s + practice_s
    rounds_s = {rounds: rounds * round_s(plan, work, Kit.pair) - work.rest_s for rounds in (3, 4)}
    assert (warm_up_s, practice_s, fixed_s) == (150, 120, 310)
    assert fixed_s + rounds_s[3] == 960
    assert fixed_s + warm_up_s + rounds_s[3] == 1110
    assert fixed_s + rounds_s[4] == 1185
    assert (warm_up.rounds.min, warm_up.rounds.max, work.rounds.min, work.rounds.max) == (1, 2, 3, 5)
    assert work.rounds.permitted == work.rounds.min


@pytest.mark.parametrize("kit", Kit)
def test_the_worked_example_stands_and_has_no_side_with_any_kit(kit: Kit) -> None:
    plan = plan_from(NAMES[4])
    (block,) = plan.work_blocks()
    assert sides_with(plan, block, kit) == [Sides.none] * 3
    variants = [variant_of(plan, item, kit) for item in block.movements]
    assert all(variant is not None and not variant.on_floor and not variant.needs for variant in variants)


def test_the_warm_ups_show_every_kind_of_dose() -> None:
    kinds = {
        (item.amount.unit, item.amount.count)
        for name in NAMES
        for block in plan_from(name).blocks
        if isinstance(block, WarmUpBlock)
        for item in block.items
    }
    assert kinds >= {
        (AmountUnit.repetitions, AmountCount.total),
        (AmountUnit.repetitions, AmountCount.alternating),
        (AmountUnit.repetitions, AmountCount.per_side),
        (AmountUnit.seconds, AmountCount.total),
        (AmountUnit.seconds, AmountCount.per_side),
    }
