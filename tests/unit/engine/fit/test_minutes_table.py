"""The table of minutes beside a plan."""

from __future__ import annotations

from builders import BOTH, HAND, LEG, cool_down, permitting, plan, work

from companion.words.words import english
from engine.base.units import format_duration, ms
from engine.fit.asked import Asked
from engine.fit.minutes_table import MOST_ROUNDS_SHOWN, USUAL_MINUTES, given, minutes_give, planned_rows
from engine.fit.offer import offer
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, GiveUp, RoundsRange, SideChangeMode

HALF_MINUTES = work(HAND.slug, BOTH.slug, rounds=RoundsRange(min=2, max=3), work_s=30, rest_s=30)


def test_one_dumbbell_costs_the_seconds_of_its_change_of_sides() -> None:
    rows = {
        (row.kit, row.side_change): row.by_rounds
        for kit in Kit
        for row in planned_rows(plan(HALF_MINUTES), kit)
    }
    assert rows[Kit.single, None][2] - rows[Kit.single, SideChangeMode.inside][2] == ms(2 * 10), (
        "10 s in each of 2 rounds"
    )
    assert rows[Kit.pair, None] == rows[Kit.pair, SideChangeMode.inside], "with two dumbbells no hand changes"
    # Reckoned by hand: 10 s lead-in, 4 intervals of 30 s, 3 rests of 30 s between them.
    assert rows[Kit.none, None][2] == ms(10 + 4 * 30 + 3 * 30)


def test_the_table_stays_as_wide_as_a_coach_can_take_in() -> None:
    wide = plan(work(HAND.slug, rounds=RoundsRange(min=1, max=30)))
    assert all(len(row.by_rounds) == MOST_ROUNDS_SHOWN for row in planned_rows(wide, Kit.pair))


def test_what_the_minutes_give_is_what_the_fit_offers() -> None:
    made = plan(HALF_MINUTES, cool_down())
    assert [one.minutes for one in minutes_give(made, Kit.pair)] == list(USUAL_MINUTES)
    assert not any(minutes % 5 for minutes in USUAL_MINUTES), "people say minutes by fives"
    offered = offer(made, Asked(minutes=15, room=Room(kit=Kit.pair))).session
    assert offered is not None
    assert given(made, Kit.pair, 15).total_ms == offered.total_ms
    assert given(made, Kit.pair, 15).rounds == offered.rounds()


def test_a_warning_stands_where_the_fewest_rounds_do_not_fit() -> None:
    long = work(HAND.slug, BOTH.slug, LEG.slug, rounds=RoundsRange(min=8, max=9), work_s=60, rest_s=30)
    refused = given(plan(long, allowances=()), Kit.none, 15)
    assert refused.rounds is None
    assert refused.warning is not None
    assert english(refused.warning).startswith("Nothing fits; the shortest session takes ")
    fewer = given(permitting(plan(long, allowances=())), Kit.none, 15)
    assert fewer.rounds == 3
    assert fewer.warning is not None
    assert english(fewer.warning).endswith(" short of your minimum of rounds.")
    assert given(plan(HALF_MINUTES), Kit.none, 15).warning is None


def test_the_missing_time_of_a_warning_is_what_the_minimum_needs() -> None:
    long = work(HAND.slug, rounds=RoundsRange(min=15, max=15), work_s=45, rest_s=30)
    spare = permitting(plan(long, allowances=(Allowance(give_up=GiveUp.rest, to_s=(15,)),)))
    warning = given(spare, Kit.none, 10).warning
    # 15 intervals of 45 s, 14 rests of 15 s, 10 s lead-in, less the 10 minutes there are.
    assert warning is not None
    assert format_duration(ms(15 * 45 + 14 * 15 + 10 - 600)) in english(warning)
