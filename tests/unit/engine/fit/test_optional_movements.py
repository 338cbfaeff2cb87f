"""Optional movements go one after the other, and like neighbours stay apart."""

from __future__ import annotations

import pytest
from builders import BOTH, FLOOR, HAND, LEG, movement, plan, practice, session, work
from reasons_said import reasons_said

from companion.words.words import english
from engine.fit.choose import choose
from engine.fit.optional_movements import dropped_step_by_step
from engine.movements.movement import Kit, Region
from engine.movements.room import Room
from engine.plan.plan import Allowance, GiveUp, RoundsRange, WorkMovement
from engine.session.segment import Kind

GRIPPED = (("held-row", Region.upper_body), ("long-hang", Region.lower_body))


def test_optional_movements_go_one_at_a_time_the_last_first_and_are_not_practised() -> None:
    items = (
        WorkMovement(movement=BOTH.slug),
        WorkMovement(movement=HAND.slug, optional=True),
        WorkMovement(movement=FLOOR.slug, optional=True),
    )
    optional = plan(
        practice(movements=(BOTH.slug, HAND.slug, FLOOR.slug)),
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    full_ms = session(optional, kit=Kit.pair).total_ms
    one_less = session(optional, minutes=(full_ms - 1) / 60_000, kit=Kit.pair)
    assert one_less.choices.without_optional == ("circuit:3:floor-roll",)
    assert {s.movement for s in one_less.segments if s.kind is Kind.practice} == {BOTH.slug, HAND.slug}
    assert reasons_said(one_less) == ["Left out, as the plan calls it optional: Floor roll."]
    two_less = session(optional, minutes=(one_less.total_ms - 1) / 60_000, kit=Kit.pair)
    assert reasons_said(two_less) == [
        "Left out, as the plan calls it optional: One hand press and Floor roll."
    ]


def test_optional_movements_go_together_where_one_alone_would_leave_neighbours_alike() -> None:
    """Lower, upper, lower, upper: if only one of the inner two went, two of one region would meet."""
    press = HAND.model_copy(update={"slug": "second-press"})
    items = (
        WorkMovement(movement=BOTH.slug),
        WorkMovement(movement=HAND.slug, optional=True),
        WorkMovement(movement=LEG.slug, optional=True),
        WorkMovement(movement=press.slug),
    )
    optional = plan(
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        movements=(BOTH, HAND, LEG, press),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    full_ms = session(optional).total_ms
    made = session(optional, minutes=(full_ms - 1) / 60_000)
    assert made.choices.without_optional == ("circuit:2:one-hand-press", "circuit:3:one-leg-stand")


def test_an_optional_movement_stays_where_the_two_beside_it_are_heavy_on_the_grip_or_the_same() -> None:
    held, hung = (movement(slug, grip_heavy=True, region=region) for slug, region in GRIPPED)
    for first, last in ((held, hung), (BOTH, BOTH)):
        items = (
            WorkMovement(movement=first.slug),
            WorkMovement(movement=HAND.slug, optional=True),
            WorkMovement(movement=last.slug),
        )
        block = work(movements=items)
        of = plan(block, movements=(BOTH, HAND, held, hung))
        chosen = choose(of, Room(kit=Kit.pair)).by_block[block.id]
        assert list(dropped_step_by_step(block, chosen, of.known_movements())) == []


@pytest.mark.parametrize(
    "regions, goes",
    [
        ("lower lower upper", False),  # two would be left, of one region, that come after each other
        ("lower upper lower upper", True),  # three would be left: an odd number cannot alternate
        ("lower upper lower upper lower upper", True),
        ("lower lower upper lower upper", False),  # as long as it can, a round alternates
    ],
)
def test_only_a_round_of_an_odd_number_may_close_with_one_region_twice(regions: str, goes: bool) -> None:
    """Lower and upper body alternate where the plan did; the last one of the round is the optional one."""
    names = regions.split()
    made = [movement(f"lift-{place}", region=Region(name)) for place, name in enumerate(names, 1)]
    items = [WorkMovement(movement=one.slug, optional=one is made[-1]) for one in made]
    block = work(movements=tuple(items))
    of = plan(block, movements=tuple(made))
    chosen = choose(of, Room(kit=Kit.pair)).by_block[block.id]
    found = list(dropped_step_by_step(block, chosen, of.known_movements()))
    assert found == ([(len(names),)] if goes else [])


def test_what_the_coach_left_out_is_not_said_again_as_what_the_minutes_cost() -> None:
    items = tuple(
        WorkMovement(movement=slug, optional=slug != BOTH.slug) for slug in (BOTH.slug, HAND.slug, FLOOR.slug)
    )
    optional = plan(
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    full = session(optional, left_out=(HAND.slug,))
    less = session(optional, minutes=(full.total_ms - 1) / 60_000, left_out=(HAND.slug,))
    told = [english(one.said) for one in less.reasons if one.code == "optional_movements"]
    assert told == ["Left out, as the plan calls it optional: Floor roll."]
