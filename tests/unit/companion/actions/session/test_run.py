"""The clocks of a session and its cues.

A sleep pauses, cues are always handed over ahead, and nothing is drawn beside one.
"""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from builders import BOTH, plan, work
from somebody import PLAN, Person, started

from companion.services.cue_player import QUIET_AFTER_MS, QUIET_BEFORE_MS
from companion.words.words import ENGLISH
from engine.live.cues import LOOK_AHEAD_MS, coming_cues
from engine.live.state import Status
from engine.live.timing import elapsed_at, remaining_session_at
from engine.plan.plan import RoundsRange

LONG = plan(work(BOTH.slug, rounds=RoundsRange(min=2, max=20)))
SUMMER_TIME = datetime(2026, 3, 29, 1, tzinfo=UTC)
WINTER_TIME = datetime(2026, 10, 25, 1, tzinfo=UTC)
"""When the clocks of the European Union are changed (directive 2000/84/EC)."""


async def test_a_sleep_of_the_computer_pauses_and_asks() -> None:
    person = await started()
    await person.later(30)
    person.clock.slept_ms += 90_000
    await person.do.session.watch()
    assert person.run.status is Status.paused
    assert person.state.run.live.gap_ms == 90_000


async def test_a_sleep_that_the_clock_of_the_session_counts_as_well_is_no_training_either() -> None:
    person = await started()
    await person.later(30)
    person.clock.ms += 3_600_000
    await person.do.session.watch()
    assert person.run.status is Status.paused
    assert person.state.run.live.gap_ms == 3_600_000
    assert elapsed_at(person.run, person.do.session.session_ms()) == 20_000


@pytest.mark.parametrize("press", ["pause", "skip", "something_hurts", "end_early"])
async def test_what_is_pressed_before_anybody_noticed_the_sleep_finds_the_session_where_it_was(
    press: str,
) -> None:
    person = await started()
    await person.later(30)
    index = person.run.index
    person.clock.ms += 3_600_000
    await getattr(person.do.session, press)()
    assert person.run.at_ms == 30_000
    assert person.state.run.live.gap_ms == 3_600_000
    assert person.run.status is (Status.ended if press == "end_early" else Status.paused)
    assert person.run.index == index + (press == "end_early")
    if press == "pause":
        await person.do.session.resume()
        await person.later(5)
        assert person.do.session.session_ms() == 35_000


@pytest.mark.parametrize("change", [SUMMER_TIME, WINTER_TIME])
async def test_a_change_of_the_clocks_in_a_session_neither_hurries_nor_delays_anyone(
    change: datetime,
) -> None:
    person = await Person(began=change - timedelta(seconds=60), zone="Europe/Berlin").open(minutes=14)
    await person.do.session.start()
    planned = person.run.segments
    await person.later(90)
    assert person.run.status is Status.running
    await person.do.session.pause()
    await person.later(5)
    await person.do.session.resume()
    assert person.run.segments == planned
    await person.do.session.pause()
    await person.later(300)
    await person.do.session.resume()
    assert ENGLISH.sentences(person.state.run.live.said).startswith("One round dropped")
    assert person.state.run.live.finish_at == change + timedelta(minutes=13)
    assert person.do.session.done_by().hour == (3 if change is SUMMER_TIME else 2)


@pytest.mark.parametrize("set_by_ms", [-3_600_000, 3_600_000])
async def test_a_clock_that_is_set_pauses_and_asks_and_moves_nothing(set_by_ms: int) -> None:
    person = await started()
    await person.later(30)
    at_ms = person.do.session.session_ms()
    person.clock.slept_ms += set_by_ms
    await person.do.session.watch()
    assert (person.run.status, person.state.run.live.gap_ms) == (Status.paused, set_by_ms)
    assert person.do.session.session_ms() == at_ms
    assert elapsed_at(person.run, at_ms) == 20_000


async def test_after_a_clock_was_set_back_the_finish_is_said_by_the_new_clock() -> None:
    person = await started()
    await person.later(30)
    planned = person.run.segments
    person.clock.slept_ms -= 3_600_000
    await person.do.session.watch()
    await person.do.session.resume()
    assert person.run.segments == planned
    assert ENGLISH.sentences(person.state.run.live.said) == (
        "The clock of this device was set back; the finish is said by it."
    )
    left = timedelta(milliseconds=remaining_session_at(person.run, person.do.session.session_ms()))
    assert person.state.run.live.finish_at == person.context.now() + left


async def test_the_next_cues_are_handed_over_though_nobody_touches_a_long_session() -> None:
    person = await Person().open(LONG, minutes=30)
    await person.do.session.start()
    whole = coming_cues(person.run, until_ms=10**9)
    assert whole[-1].at_ms > 2 * LOOK_AHEAD_MS
    while person.run.status is Status.running:
        now_ms = person.do.session.session_ms()
        ahead = [one.at_ms for one in whole if now_ms < one.at_ms < now_ms + LOOK_AHEAD_MS // 2]
        assert set(ahead) <= {one.at_ms for one in person.cues.pending}
        await person.later(0.5)
    assert person.cues.played == []


async def test_nothing_is_drawn_from_just_before_a_cue_to_just_after_it() -> None:
    person = await Person().open(PLAN)
    await person.do.session.start()
    cue_times_ms = [one.at_ms for one in coming_cues(person.run)]
    drawn_ms: list[int] = []
    person.state.on_change = lambda: drawn_ms.append(person.do.session.session_ms())
    while person.clock.ms < 200_000:
        person.clock.ms += 10
        await person.do.session.watch()
    assert len(drawn_ms) >= 4
    assert not [
        drawn
        for drawn in drawn_ms
        if any(-QUIET_BEFORE_MS <= drawn - at_ms < QUIET_AFTER_MS for at_ms in cue_times_ms)
    ]
