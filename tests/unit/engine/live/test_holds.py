"""A hold in a live session: hands-free, in pieces that are joined, and only time in position counts."""

from __future__ import annotations

import pytest
from builders import (
    BOTH,
    Journal,
    journal,
    movement,
    plan,
    session,
    warm_up,
    work,
)

from engine.live.run import at
from engine.live.state import Outcome, Status
from engine.live.timing import (
    goes_on_by_itself,
    held_at,
)
from engine.movements.movement import Movement, MovementPattern, Region
from engine.plan.plan import Amount, AmountCount, AmountUnit, RoundsRange, WarmUpItem
from engine.session.pace import item_key


def test_only_time_in_good_position_is_banked() -> None:
    made = session(plan(warm_up(), work(BOTH.slug)), minutes=10)
    run = journal(made).write("hold_started", 5_000).write("hold_stopped", 15_000)
    run.write("hold_started", 25_000).write("form_slipped", 32_000)
    assert held_at(run.state, 60_000) == 17_000
    assert (run.state.hold.running, run.state.status) == (False, Status.running)


PLANK = movement("plank", pattern=MovementPattern.trunk, region=Region.trunk, starts_with="hold")
ON_HANDS = PLANK.model_copy(
    update={"variants": tuple(variant.model_copy(update={"hands_bear": True}) for variant in PLANK.variants)}
)


def hold_of(
    of: Movement, seconds: int, *, count: AmountCount = AmountCount.total, sound_days: int = 0
) -> Journal:
    """A warm-up of one hold, then work."""
    item = WarmUpItem(movement=of.slug, amount=Amount(low=seconds, unit=AmountUnit.seconds, count=count))
    once = RoundsRange(min=1, max=1)
    made = plan(warm_up(items=(item,), rounds=once), work(BOTH.slug), movements=(of, BOTH))
    return journal(session(made, minutes=15).with_sound_holds({item_key(of.slug, item.amount): sound_days}))


def test_a_hold_is_done_when_its_dose_is_held_and_nobody_has_to_tap() -> None:
    run = hold_of(PLANK, 20).write("hold_started", 3_000)
    assert at(run.state, 22_999).index == 0
    done = at(run.state, 23_000)
    assert done.index == 1
    assert [(one.outcome, one.worked_ms) for one in done.done] == [(Outcome.done, 23_000)]


def test_with_the_hands_on_the_floor_a_hold_runs_in_pieces() -> None:
    run = hold_of(ON_HANDS, 30).write("hold_started", 0)
    assert [held_at(at(run.state, ms), ms) for ms in (5_000, 15_000, 20_000, 40_000)] == [
        0,
        10_000,
        10_000,
        25_000,
    ]
    assert at(run.state, 45_000).index == 1


@pytest.mark.parametrize("sound_days, done_ms", [(0, 45_000), (1, 40_000), (2, 35_000), (9, 35_000)])
def test_sound_days_join_the_pieces_of_a_hold(sound_days: int, done_ms: int) -> None:
    """30 s as 3 × 10, then 2 × 15, then 30, with 5 s to get down. † Our judgement, no source."""
    run = hold_of(ON_HANDS, 30, sound_days=sound_days).write("hold_started", 0)
    assert [at(run.state, ms).index for ms in (done_ms - 1, done_ms)] == [0, 1]


def test_a_hold_comes_in_the_shortest_pieces_again_once_its_position_is_lost() -> None:
    run = hold_of(ON_HANDS, 30, sound_days=2).write("hold_started", 0).write("form_slipped", 10_000)
    assert held_at(run.state, 10_000) == 5_000
    run.write("hold_started", 20_000)
    assert [held_at(at(run.state, ms), ms) for ms in (25_000, 35_000, 40_000, 50_000)] == [
        5_000,
        15_000,
        15_000,
        25_000,
    ]


def test_what_is_banked_stays_when_the_position_is_lost_and_the_piece_is_written_down() -> None:
    run = hold_of(ON_HANDS, 30).write("hold_started", 0).write("form_slipped", 23_000)
    assert (run.state.hold.running, run.state.hold.banked_ms, run.state.hold.broken_ms) == (
        False,
        13_000,
        (3_000,),
    )
    assert run.state.status is Status.running
    run.write("hold_started", 60_000)
    assert at(run.state, 60_000 + 5_000 + 10_000 + 5_000 + 7_000).index == 1


def test_the_other_side_follows_by_itself_where_nobody_can_tap() -> None:
    run = hold_of(ON_HANDS, 20, count=AmountCount.per_side).write("hold_started", 0)
    other = at(run.state, 30_000)
    assert (other.index, other.hold.running, other.hold.other_side) == (1, True, True)
    assert at(run.state, 64_999).index == 1
    assert at(run.state, 65_000).index == 2
    waiting = at(hold_of(PLANK, 20, count=AmountCount.per_side).write("hold_started", 0).state, 20_000)
    assert (waiting.index, waiting.hold.running) == (1, False)


def test_a_pause_stops_a_hold_as_well_and_it_goes_on_by_itself_after_a_lead_in() -> None:
    made = session(plan(warm_up(), work(BOTH.slug)), minutes=10)
    run = journal(made).write("hold_started", 5_000).write("paused", 15_000)
    assert held_at(run.state, 40_000) == 10_000
    run.write("resumed", 40_000)
    assert [held_at(run.state, ms) for ms in (40_000, 50_000, 60_000)] == [10_000, 10_000, 20_000]


def test_a_hold_in_pieces_begins_ten_seconds_after_the_return() -> None:
    run = hold_of(ON_HANDS, 30).write("hold_started", 0).write("paused", 10_000).write("resumed", 40_000)
    assert [held_at(run.state, ms) for ms in (40_000, 50_000, 55_000)] == [5_000, 5_000, 10_000]


def test_the_last_part_of_a_session_leads_to_nothing() -> None:
    state = journal().state
    assert not goes_on_by_itself(state, len(state.segments) - 1)
