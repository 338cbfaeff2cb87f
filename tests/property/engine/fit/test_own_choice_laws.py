"""Laws of the coach's own substitutes: they come first, and never beat a limit of the person or the round."""

from __future__ import annotations

from builders import plan, practice, work
from hypothesis import given
from hypothesis import strategies as st
from reasons_said import swap_said

from engine.base.issue import Place
from engine.fit.asked import Asked
from engine.fit.choose import FEWEST_IN_A_ROUND, choose
from engine.fit.offer import offer
from engine.fit.reasons import SwapCode
from engine.fit.replace import substitute_for
from engine.movements.best_round import RoundPlace, best_round, crowded
from engine.movements.limits import Limit, barring
from engine.movements.movement import Equipment, Joint, Kit, MovementPattern, StartsWith, library
from engine.movements.own_choice import Occasion, OwnSubstitute, best_round_with, occurring
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room, SoreJoint, allowed_stress
from engine.movements.substitutes import Candidate
from engine.plan.check import check
from engine.plan.plan import (
    Amount,
    AmountUnit,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.session.choices import Chosen

LIBRARY = library()
TRAINED = tuple(slug for slug, one in LIBRARY.items() if one.pattern is not MovementPattern.mobility)


def some(least: int, most: int) -> st.SearchStrategy[list[str]]:
    return st.lists(st.sampled_from(TRAINED), min_size=least, max_size=most, unique=True)


@st.composite
def substitutes(draw: st.DrawFn, *likely: str) -> tuple[OwnSubstitute, ...]:
    """Substitutes from all the library, more often than not from ``likely``."""
    occasions = draw(st.lists(st.sampled_from(Occasion), max_size=4, unique=True))
    slugs = st.sampled_from((*TRAINED, *LIBRARY)) | st.sampled_from(likely or TRAINED)
    return tuple(OwnSubstitute(when=when, movement=draw(slugs)) for when in occasions)


@st.composite
def own_plans(draw: st.DrawFn) -> SessionPlan:
    """Plans with the coach's own substitutes: those that the checker calls faulty are taken out."""
    loosened, first, second = draw(some(1, 3)), draw(some(2, 4)), draw(some(2, 4))
    items = [
        WarmUpItem(movement=one, amount=Amount(low=8), substitutes=draw(substitutes())) for one in loosened
    ]
    works = [
        [WorkMovement(movement=one, substitutes=draw(substitutes(*other))) for one in block]
        for block, other in ((first, second), (second, first))
    ]
    made = plan(
        WarmUpBlock(id="warm-up", items=tuple(items)),
        practice(movements=tuple(first)),
        work(id="first", movements=tuple(works[0])),
        work(id="second", movements=tuple(works[1])),
        movements=(),
    )
    wrong = [fault.where for fault in check(made) if "substitutes" in fault.where]
    return _without(made, wrong)


def _without(of: SessionPlan, wrong: list[Place]) -> SessionPlan:
    """The plan without the substitutes of movements that have a faulty one."""
    blocks = []
    for number, block in enumerate(of.blocks):
        field = "items" if isinstance(block, WarmUpBlock) else "movements"
        if isinstance(block, WarmUpBlock | WorkBlock):
            parts = tuple(
                part.model_copy(update={"substitutes": ()})
                if any(where[:4] == ("blocks", number, field, at) for where in wrong)
                else part
                for at, part in enumerate(getattr(block, field))
            )
            block = block.model_copy(update={field: parts})
        blocks.append(block)
    made = of.model_copy(update={"blocks": tuple(blocks)})
    assert not [fault for fault in check(made) if "substitutes" in fault.where]
    return made


def rooms() -> st.SearchStrategy[Room]:
    sore = st.builds(SoreJoint, joint=st.sampled_from(Joint), rating=st.integers(1, 5))
    return st.builds(
        lambda kit, without, joints, held, limits: Room(
            kit=kit,
            without=tuple(without),
            sore=tuple(joints),
            after_pain=tuple(held),
            limits=tuple(limits),
        ),
        st.sampled_from(Kit),
        st.lists(st.sampled_from(Equipment), unique=True, max_size=3),
        st.lists(sore, max_size=2),
        st.lists(st.sampled_from(TRAINED), unique=True, max_size=12),
        st.lists(st.sampled_from((Limit.not_on_back, Limit.steady, Limit.head_up, Limit.hands_raised))),
    )


def written_in(block: WarmUpBlock | WorkBlock, slug: str) -> tuple[OwnSubstitute, ...]:
    parts = block.items if isinstance(block, WarmUpBlock) else block.movements
    return next(part.substitutes for part in parts if part.movement == slug)


@given(own_plans(), rooms())
def test_an_own_substitute_never_beats_a_hard_limit(of: SessionPlan, room: Room) -> None:
    """What stands in is in no joint above the grade that today's pain allows, in no position or balance that
    a limit bars, needs nothing that is missing, is not left out after pain, and comes once in its block."""
    choice = choose(of, room)
    for block in choice.by_block.values():
        for chosen in block.values():
            movement = LIBRARY[chosen.movement]
            variant = next(variant for variant in movement.variants if variant.id == chosen.variant)
            assert all(movement.stress_on(s.joint, variant) <= allowed_stress(s.rating) for s in room.sore)
            assert not barring(room.limits, movement, variant)
            assert variant.kit.dumbbells <= room.kit.dumbbells
            assert not set(variant.needs) & set(room.without)
            assert movement.slug not in room.after_pain
        really = [chosen.really or chosen.movement for chosen in block.values()]
        assert len(really) == len(set(really))


@given(own_plans(), rooms())
def test_an_own_substitute_gets_the_rounds_of_one_block_unless_one_would_have_hardly_anything_else(
    of: SessionPlan, room: Room
) -> None:
    """In two work blocks nothing that stands in comes twice, where both have two movements without it."""
    first, second = (list(choose(of, room).by_block[block].values()) for block in ("first", "second"))
    for here, there in ((first, second), (second, first)):
        standing = {one.really or one.movement for one in here if one.instead_of is not None}
        twice = standing & {one.really or one.movement for one in there}
        others = [{one.really or one.movement for one in block} - twice for block in (here, there)]
        assert not twice or min(map(len, others)) < FEWEST_IN_A_ROUND


@given(own_plans(), rooms())
def test_a_warm_up_never_gains_a_weight_by_an_own_substitute(of: SessionPlan, room: Room) -> None:
    """In a warm-up a substitute takes no more dumbbells than the planned movement needs."""
    for slug, chosen in choose(of, room).by_block["warm-up"].items():
        assert chosen.dumbbells <= min(variant.kit.dumbbells for variant in LIBRARY[slug].variants)


@given(own_plans(), rooms())
def test_it_stands_in_on_its_occasion_or_the_answer_says_why_not(of: SessionPlan, room: Room) -> None:
    """A movement with a substitute for today either has one of them, said as the coach's own choice, or has
    one sentence with the ordinary choice and why. Without an occasion nobody's choice is named."""
    choice = choose(of, room)
    said = {(swap.block, swap.movement): swap for swap in choice.swaps}
    for block in of.blocks:
        for slug in movements_named_in(block) if isinstance(block, WarmUpBlock | WorkBlock) else ():
            wanted = [one.movement for one in occurring(written_in(block, slug), room)]
            swap, chosen = said.get((block.id, slug)), choice.by_block[block.id].get(slug)
            if not wanted:
                assert swap is None or "the coach chose" not in swap_said(swap)
                continue
            assert swap is not None
            assert swap.replacement == (chosen.movement if chosen else None)
            if swap.code is SwapCode.own_choice:
                assert swap.replacement in wanted
                assert ", as the coach chose: " in swap_said(swap)
                assert swap.not_used in (None, *wanted[: wanted.index(swap.replacement)])
            else:
                assert swap.not_used == wanted[0]
                assert "cannot be done today: " in swap_said(swap)


@given(own_plans(), rooms())
def test_without_occasions_the_choice_is_the_ordinary_one(of: SessionPlan, room: Room) -> None:
    """With two dumbbells and nothing sore, substitutes change nothing of what is chosen."""
    well = room.model_copy(update={"kit": Kit.pair, "sore": ()})
    bare = _without(
        of, [f"blocks {n} › {f} {m} › " for n in range(1, 5) for f in FIELDS for m in range(1, 6)]
    )
    chosen, ordinary = (_slugs(choose(one, well).by_block) for one in (of, bare))
    assert chosen == ordinary


FIELDS = ("items", "movements")


def _slugs(by_block) -> dict[tuple[str, str], tuple[str, str]]:
    return {
        (block, slug): (chosen.movement, chosen.variant)
        for block, movements in by_block.items()
        for slug, chosen in movements.items()
    }


@given(own_plans(), rooms())
def test_amounts_and_sides_follow_what_stands_in(of: SessionPlan, room: Room) -> None:
    """A hold has seconds and nothing else has them; both sides of a movement with sides get the same time."""
    session = offer(of, Asked(minutes=90, room=room)).session
    if session is None:
        return
    for block in session.blocks:
        for item in block.items:
            if block.kind == "warm_up" and item.chosen.instead_of is not None and item.amount is not None:
                holds = item.chosen.starts_with is StartsWith.hold
                assert (item.amount.unit is AmountUnit.seconds) is holds
            own = [s for s in session.segments if (s.block, s.movement) == (block.id, item.chosen.movement)]
            left, right = (sum(s.planned_ms for s in own if s.side == side) for side in ("left", "right"))
            if block.kind == "work":
                changes = sum(s.planned_ms for s in own if s.kind == "side_change")
                assert abs(left - right) <= changes


@given(own_plans(), rooms(), st.sets(st.sampled_from(Joint), max_size=1), st.data())
def test_on_the_run_too_an_own_substitute_never_beats_a_limit(
    of: SessionPlan, room: Room, sparing: set[Joint], data: st.DataObject
) -> None:
    """It spares the joint, brings no other weight, and is none of the session's movements."""
    stand = list(choose(of, room).by_block["first"].values())
    if not stand:
        return
    old: Chosen = data.draw(st.sampled_from(stand))
    used = {one.movement for one in stand}
    found = substitute_for(
        old, known=LIBRARY, room=room, around=(old,), used=used, sparing=frozenset(sparing)
    )
    if found is not None:
        movement = LIBRARY[found.movement]
        variant = next(variant for variant in movement.variants if variant.id == found.variant)
        assert found.movement not in used
        assert not sparing & movement.stressed_in(variant)
        assert variant in room.variants_of(movement)
        assert found.dumbbells <= old.dumbbells


@given(some(2, 5), some(1, 3), st.data())
def test_an_own_substitute_crowds_no_neighbours_that_the_round_leaves_apart(
    planned: list[str], wanted: list[str], data: st.DataObject
) -> None:
    """crowded(round with own choices) ≤ crowded(round without); each that stands is where it is wanted."""
    today = Repertoire(LIBRARY, Room(kit=Kit.single))
    places = []
    for slug in planned:
        usual = today.usual(slug)
        nearest = today.stand_ins(usual, ())[:4]
        places.append(RoundPlace(usual.movement.region, usual.variant.grip_heavy, (usual, *nearest)))
    own = {
        data.draw(st.integers(0, len(planned) - 1)): [Candidate(LIBRARY[one], LIBRARY[one].variants[0])]
        for one in wanted
    }
    filled = best_round_with(places, own)
    assert crowded(places, filled) <= crowded(places, best_round(places))
    really = [one.really for one in filled if one is not None]
    assert len(really) == len(set(really))
    for at, place in enumerate(places):
        if filled[at] is not None and filled[at] not in place.candidates:
            assert filled[at] in own[at]


@given(own_plans(), rooms())
def test_the_same_question_has_the_same_answer(of: SessionPlan, room: Room) -> None:
    """choose(p, r) = choose(p, r), whatever the order of what hurts."""
    turned = choose(of, room.model_copy(update={"sore": room.sore[::-1]}))
    assert _slugs(choose(of, room).by_block) == _slugs(turned.by_block)
