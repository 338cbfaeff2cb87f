"""What stands in for what: within the limits of the day, once under one name, a pull for a pull, without a
weight in a warm-up."""

from __future__ import annotations

from datetime import date
from itertools import product

import pytest
from builders import plan, work
from reasons_said import swap_said, swaps_said

from companion.samples import sample_plans
from engine.fit.choose import choose
from engine.fit.replace import easier_for, substitute_for
from engine.movements.limits import Limit, barring
from engine.movements.movement import Equipment, Joint, Kit, MovementPattern, Position, Side, Variant, library
from engine.movements.room import Room, SoreJoint
from engine.movements.substitutes import USUAL_LEVEL
from engine.plan.plan import Amount, SessionPlan, WarmUpBlock, WarmUpItem
from engine.record.profile import ProfileFlag, WeekSaid
from engine.session.choices import Chosen
from engine.today.limits import limits_for

LIBRARY = library()


def of_library(*slugs: str) -> SessionPlan:
    return plan(work(*slugs), movements=())


said = swaps_said


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("kit", Kit)
def test_who_is_not_to_lie_flat_does_not_and_what_is_done_instead_is_said(
    plan: SessionPlan, kit: Kit
) -> None:
    flat = {Position.supine: "not on the back", Position.prone: "not face down"}
    choice = choose(plan, Room(kit=kit, limits=(Limit.not_on_back, Limit.not_prone)))
    usual = choose(plan, Room(kit=kit))
    assert not any(one.position in flat for block in choice.by_block.values() for one in block.values())
    said = {(swap.block, swap.movement): swap_said(swap) for swap in choice.swaps}
    practice = {block.id for block in plan.blocks if block.kind == "practice"}
    for block, held in usual.by_block.items():
        for slug, one in held.items():
            if one.position in flat and one.instead_of is None and block not in practice:
                assert flat[one.position] in said[block, slug]


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("kit", Kit)
@pytest.mark.parametrize("limit", Limit)
def test_whatever_the_limit_nothing_in_the_session_is_against_it(
    plan: SessionPlan, kit: Kit, limit: Limit
) -> None:
    """Substitutes and warm-up items too, and what may be swapped in while the session runs."""
    known, room = plan.known_movements(), Room(kit=kit, limits=(limit,))
    for block in choose(plan, room).by_block.values():
        for one in block.values():
            assert not barring((limit,), known[one.movement], variant_of(one))
            others = [
                substitute_for(
                    one, known=known, room=room, around=(one,), used=(one.movement,), sparing=frozenset()
                ),
                easier_for(one, known=known, room=room, used=()),
            ]
            for other in filter(None, others):
                assert not barring((limit,), known[other.movement], variant_of(other))


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("kit", Kit)
def test_whatever_hurts_or_is_limited_a_round_has_each_movement_under_one_name(
    plan: SessionPlan, kit: Kit
) -> None:
    for joint, limits in product(Joint, ((), (Limit.steady, Limit.hands_raised, Limit.not_on_back))):
        sore = (SoreJoint(joint=joint, rating=2),)
        for block in choose(plan, Room(kit=kit, sore=sore, limits=limits)).by_block.values():
            really = [one.really or one.movement for one in block.values()]
            assert len(set(really)) == len(really)


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("joint", Joint)
def test_a_warm_up_never_gains_a_weight(plan: SessionPlan, joint: Joint) -> None:
    for limits in ((), (Limit.not_on_back, Limit.not_prone, Limit.hands_raised, Limit.steady)):
        room = Room(kit=Kit.pair, sore=(SoreJoint(joint=joint, rating=3),), limits=limits)
        choice = choose(plan, room)
        for block in plan.blocks:
            if isinstance(block, WarmUpBlock):
                assert not any(one.dumbbells for one in choice.by_block[block.id].values())


def test_a_warm_up_movement_that_has_a_version_without_a_weight_is_done_so_whatever_is_owned() -> None:
    items = (WarmUpItem(movement="goblet-squat", amount=Amount(low=10)),)
    choice = choose(plan(WarmUpBlock(id="warm-up", items=items), work("floor-press"), movements=()), PAIR)
    assert choice.by_block["warm-up"]["goblet-squat"].dumbbells == 0


PAIR = Room(kit=Kit.pair)


CAREFUL = (
    (ProfileFlag.novice, None),
    (ProfileFlag.older, None),
    (ProfileFlag.fragile_bones, None),
    (ProfileFlag.high_blood_pressure, None),
    *((ProfileFlag.pregnant, week) for week in (4, 14, 18, 24, 40)),
)


