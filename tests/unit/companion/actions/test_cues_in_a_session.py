"""The cues of a session on the clock: always handed over ahead, and nothing is drawn beside one."""

from __future__ import annotations

from builders import BOTH, plan, work
from somebody import PLAN, Person

from companion.services.cues import QUIET_AFTER_MS, QUIET_BEFORE_MS
from engine.live.cues import LOOK_AHEAD_MS, coming_cues
from engine.live.state import Status
from engine.plan.plan import RoundsRange

LONG = plan(work(BOTH.slug, rounds=RoundsRange(min=2, max=20)))


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
