"""Laws of the choice of movements, whatever the plan, the kit, the room and what hurts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise, product

from builders import cool_down, movement, plan, practice, work
from hypothesis import assume, given
from hypothesis import strategies as st
from places import SAMPLES
from reasons_said import swap_said

from engine.base.reading import read
from engine.fit.choose import FEWEST_IN_A_ROUND, Choice, choose
from engine.fit.reasons import Swap, SwapCode
from engine.fit.replace import substitute_for
from engine.movements.best_round import RoundPlace, best_round
from engine.movements.movement import (
    PAIRED_JOINTS,
    Equipment,
    Joint,
    Kit,
    MovementPattern,
    Region,
    Side,
    library,
)
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room, SoreJoint, allowed_stress
from engine.movements.substitutes import AS_PLANNED, Candidate, Distance
from engine.plan.plan import Amount, SessionPlan, WarmUpBlock, WarmUpItem, movements_named_in
from engine.session.choices import Chosen

LIBRARY = library()
TRAINED = tuple(slug for slug, one in LIBRARY.items() if one.pattern is not MovementPattern.mobility)
LOOSENING = tuple(slug for slug in LIBRARY if slug not in TRAINED)

SAMPLE_PLANS = tuple(read(SessionPlan, file.read_bytes()) for file in sorted(SAMPLES.glob("*.json")))


def some_of(slugs: tuple[str, ...], most: int) -> st.SearchStrategy[tuple[str, ...]]:
    return st.lists(st.sampled_from(slugs), min_size=1, max_size=most, unique=True).map(tuple)


@st.composite
def library_plans(draw: st.DrawFn) -> SessionPlan:
    """Rounds of any movements of the library, with warm-up, practice and cool-down."""
    first, second = draw(some_of(TRAINED, 6)), draw(some_of(TRAINED, 3))
    loosened = draw(some_of((*LOOSENING, *TRAINED), 4))
    items = tuple(WarmUpItem(movement=slug, amount=Amount(low=10)) for slug in loosened)
    return plan(
        WarmUpBlock(id="warm-up", items=items),
        practice(movements=draw(some_of(first, 6))),
        work(*first, id="first"),
        work(*second, id="second"),
        cool_down(movements=draw(some_of(LOOSENING, 3))),
        movements=(),
    )


@st.composite
def sore_joints(draw: st.DrawFn) -> SoreJoint:
    joint = draw(st.sampled_from(Joint))
    sides = st.sampled_from([None, Side.left, Side.right]) if joint in PAIRED_JOINTS else st.none()
    return SoreJoint(joint=joint, side=draw(sides), rating=draw(st.integers(1, 10)))


def plans() -> st.SearchStrategy[SessionPlan]:
    return st.sampled_from(SAMPLE_PLANS) | library_plans() if SAMPLE_PLANS else library_plans()


def rooms() -> st.SearchStrategy[Room]:
    return st.builds(
        lambda kit, without, sore: Room(kit=kit, without=tuple(without), sore=tuple(sore)),
        st.sampled_from(Kit),
        st.lists(st.sampled_from(Equipment), unique=True, max_size=len(Equipment)),
        st.lists(sore_joints(), max_size=3),
    )


def chosen_in(choice: Choice) -> Iterator[Chosen]:
    return (chosen for block in choice.by_block.values() for chosen in block.values())


@given(plans(), rooms())
def test_nothing_chosen_stresses_a_sore_joint_beyond_what_it_may_take(of: SessionPlan, room: Room) -> None:
    """For every chosen variant and every sore joint: grade ≤ the grade its rating allows, whatever the
    side."""
    known = of.known_movements()
    for chosen in chosen_in(choose(of, room)):
        one = known[chosen.movement]
        variant = next(variant for variant in one.variants if variant.id == chosen.variant)
        for sore in room.sore:
            assert one.stress_on(sore.joint, variant) <= allowed_stress(sore.rating)


@given(plans(), rooms())
def test_nothing_chosen_needs_what_is_not_there(of: SessionPlan, room: Room) -> None:
    """For every chosen variant: its dumbbells ≤ those on hand, and nothing it needs is missing."""
    known = of.known_movements()
    for chosen in chosen_in(choose(of, room)):
        variant = next(variant for variant in known[chosen.movement].variants if variant.id == chosen.variant)
        assert variant.kit.dumbbells == chosen.dumbbells <= room.kit.dumbbells
        assert not set(variant.needs) & set(room.without)


@given(plans(), rooms())
def test_what_stands_in_comes_in_one_work_block_unless_a_block_would_have_hardly_anything_else(
    of: SessionPlan, room: Room
) -> None:
    """So pain gives no movement the rounds of two blocks."""
    choice = choose(of, room)
    blocks = [list(choice.by_block[block.id].values()) for block in of.work_blocks()]
    for number, block in enumerate(blocks):
        before = {one.really or one.movement for other in blocks[:number] for one in other}
        standing = {one.really or one.movement for one in block if one.instead_of is not None}
        others = {one.really or one.movement for one in block} - (standing & before)
        assert not standing & before or len(others) < FEWEST_IN_A_ROUND


@given(plans(), rooms())
def test_nothing_that_stands_in_has_more_weights_than_the_plan_means(of: SessionPlan, room: Room) -> None:
    """Neither pain nor a missing wall puts a weight, or a second one, into a hand."""
    known = of.known_movements()
    for block in choose(of, room).by_block.values():
        for slug, chosen in block.items():
            planned = chosen.instead_of or slug
            assert chosen.dumbbells <= room.usual_variant(known[planned]).kit.dumbbells


@given(plans(), rooms())
def test_every_change_is_said_and_nothing_else(of: SessionPlan, room: Room) -> None:
    """Outside practice: a movement has a sentence if and only if it is not done in its usual variant, which
    in a warm-up is the one with the least weight, or the coach wanted another one that cannot be used today;
    the sentence names the movement, what stands in, and why."""
    known = of.known_movements()
    today = Repertoire(known, room)
    choice = choose(of, room)
    said = {(swap.block, swap.movement): swap for swap in choice.swaps}
    assert len(said) == len(choice.swaps)
    for block in of.blocks:
        for slug in movements_named_in(block) if block.kind != "practice" else ():
            chosen = choice.by_block[block.id].get(slug)
            usual = today.usual(slug, light=block.kind == "warm_up").variant
            stays = chosen is not None and (chosen.movement, chosen.variant) == (slug, usual.id)
            swap = said.get((block.id, slug))
            assert stays == (swap is None or swap.code is SwapCode.own_choice_not_used)
            if swap is not None:
                assert swap.replacement == (chosen.movement if chosen else None)
                assert known[slug].name in swap_said(swap)
                if swap.code is SwapCode.own_choice:
                    assert "as the coach chose: " in swap_said(swap)
                    continue
                assert (chosen.name if chosen else "left out") in swap_said(swap)
                if "under another name" in swap_said(swap):
                    others = [one for name, one in choice.by_block[block.id].items() if name != slug]
                    assert known[slug].really(usual) in [one.really or one.movement for one in others]
                else:
                    *_, why = said_why(swap)
                    assert why in SPARING or why.startswith("missing_")


@given(plans(), rooms())
def test_the_same_question_has_the_same_answer(of: SessionPlan, room: Room) -> None:
    """choose(p, r) = choose(p, r)."""
    assert choose(of, room) == choose(of, room)


@given(plans(), rooms())
def test_no_movement_stands_twice_in_a_block(of: SessionPlan, room: Room) -> None:
    """Within a block the chosen movements differ."""
    for block in choose(of, room).by_block.values():
        slugs = [chosen.movement for chosen in block.values()]
        assert len(slugs) == len(set(slugs))


@given(plans(), rooms(), st.sets(st.sampled_from(Joint), max_size=2), st.data())
def test_what_is_swapped_on_the_run_spares_the_joints_and_stands_nowhere_else(
    of: SessionPlan, room: Room, sparing: set[Joint], data: st.DataObject
) -> None:
    """The substitute is none of the round's movements, puts no stress on the joints named, needs nothing that
    is missing, and remembers what the plan asked for."""
    known = of.known_movements()
    stand = list(choose(of, room).by_block[of.work_blocks()[0].id].values())
    assume(stand)
    at = data.draw(st.integers(0, len(stand) - 1))
    found = substitute_for(
        stand[at],
        known=known,
        room=room,
        around=[stand[at - 1], stand[at], stand[(at + 1) % len(stand)]] if len(stand) > 2 else [stand[at]],
        used={one.movement for one in stand},
        sparing=frozenset(sparing),
    )
    if found is not None:
        variant = next(variant for variant in known[found.movement].variants if variant.id == found.variant)
        assert found.movement not in {one.movement for one in stand}
        assert not sparing & known[found.movement].stressed_in(variant)
        assert not room.too_much(known[found.movement], variant)
        assert variant in room.possible_variants(known[found.movement])
        assert found.instead_of == (stand[at].instead_of or stand[at].movement)


@given(plans())
def test_with_everything_there_and_nothing_sore_nothing_changes(of: SessionPlan) -> None:
    """Two dumbbells, a full room, no sore joint: each movement stays as named, and there is no sentence,
    unless the coach names one movement twice in a block."""
    choice = choose(of, Room(kit=Kit.pair))
    twice = {swap.movement for swap in choice.swaps if "under another name" in swap_said(swap)}
    assert twice == {swap.movement for swap in choice.swaps}
    for block in of.blocks:
        once = [slug for slug in movements_named_in(block) if slug not in twice]
        chosen = choice.by_block[block.id]
        assert [slug for slug in chosen if slug not in twice] == once
        assert all(chosen[slug].movement == slug for slug in once)


SPARING = ("spares", "every_one_works", "sides_stay_equal")


def said_why(swap: Swap) -> list[str]:
    """The codes of what is said to be the reason."""
    why = swap.said[0].told.arguments["why"]
    return [one.code for one in why.listed]


NAMES = ("amber", "birch", "cedar", "dune")


@st.composite
def places(draw: st.DrawFn) -> RoundPlace:
    """A place with up to three movements that can stand in it."""
    candidates = []
    for slug in draw(st.lists(st.sampled_from(NAMES), unique=True, max_size=3)):
        one = movement(slug, region=draw(st.sampled_from(Region)), grip_heavy=draw(st.booleans()))
        candidates.append(
            Candidate(one, one.variants[0], Distance(draw(st.integers(0, 4)), draw(st.integers(0, 9))))
        )
    return RoundPlace(
        region=draw(st.sampled_from(Region)),
        grip_heavy=draw(st.booleans()),
        candidates=tuple(sorted(candidates, key=lambda candidate: candidate.distance)),
    )


@st.composite
def rounds(draw: st.DrawFn) -> list[RoundPlace]:
    """Up to four places; sometimes the plan names one movement in two of them."""
    made = draw(st.lists(places(), min_size=1, max_size=4))
    if len(made) in (2, 3) and draw(st.booleans()):
        again = replace(made[0], named="ember")
        made = [again, *made[1:2], again, *made[2:]]
    return made


@given(rounds())
def test_the_choice_for_a_round_is_the_best_of_all(of: list[RoundPlace]) -> None:
    """No way to fill the round is worth more: fewest places left empty, then fewest crowded neighbours, then
    the smallest distances, added up part by part. Checked against every way there is."""
    found = best_round(of)
    every_way = product(*((*place.candidates, None) for place in of))
    assert worth(of, found) == min(worth(of, way) for way in every_way if may_be(of, way))
    assert may_be(of, found)


def may_be(of: list[RoundPlace], way: tuple[Candidate | None, ...]) -> bool:
    """Whether no movement comes twice, and places that are named alike have the same."""
    names = [place.named or str(at) for at, place in enumerate(of)]
    pairs = {(name, one and one.movement.slug) for name, one in zip(names, way, strict=True)}
    slugs = [slug for _, slug in pairs if slug is not None]
    return len(pairs) == len(set(names)) and len(slugs) == len(set(slugs))


def worth(of: list[RoundPlace], way: tuple[Candidate | None, ...]) -> tuple[int, ...]:
    filled = [(at, candidate) for at, candidate in enumerate(way) if candidate is not None]
    beside = [*pairwise(filled), *([(filled[-1], filled[0])] if len(filled) > 1 else [])]
    crowded = sum(crowds(of, *one, *other) for one, other in beside)
    parts = [sum(candidate.distance[part] for _, candidate in filled) for part in range(len(AS_PLANNED))]
    return (len(of) - len(filled), crowded, *parts)


def crowds(of: list[RoundPlace], at: int, one: Candidate, other_at: int, other: Candidate) -> bool:
    """Whether one region or a hard grip comes twice in a row where the plan does not have it so."""
    in_a_row = (at + 1) % len(of) == other_at
    same_region = one.movement.region is other.movement.region
    both_grip = one.variant.grip_heavy and other.variant.grip_heavy
    planned_region = in_a_row and of[at].region is of[other_at].region
    planned_grip = in_a_row and of[at].grip_heavy and of[other_at].grip_heavy
    return (same_region and not planned_region) or (both_grip and not planned_grip)
