"""The live session: what each event does and what it leaves alone."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import (
    BOTH,
    HAND,
    STARTED_AT,
    Journal,
    journal,
    pain,
    plan,
    session,
    short_session,
    warm_up,
    work,
)

from engine.live.events import Ending
from engine.live.refit import CUT_UNDONE
from engine.live.run import at, begin, replay
from engine.live.state import Outcome, RunState, Status
from engine.live.timing import (
    elapsed_at,
    lead_in_at,
    paused_at,
    remaining_at,
    remaining_session_at,
)
from engine.plan.plan import RoundsRange
from engine.session.segment import Kind, Pace

# The short session, in seconds: 0 lead-in, 10 left, 40 change, 50 right, 80 rest,
# 110 left, 140 change, 150 right, 180 end.


def kinds(state: RunState) -> list[tuple[Kind, Outcome, int]]:
    known = state.by_id
    return [(known[done.segment_id].kind, done.outcome, done.worked_ms // 1000) for done in state.done]


def here(state: RunState) -> tuple[str, int]:
    assert state.current is not None
    return state.current.id, elapsed_at(state, state.at_ms)


def test_nothing_runs_before_the_start() -> None:
    state = at(begin(short_session()), 500_000)
    assert (state.status, state.index) == (Status.ready, 0)


def test_clocked_segments_end_by_time_alone() -> None:
    state = at(journal().state, 45_000)
    assert here(state) == ("circuit:1:1:one-hand-press:right:side_change", 5_000)
    assert kinds(state) == [(Kind.get_ready, Outcome.done, 10), (Kind.work, Outcome.done, 30)]


def test_a_segment_begins_at_the_very_moment_the_one_before_ends() -> None:
    assert here(at(journal().state, 39_999))[0].endswith("left:work")
    assert here(at(journal().state, 40_000)) == ("circuit:1:1:one-hand-press:right:side_change", 0)


def test_the_session_finishes_when_its_last_segment_is_over() -> None:
    state = at(journal().state, 180_000)
    assert (state.status, state.ending, state.current) == (Status.ended, Ending.finished, None)


def test_a_pause_stops_the_clock_of_the_segment_and_not_of_the_session() -> None:
    run = journal().write("paused", 20_000).write("resumed", 50_000)
    assert here(at(run.state, 65_000)) == ("circuit:1:1:one-hand-press:left:work", 15_000)
    assert (run.state.paused_ms, paused_at(run.state, 65_000)) == (30_000, 40_000)
    assert at(run.state, 219_999).status is Status.running
    assert at(run.state, 220_000).ending is Ending.finished


def test_a_return_leads_in_and_the_side_that_was_cut_short_gets_its_full_time() -> None:
    run = journal().write("paused", 20_000).write("resumed", 50_000)
    assert [lead_in_at(run.state, ms) for ms in (50_000, 57_000, 60_000, 61_000)] == [10_000, 3_000, 0, 0]
    assert [elapsed_at(run.state, ms) for ms in (50_000, 60_000, 61_000)] == [10_000, 10_000, 11_000]
    left, _, right = at(run.state, 150_000).done[1:4]
    assert (left.worked_ms, right.worked_ms) == (30_000, 30_000)
    again = run.write("paused", 55_000).write("resumed", 70_000)
    assert elapsed_at(again.state, 81_000) == 11_000, "a pause in the lead-in starts the lead-in again"


def test_a_rest_or_a_change_of_sides_that_is_nearly_over_is_lengthened_to_the_lead_in() -> None:
    change = journal().write("paused", 48_000).write("resumed", 60_000)
    assert at(change.state, 69_999).current.kind is Kind.side_change
    assert at(change.state, 70_000).current.kind is Kind.work
    rest = journal().write("paused", 85_000).write("resumed", 90_000)
    assert at(rest.state, 115_000).current.kind is Kind.work, "25 s of rest are lead-in enough"


@pytest.mark.parametrize("elsewhere", ["redone", "went_back", "skipped"])
def test_whoever_goes_elsewhere_on_coming_back_has_a_lead_in_there(elsewhere: str) -> None:
    run = journal().write("paused", 45_000).write("resumed", 60_000).write(elsewhere, 60_000)
    until_ms = 69_999
    work = at(run.state, until_ms)
    assert elapsed_at(work, until_ms) == 0 or work.current.kind is Kind.rest


def test_after_ten_minutes_there_is_time_for_a_few_light_repetitions_first() -> None:
    short = journal().write("paused", 20_000).write("resumed", 619_999)
    long = journal().write("paused", 20_000).write("resumed", 620_000)
    away = journal().write("returned", 20_000, away_ms=600_000).write("resumed", 21_000)
    assert [one.state.anchor.light_first for one in (short, long, away)] == [False, True, True]
    assert [lead_in_at(one.state, one.state.at_ms) for one in (short, long, away)] == [10_000, 30_000, 30_000]


def test_a_self_paced_item_waits_to_be_ticked() -> None:
    made = session(plan(warm_up(rounds=RoundsRange(min=1, max=1)), work(BOTH.slug)), minutes=10)
    run = journal(made)
    waiting = at(run.state, 600_000)
    assert waiting.current is not None
    assert (waiting.index, waiting.current.pace, remaining_at(waiting, 600_000)) == (0, Pace.self, 0)
    run.write("ticked", 600_000)
    assert run.state.index == 1
    assert kinds(run.state) == [(Kind.warm_up, Outcome.done, 600)]


def test_a_tick_does_nothing_to_a_clocked_interval() -> None:
    assert here(journal().write("ticked", 20_000).state) == ("circuit:1:1:one-hand-press:left:work", 10_000)


def test_slipped_form_on_the_clock_pauses_and_is_written_down() -> None:
    run = journal().write("form_slipped", 25_000)
    assert run.state.status is Status.paused
    assert [(one.session_ms, one.segment_id) for one in run.state.lost] == [
        (25_000, "circuit:1:1:one-hand-press:left:work")
    ]


def test_slipped_form_that_is_said_in_a_rest_is_about_the_interval_just_left() -> None:
    run = journal().write("form_slipped", 85_000)
    assert [one.segment_id for one in run.state.lost] == ["circuit:1:1:one-hand-press:right:work"]
    assert (run.state.status, here(run.state)[0]) == (Status.paused, "circuit:1:1:one-hand-press:rest")


def test_skipping_the_first_side_skips_the_other_too() -> None:
    run = journal().write("skipped", 20_000)
    assert run.state.current is not None
    assert run.state.current.kind is Kind.rest
    assert kinds(run.state)[1:] == [
        (Kind.work, Outcome.partly, 10),
        (Kind.side_change, Outcome.skipped, 0),
        (Kind.work, Outcome.skipped, 0),
    ]


def test_skipping_a_rest_leads_to_work() -> None:
    run = journal().write("skipped", 85_000)
    assert here(run.state) == ("circuit:2:1:one-hand-press:left:work", 0)


def test_skipping_the_last_interval_finishes() -> None:
    assert journal().write("skipped", 160_000).state.ending is Ending.finished


def test_going_back_and_doing_again_start_from_the_beginning() -> None:
    assert here(journal().write("went_back", 85_000).state) == ("circuit:1:1:one-hand-press:right:work", 0)
    assert here(journal().write("redone", 60_000).state) == ("circuit:1:1:one-hand-press:left:work", 0)
    assert here(journal().write("went_back", 3_000).state) == ("circuit:get-ready", 0)


def test_passing_through_a_finished_interval_takes_nothing_from_it() -> None:
    run = journal().write("went_back", 85_000).write("went_back", 85_000)
    assert run.state.done[-1].outcome is Outcome.skipped


def test_more_rest_lengthens_this_rest_alone() -> None:
    run = journal().write("more_rest", 90_000, added_ms=30_000)
    assert here(at(run.state, 139_999))[0] == "circuit:1:1:one-hand-press:rest"
    assert here(at(run.state, 140_000))[0] == "circuit:2:1:one-hand-press:left:work"
    assert at(run.state, 210_000).ending is Ending.finished


def test_more_rest_outside_a_rest_changes_nothing() -> None:
    assert journal().write("more_rest", 20_000, added_ms=30_000).state.anchor.extra_ms == 0


def test_pain_pauses_and_releases_the_promised_finish() -> None:
    run = journal().write("hurt", 25_000, pain=pain(session_ms=25_000))
    assert (run.state.status, run.state.finish_released) == (Status.paused, True)
    assert [note.rating for note in run.state.pains] == [2]


def test_what_is_being_told_waits_for_its_end_and_is_kept_where_the_session_ends() -> None:
    said = pain(session_ms=25_000)
    telling = journal().write("telling", 25_000, pain=said)
    assert (telling.state.status, telling.state.telling, telling.state.pains) == (Status.paused, said, ())
    assert telling.write("resumed", 26_000).state.status is Status.paused
    ended = telling.write("ended", 27_000, ending="early")
    assert (ended.state.telling, ended.state.pains) == (None, (said,))


def test_what_did_not_hurt_after_all_is_not_kept() -> None:
    run = journal().write("telling", 25_000, pain=pain(session_ms=25_000)).write("telling", 26_000, pain=None)
    assert run.write("resumed", 27_000).state.status is Status.running
    assert (run.state.telling, run.state.pains) == (None, ())


def test_a_return_waits_and_counts_the_time_away_apart() -> None:
    run = journal().write("returned", 25_000, away_ms=900_000)
    assert (run.state.status, run.state.away_ms, run.state.paused_ms) == (Status.paused, 900_000, 0)
    assert here(run.state)[1] == 15_000


def test_a_refit_replaces_what_is_to_come_and_not_what_is_on() -> None:
    made = short_session()
    run = journal(made).write("refitted", 85_000, segments=(), said=(CUT_UNDONE,))
    assert run.state.coming == ()
    assert here(run.state)[0] == "circuit:1:1:one-hand-press:rest"
    assert at(run.state, 110_000).ending is Ending.finished


def test_a_refit_keeps_what_was_done_before_stepping_back() -> None:
    run = journal().write("went_back", 115_000).write("refitted", 120_000, segments=(), said=(CUT_UNDONE,))
    done = {one.segment_id for one in run.state.done if one.worked_ms}
    assert "circuit:2:1:one-hand-press:left:work" in done
    assert done <= set(run.state.by_id)


def test_a_refit_is_remembered_by_its_sentence_and_its_new_finish() -> None:
    later = STARTED_AT + timedelta(minutes=9)
    run = journal().write("refitted", 85_000, segments=(), said=(CUT_UNDONE,), finish_at=later)
    assert [(change.session_ms, change.said) for change in run.state.changes] == [(85_000, (CUT_UNDONE,))]
    assert run.state.finish_at == later


def test_in_a_rest_the_movement_in_hand_is_the_one_just_left() -> None:
    run = journal(session(plan(work(BOTH.slug, HAND.slug)), minutes=10))
    resting = at(run.state, 75_000)
    assert resting.current is not None
    assert resting.in_hand is not None
    assert (resting.current.movement, resting.in_hand.movement) == (HAND.slug, BOTH.slug)
    assert not resting.in_interval
    assert at(run.state, 60_000).in_interval


def test_ending_early_keeps_what_was_begun() -> None:
    run = journal().write("ended", 25_000, ending="early")
    assert kinds(run.state) == [(Kind.get_ready, Outcome.done, 10), (Kind.work, Outcome.partly, 15)]
    assert (run.state.status, run.state.ending) == (Status.ended, Ending.early)


def test_ending_in_a_pause_counts_the_pause() -> None:
    run = journal().write("paused", 25_000).write("ended", 60_000, ending="pain")
    assert (run.state.paused_ms, run.state.ending) == (35_000, Ending.pain)


def test_after_the_end_nothing_changes_but_the_count() -> None:
    run = journal().write("ended", 25_000, ending="early")
    after = journal().write("ended", 25_000, ending="early").write("went_back", 30_000).state
    assert after.model_copy(update={"seq": 2, "at_ms": run.state.at_ms}) == run.state


def test_an_early_end_can_be_taken_back_and_the_time_since_was_a_pause() -> None:
    run = journal().write("ended", 25_000, ending="early").write("reopened", 60_000)
    assert (run.state.status, run.state.ending, run.state.paused_ms) == (Status.paused, None, 35_000)
    assert here(run.write("resumed", 70_000).state) == ("circuit:1:1:one-hand-press:left:work", 0)
    assert at(run.state, 109_999).index == run.state.index
    assert at(run.state, 110_000).index == run.state.index + 1


def test_what_was_finished_or_ended_for_pain_stays_over() -> None:
    for_pain = journal().write("ended", 25_000, ending="pain").write("reopened", 30_000)
    finished = journal().write("ended", 180_000, ending="finished").write("reopened", 190_000)
    assert (for_pain.state.ending, finished.state.ending) == (Ending.pain, Ending.finished)


def test_an_event_that_does_not_follow_is_refused() -> None:
    run = journal()
    run.events.pop()
    with pytest.raises(ValueError, match="Event 1 does not follow event 1"):
        run.write("paused", 20_000)


def test_a_clock_that_goes_back_moves_nothing_back() -> None:
    run = journal().write("mark", 20_000, segment_id="circuit:1:1:one-hand-press:left:work")
    assert at(run.state, 5_000) == run.state
    assert run.write("paused", 5_000).state.at_ms == 20_000


def test_the_time_left_counts_what_is_on_and_what_comes() -> None:
    state = at(journal().state, 45_000)
    assert (remaining_at(state, 45_000), remaining_session_at(state, 45_000)) == (5_000, 135_000)


def test_replaying_the_running_record_gives_the_state_that_was() -> None:
    run = journal().write("paused", 20_000).write("resumed", 50_000).write("skipped", 70_000)
    assert replay(run.record()) == run.state


def test_an_empty_session_never_starts() -> None:
    empty = short_session().model_copy(update={"segments": ()})
    assert Journal(empty).write("started", 0).state.status is Status.ready


def test_movement_names_ride_in_the_session() -> None:
    made = short_session()
    chosen = made.chosen(made.segments[1])
    assert chosen is not None
    assert chosen.name == HAND.name


def test_a_refit_worked_out_before_a_segment_began_does_not_bring_it_twice() -> None:
    """The clock goes on between the re-fit and its writing."""
    run = journal()
    coming = run.state.coming
    run.write("refitted", 12_000, segments=coming, said=(CUT_UNDONE,))
    assert run.state.segments == run.session.segments
    assert run.state.current.id == coming[0].id
