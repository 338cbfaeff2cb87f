"""What stands in for what: within the limits of the day, once under one name, a pull for a pull, without a
weight in a warm-up."""

from __future__ import annotations

from itertools import product

import pytest
from builders import plan, work

from companion.samples import sample_plans
from engine.fit.choose import Choice, choose
from engine.fit.replace import easier_for, substitute_for
from engine.movements.limits import Limit, barring
from engine.movements.movement import Equipment, Form, Joint, Kit, MovementPattern, Position, library
from engine.movements.room import Room, SoreJoint
from engine.plan.plan import Dose, SessionPlan, WarmUpBlock, WarmUpItem
from engine.session.choices import Chosen

LIBRARY = library()


def of_library(*slugs: str) -> SessionPlan:
    return plan(work(*slugs), movements=())


def said(choice: Choice) -> list[str]:
    return [swap.text for swap in choice.swaps]


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
@pytest.mark.parametrize("kit", Kit)
def test_who_is_not_to_lie_flat_does_not_and_what_is_done_instead_is_said(
    plan: SessionPlan, kit: Kit
) -> None:
    flat = {Position.supine: "not on the back", Position.prone: "not face down"}
    choice = choose(plan, Room(kit=kit, limits=(Limit.not_on_back, Limit.not_prone)))
    usual = choose(plan, Room(kit=kit))
    assert not any(one.position in flat for block in choice.by_block.values() for one in block.values())
    said = {(swap.block, swap.movement): swap.text for swap in choice.swaps}
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
            assert not barring((limit,), known[one.movement], form_of(one))
            others = [
                substitute_for(
                    one, known=known, room=room, neighbours=(), used=(one.movement,), sparing=frozenset()
                ),
                easier_for(one, known=known, room=room, used=()),
            ]
            for other in filter(None, others):
                assert not barring((limit,), known[other.movement], form_of(other))


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
    items = (WarmUpItem(movement="goblet-squat", dose=Dose(low=10)),)
    choice = choose(plan(WarmUpBlock(id="warm-up", items=items), work("floor-press"), movements=()), PAIR)
    assert choice.by_block["warm-up"]["goblet-squat"].dumbbells == 0


PAIR = Room(kit=Kit.pair)


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
    assert any("which the round has under another name" in text for text in said(choice))
    with_weight = choose(of_library("squat", "bent-over-row", "goblet-squat"), Room(kit=Kit.single))
    assert with_weight.by_block["circuit"]["goblet-squat"].movement == "goblet-squat"


def test_the_answer_names_the_version() -> None:
    room = Room(kit=Kit.none, sore=(SoreJoint(joint=Joint.elbow, rating=3),))
    texts = said(choose(of_library("romanian-deadlift"), room))
    assert texts[0].startswith("Staggered deadlift with empty hands instead of Romanian deadlift")


def form_of(chosen: Chosen) -> Form:
    return next(form for form in LIBRARY[chosen.movement].forms if form.id == chosen.form)
