"""Laws of the live session: time adds up, looking changes nothing, replay gives the same."""

from __future__ import annotations

from builders import Journal, journal, plan, session, work
from hypothesis import given
from hypothesis import strategies as st
from strategies import fits, journals

from engine.live.cues import coming_cues
from engine.live.run import advance, at, begin, replay
from engine.live.state import Status
from engine.live.timing import elapsed_at, held_at
from engine.plan.plan import RoundsRange
from engine.session.segment import WITH_SIDES

FAR_MS = 3_600_000


@st.composite
def runs(draw: st.DrawFn) -> Journal:
    return draw(journals(draw(fits())[2]))


looks = st.lists(st.integers(0, 200_000), max_size=8)


@given(runs())
def test_replaying_a_run_gives_the_state_it_had(run) -> None:
    assert replay(run.record()) == run.state


@given(runs(), looks)
def test_looking_at_the_clock_changes_nothing(run, looks_ms) -> None:
    """The state after each event is the same, however often the clock was looked at between events."""
    state, last = begin(run.session), 0
    for event in run.events:
        for step_ms in looks_ms:
            if last + step_ms < event.session_ms:
                state = at(state, last + step_ms)
        state = advance(state, event)
        last = event.session_ms
    assert state == run.state


@given(runs(), st.lists(st.integers(1, 100_000), min_size=1, max_size=20))
def test_the_state_at_a_moment_does_not_depend_on_how_it_was_reached(run, steps_ms) -> None:
    end_ms = run.state.at_ms + sum(steps_ms)
    state = run.state
    for step_ms in steps_ms:
        state = at(state, state.at_ms + step_ms)
    assert state == at(run.state, end_ms)


@given(runs(), st.integers(0, FAR_MS))
def test_time_adds_up(run, later_ms) -> None:
    """The time worked in every segment, elapsed in this one and paused is the time since the start."""
    state = at(run.state, run.state.at_ms + later_ms)
    started_ms = run.events[0].session_ms
    paused_ms = state.paused_ms + (
        state.at_ms - state.anchor.since_ms if state.status is Status.paused else 0
    )
    if state.anchor.back_ms is not None:  # nothing is worked in a lead-in
        paused_ms += max(0, min(state.at_ms, state.anchor.since_ms) - state.anchor.back_ms)
    here_ms = elapsed_at(state, state.at_ms)
    end_ms = state.anchor.entered_ms if state.status is Status.ended else state.at_ms
    assert sum(done.worked_ms for done in state.done) + here_ms + paused_ms == end_ms - started_ms


@given(fits(), st.integers(0, FAR_MS), st.integers(1, 900_000))
def test_sides_are_equal_after_a_pause_anywhere(fit, at_ms, pause_ms) -> None:
    """However long a pause anywhere is, each side of the interval is worked for its full time, and between
    the return and the work lie at least 10 s."""
    run = Journal(fit[2]).write("started", 0)
    for segment in fit[2].segments:
        if segment.pace == "self" and run.state.at_ms + segment.planned_ms <= at_ms:
            run.write("ticked", run.state.at_ms + segment.planned_ms)
    run.write("paused", max(at_ms, run.state.at_ms)).write("resumed", run.state.at_ms + pause_ms)
    current, back_ms, elapsed_ms = run.state.current, run.state.at_ms, elapsed_at(run.state, run.state.at_ms)
    if current is None or current.pace != "clock":
        return
    ready = at(run.state, back_ms + 9_999)
    assert ready.current == current
    if current.kind in WITH_SIDES:
        assert elapsed_at(ready, ready.at_ms) == elapsed_ms
    done = {one.segment_id: one.worked_ms for one in at(run.state, back_ms + FAR_MS).done}
    interval = fit[2].segments[run.state.interval]
    sides = [one for one in interval if one.kind in WITH_SIDES and one.id in done]
    assert all(done[one.id] == one.planned_ms for one in sides)


@given(runs(), st.integers(0, FAR_MS))
def test_what_is_banked_is_never_more_than_what_passed(run, later_ms) -> None:
    moment = run.state.at_ms + later_ms
    assert 0 <= held_at(run.state, moment) <= elapsed_at(run.state, moment)


@given(fits(), st.integers(0, 5_000))
def test_a_session_left_alone_ends_on_the_millisecond(fit, started_ms) -> None:
    """With self-paced items ticked at their estimates it lasts exactly as long as planned."""
    session = fit[2]
    run, at_ms = Journal(session).write("started", started_ms), started_ms
    for segment in session.segments:
        at_ms += segment.planned_ms
        if segment.pace == "self":
            run.write("ticked", at_ms)
    assert at_ms - started_ms == session.total_ms
    assert at(run.state, at_ms - 1).status is Status.running or session.segments[-1].planned_ms == 0
    assert at(run.state, at_ms).ending == "finished"
    assert [done.segment_id for done in at(run.state, at_ms).done] == [s.id for s in session.segments]


@given(
    st.integers(5, 60),
    st.integers(5, 60),
    st.lists(st.integers(1, 60_000) | st.integers(1, 30).map(lambda s: s * 1_000), min_size=10, max_size=40),
)
def test_each_cue_of_a_clocked_session_is_told_once_however_time_is_cut(half_s, rest_s, steps_ms) -> None:
    """Windows that follow each other, cut at switches and elsewhere, contain every cue once and no others."""
    block = work("one-hand-press", work_s=2 * half_s, rest_s=rest_s, rounds=RoundsRange(min=2, max=2))
    run = journal(session(plan(block), minutes=10))
    every_second = [1_000] * (run.session.total_ms // 1_000 + 1)
    for cut_ms in (steps_ms, every_second):
        _told_once(run, cut_ms)


@given(runs(), st.lists(st.integers(1, 60_000), min_size=1, max_size=30))
def test_each_cue_is_told_once_after_anything_that_can_happen(run, steps_ms) -> None:
    _told_once(run, steps_ms)


def _told_once(run: Journal, steps_ms: list[int]) -> None:
    start_ms, end_ms = run.state.at_ms, run.state.at_ms + sum(steps_ms)
    whole = coming_cues(run.state, until_ms=end_ms)
    state, told = run.state, []
    for step_ms in steps_ms:
        told.extend(coming_cues(state, until_ms=state.at_ms + step_ms))
        state = at(state, state.at_ms + step_ms)
    assert tuple(told) == whole
    assert all(start_ms <= one.at_ms < end_ms for one in told)
    assert len({(one.at_ms, one.kind) for one in whole}) == len(whole)