@pytest.mark.parametrize("flag, week", CAREFUL)
@pytest.mark.parametrize("kit", Kit)
def test_nobody_who_needs_care_stands_on_the_hands_with_the_hips_high(
    flag: ProfileFlag, week: int | None, kit: Kit
) -> None:
    """An overhead press becomes something upright for them. Common practice, no source."""
    day = date(2026, 3, 2)
    said = None if week is None else WeekSaid(week=week, said_on=day)
    room = Room(kit=kit, limits=limits_for((flag,), day, pregnancy=said))
    for named in ("overhead-press", "seated-press", "hips-high-press-up", "raised-hips-high-press-up"):
        (chosen,) = choose(of_library(named), room).by_block["circuit"].values()
        assert "hips-high" not in chosen.movement


@pytest.mark.parametrize(
    "slug", [s for s, one in LIBRARY.items() if one.pattern is not MovementPattern.mobility]
)
def test_without_a_weight_what_stands_in_for_a_lift_is_of_a_usual_level(slug: str) -> None:
    """A weight can be light and the body cannot: no press-up on the floor for somebody's light bench press,
    unless nothing else of its kind is there. Common practice, no source."""
    (chosen,) = choose(of_library(slug), Room()).by_block["circuit"].values()
    level = LIBRARY[chosen.movement].level_of(variant_of(chosen))
    loaded = min(variant.kit.dumbbells for variant in LIBRARY[slug].variants)
    assert not loaded or level <= USUAL_LEVEL


def test_a_swap_on_the_run_never_adds_a_weight() -> None:
    """A plan without weights stays one. Common practice, no source."""
    chosen = choose(of_library("squat", "prone-row"), PAIR).by_block["circuit"]["squat"]
    for joint in Joint:
        room = Room(kit=Kit.pair, sore=(SoreJoint(joint=joint, rating=4),))
        new = substitute_for(
            chosen, known=LIBRARY, room=room, around=(chosen,), used=("squat",), sparing=frozenset()
        )
        assert new is None or not new.dumbbells


def test_with_a_sore_hip_a_lunge_gives_way_to_a_plank_from_the_knees_and_not_to_a_full_one() -> None:
    """A hold that lasts the whole interval is harder than its level says. Common practice, no source."""
    room = Room(sore=(SoreJoint(joint=Joint.hip, rating=4),))
    choice = choose(of_library("squat", "bent-over-row", "alternating-step-back-lunge", "floor-press"), room)
    assert choice.by_block["circuit"]["alternating-step-back-lunge"].movement == "knee-plank"


@pytest.mark.parametrize("joint", [Joint.hip, Joint.knee, Joint.ankle])
def test_a_warm_up_loosens_the_legs_where_the_plan_does_even_beside_each_other(joint: Joint) -> None:
    """Arms in place of legs would leave the legs cold for the work. Common practice, no source."""
    items = tuple(
        WarmUpItem(movement=slug, amount=Amount(low=10))
        for slug in ("march-in-place", "squat-and-reach", "arm-circles", "trunk-turns")
    )
    room = Room(sore=(SoreJoint(joint=joint, rating=4),), limits=(Limit.no_twisting, Limit.no_rounding))
    made = plan(WarmUpBlock(id="warm-up", items=items), work("floor-press"), movements=())
    chosen = choose(made, room).by_block["warm-up"]
    for slug in ("march-in-place", "squat-and-reach"):
        assert LIBRARY[chosen[slug].movement].region is LIBRARY[slug].region, chosen[slug].movement


@pytest.mark.parametrize("kit", Kit)
def test_in_pregnancy_nobody_leans_back_against_the_belly(kit: Kit) -> None:
    """† Our judgement, after the advice against weight and strain on the belly."""
    for of in sample_plans():
        for joint in Joint:
            sore = (SoreJoint(joint=joint, rating=4),)
            for limits in ((Limit.belly_free,), (Limit.belly_free, Limit.not_on_back, Limit.hands_raised)):
                choice = choose(of, Room(kit=kit, sore=sore, limits=limits))
                chosen = {one.movement for block in choice.by_block.values() for one in block.values()}
                assert not chosen & {
                    "seated-lean-back",
                    "hugged-lean-back",
                    "weighted-bridge",
                    "slow-climber",
                }


