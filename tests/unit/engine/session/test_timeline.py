"""From a plan to segments."""

from __future__ import annotations

from itertools import pairwise

import pytest
from builders import BOTH, FLOOR, HAND, LEG, cool_down, plan, practice, session, short_session, warm_up, work

from engine.movements.movement import Kit, Side
from engine.plan.plan import (
    Amount,
    AmountCount,
    AmountUnit,
    PracticeKind,
    RoundsRange,
    SideChange,
    SideChangeMode,
    WarmUpItem,
)
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Pace

ONE_ROUND = RoundsRange(min=1, max=1)


def lengths_s(of: FittedSession, block: str) -> list[tuple[str, str | None, float]]:
    return [
        (segment.kind, segment.side, segment.planned_ms / 1000)
        for segment in of.segments
        if segment.block == block
    ]


def changed(
    mode: SideChangeMode, slug: str = HAND.slug, kit: Kit = Kit.single
) -> list[tuple[str, str | None, float]]:
    rounds = RoundsRange(min=2, max=2)
    made = session(plan(work(slug, rounds=rounds), side_change=SideChange(mode=mode)), minutes=6, kit=kit)
    return lengths_s(made, "circuit")


def test_an_added_change_makes_the_interval_grow() -> None:
    assert changed(SideChangeMode.added) == [
        ("get_ready", "left", 10),
        ("work", "left", 30),
        ("side_change", "right", 10),
        ("work", "right", 30),
        ("rest", None, 30),
        ("work", "left", 30),
        ("side_change", "right", 10),
        ("work", "right", 30),
    ]


def test_a_change_inside_leaves_the_interval_and_keeps_both_sides_equal() -> None:
    assert changed(SideChangeMode.inside)[1:5] == [
        ("work", "left", 27.5),
        ("side_change", "right", 5),
        ("work", "right", 27.5),
        ("rest", None, 30),
    ]


def test_a_change_of_legs_inside_takes_ten_seconds() -> None:
    assert changed(SideChangeMode.inside, LEG.slug)[1:4] == [
        ("work", "left", 25),
        ("side_change", "right", 10),
        ("work", "right", 25),
    ]


def test_a_change_from_rest_shortens_the_rest_and_leaves_the_round() -> None:
    assert changed(SideChangeMode.from_rest)[1:5] == [
        ("work", "left", 30),
        ("side_change", "right", 10),
        ("work", "right", 30),
        ("rest", None, 20),
    ]


def test_a_change_from_rest_never_takes_the_rest_below_its_floor() -> None:
    two = plan(
        work(HAND.slug, FLOOR.slug, rounds=ONE_ROUND), side_change=SideChange(mode=SideChangeMode.from_rest)
    )
    rests = [s for s in session(two, minutes=6).segments if s.kind is Kind.rest]
    assert [(rest.movement, rest.planned_ms) for rest in rests] == [(FLOOR.slug, 30_000)]


@pytest.mark.parametrize("slug, kit", [(HAND.slug, Kit.pair), (BOTH.slug, Kit.single), (HAND.slug, Kit.none)])
def test_what_has_no_side_works_for_the_whole_interval(slug: str, kit: Kit) -> None:
    assert changed(SideChangeMode.added, slug, kit)[1:3] == [("work", "both", 60), ("rest", None, 30)]


def test_the_weaker_side_may_start() -> None:
    sides = [s.side for s in short_session(first_side=Side.right).segments if s.kind is Kind.work]
    assert sides == [Side.right, Side.left] * 2


def test_a_block_ends_without_a_rest_and_a_transition_leads_to_the_next() -> None:
    made = session(plan(work(BOTH.slug), work(HAND.slug, id="second"), cool_down()), minutes=40)
    kinds = [segment.kind for segment in made.segments]
    assert Kind.transition in kinds
    for one, following in pairwise(made.segments):
        if one.block != following.block:
            assert (one.kind, following.kind) == (Kind.work, Kind.transition)


def test_the_lead_in_lies_inside_the_change_of_block() -> None:
    made = session(plan(warm_up(), work(HAND.slug), transition_s=20), minutes=20, kit=Kit.pair)
    ways = [s for s in made.segments if s.kind in (Kind.transition, Kind.get_ready)]
    assert [(way.kind, way.planned_ms) for way in ways] == [
        (Kind.transition, 10_000),
        (Kind.get_ready, 10_000),
    ]


def test_a_self_paced_start_needs_no_lead_in() -> None:
    assert session(plan(warm_up(), work())).segments[0].kind is Kind.warm_up


def test_the_rest_between_rounds_may_differ() -> None:
    made = session(
        plan(work(BOTH.slug, HAND.slug, rounds=RoundsRange(min=2, max=2), round_rest_s=90)), kit=Kit.pair
    )
    assert [s.planned_ms for s in made.segments if s.kind is Kind.rest] == [30_000, 90_000, 30_000]


def test_timed_practice_has_a_rest_between_and_none_at_the_end() -> None:
    made = session(plan(practice(movements=(BOTH.slug, HAND.slug)), work(BOTH.slug, HAND.slug)))
    assert [(kind, length) for kind, _, length in lengths_s(made, "practice")] == [
        ("get_ready", 10),
        ("practice", 30),
        ("rest", 15),
        ("practice", 12.5),
        ("side_change", 5),
        ("practice", 12.5),
    ]


def test_practice_by_repetitions_is_computed_from_tempo_sides_and_getting_there() -> None:
    by_repetitions = practice(
        movements=(BOTH.slug, HAND.slug, LEG.slug),
        timed=None,
        repetitions=Amount(low=3, high=5),
        usual=PracticeKind.repetitions,
    )
    made = session(plan(by_repetitions, work()))
    practised = [s for s in made.segments if s.kind is Kind.practice]
    assert {s.pace for s in practised} == {Pace.self}
    # four repetitions of 4 s and 5 s to get there; both sides and 5 s for the hand, 10 s for the leg
    assert [s.planned_ms for s in practised] == [21_000, 42_000, 47_000]


@pytest.mark.parametrize(
    "amount, length_s",
    [
        (Amount(low=10), 35),
        (Amount(low=8, high=10), 32),
        (Amount(low=10, count=AmountCount.alternating), 35),
        (Amount(low=5, count=AmountCount.per_side), 35),
        (Amount(low=20, unit=AmountUnit.seconds), 25),
        (Amount(low=20, unit=AmountUnit.seconds, count=AmountCount.per_side), 45),
    ],
)
def test_a_warm_up_item_is_estimated_at_the_middle_of_its_dose(amount: Amount, length_s: int) -> None:
    items = (WarmUpItem(movement="easy-bend", amount=amount),)
    made = session(plan(warm_up(items=items, rounds=ONE_ROUND), work()))
    assert sum(length for _, _, length in lengths_s(made, "warm-up")) == length_s


def test_an_estimate_of_the_coach_replaces_ours() -> None:
    made = session(plan(warm_up(rounds=ONE_ROUND), work()))
    assert [length for _, _, length in lengths_s(made, "warm-up")] == [60, 90]


def test_the_cool_down_is_shared_in_equal_parts() -> None:
    made = session(plan(work(), cool_down(movements=("easy-bend", "easy-turn"))), minutes=40)
    assert [length for kind, _, length in lengths_s(made, "cool-down") if kind == "cool_down"] == [150, 150]


def test_every_segment_has_a_name_of_its_own() -> None:
    ids = [s.id for s in session(plan(warm_up(), practice(), work(), cool_down()), minutes=60).segments]
    assert len(ids) == len(set(ids))