def test_what_stands_in_for_something_optional_goes_where_it_is_needed() -> None:
    """With a sore shoulder the row is gone: the trunk work takes its place, so that short minutes do not
    leave lunges alone. Common practice, no source."""
    regatta = next(plan for plan in sample_plans() if plan.id == "regatta-week")
    choice = choose(regatta, Room(kit=Kit.single, sore=(SoreJoint(joint=Joint.shoulder, rating=4),)))
    moving = choice.by_block["moving-part"]
    assert moving["bent-over-row"].movement == "seated-lean-back"
    assert "dead-bug" not in moving
    assert "Dead bug left out: spares the shoulder." in said(choice)


def test_with_a_sore_hip_a_session_of_two_parts_has_calf_raises_in_one() -> None:
    """Eight sets of calf raises would be more of one movement than the plan has of any. Common practice, no
    source."""
    regatta = next(plan for plan in sample_plans() if plan.id == "regatta-week")
    by_block = choose(regatta, Room(kit=Kit.pair, sore=(SoreJoint(joint=Joint.hip, rating=4),))).by_block
    worked = [one.movement for part in regatta.work_blocks() for one in by_block[part.id].values()]
    assert worked.count("calf-raise") == 1


@pytest.mark.parametrize("kit", Kit)
def test_no_part_is_one_movement_over_and_over_where_another_may_come_twice(kit: Kit) -> None:
    regatta = next(plan for plan in sample_plans() if plan.id == "regatta-week")
    limits = limits_for((ProfileFlag.pregnant,), date(2026, 3, 2))
    room = Room(kit=kit, sore=(SoreJoint(joint=Joint.shoulder, rating=4),), limits=limits)
    by_block = choose(regatta, room).by_block
    assert all(len(by_block[part.id]) >= 2 for part in regatta.work_blocks())


def test_a_joint_is_named_only_where_it_changes_what_stands_in() -> None:
    """Without a weight a row becomes a face-down row, whether the wrist hurts or not."""
    room = Room(sore=(SoreJoint(joint=Joint.wrist, side=Side.right, rating=4),))
    (text,) = said(choose(of_library("bent-over-row"), room))
    assert text == "Face-down row instead of Bent-over row: no dumbbell."
    (text,) = said(choose(of_library("floor-press"), room))
    assert text == "Forearm squeeze instead of Floor press: no dumbbell and spares the right wrist."


@pytest.mark.parametrize("named", ["wide-row", "bent-over-row", "two-hand-row", "supported-row"])
@pytest.mark.parametrize("without", [(), (Equipment.floor,), (Equipment.floor, Equipment.wall)])
def test_without_a_weight_a_pull_gives_way_to_a_pull_and_never_to_a_push(
    named: str, without: tuple[Equipment, ...]
) -> None:
    """Even where no horizontal pull is left: then the other direction, as a coach would. Common practice, no
    source."""
    room = Room(without=(*without, Equipment.towel, Equipment.band))
    (chosen,) = choose(of_library(named), room).by_block["circuit"].values()
    assert chosen.pattern in (MovementPattern.horizontal_pull, MovementPattern.vertical_pull)


def test_a_press_gives_way_to_a_press_of_the_other_direction_before_any_pull() -> None:
    room = Room(without=(Equipment.wall, Equipment.chair, Equipment.table, Equipment.bench, Equipment.floor))
    (chosen,) = choose(of_library("floor-press"), room).by_block["circuit"].values()
    assert chosen.pattern in (MovementPattern.horizontal_push, MovementPattern.vertical_push)


def test_one_movement_planned_under_two_names_comes_once_and_it_is_said() -> None:
    """Without a weight a goblet squat is a squat. Common practice, no source."""
    choice = choose(of_library("squat", "bent-over-row", "goblet-squat"), Room(kit=Kit.none))
    instead = choice.by_block["circuit"]["goblet-squat"]
    assert (instead.really or instead.movement) != "squat"
    assert any("the round has it under another name" in text for text in said(choice))
    with_weight = choose(of_library("squat", "bent-over-row", "goblet-squat"), Room(kit=Kit.single))
    assert with_weight.by_block["circuit"]["goblet-squat"].movement == "goblet-squat"


def test_the_answer_names_the_version() -> None:
    room = Room(kit=Kit.none, sore=(SoreJoint(joint=Joint.elbow, rating=3),))
    texts = said(choose(of_library("romanian-deadlift"), room))
    assert texts[0].startswith("Staggered-stance deadlift with empty hands instead of Romanian deadlift")


def variant_of(chosen: Chosen) -> Variant:
    return next(variant for variant in LIBRARY[chosen.movement].variants if variant.id == chosen.variant)
