"""The promised finish holds: rounds are given up for it, and what was given up can be taken back."""

from __future__ import annotations

from datetime import timedelta

from builders import BOTH, plan, warm_up, work
from somebody import BEGAN, Person, started
from somebody import hurts as somebody_hurts

from companion.words.words import ENGLISH
from engine.live.timing import remaining_at, remaining_session_at
from engine.plan.plan import RoundsRange


async def test_after_a_pause_a_round_is_given_up_so_that_the_finish_holds() -> None:
    person = await started()
    promised = person.state.run.live.finish_at
    assert promised == BEGAN + timedelta(minutes=14)
    await person.later(30)
    await person.do.session.pause()
    await person.later(300)
    await person.do.session.resume()
    assert ENGLISH.sentences(person.state.run.live.said).startswith("One round dropped; you still finish at ")
    left = timedelta(milliseconds=remaining_session_at(person.run, person.do.session.session_ms()))
    assert person.context.now() + left <= promised == person.state.run.live.finish_at


async def test_what_was_given_up_can_be_taken_back_and_the_finish_is_later_then() -> None:
    person = await started()
    await person.later(30)
    await person.do.session.pause()
    await person.later(300)
    planned = person.run.segments
    await person.do.session.resume()
    await person.later(5)
    await person.do.session.keep_everything()
    assert person.run.segments == planned
    assert person.state.run.live.finish_at > BEGAN + timedelta(minutes=14)
    await person.do.session.pause()
    await person.later(10)
    await person.do.session.resume()
    assert person.run.segments == planned


async def test_where_nothing_may_be_given_up_the_finish_moves_and_says_so() -> None:
    person = await started(minutes=7)
    assert person.run.session.rounds() == 2
    await person.later(30)
    await person.do.session.pause()
    await person.later(200)
    planned = person.run.segments
    await person.do.session.resume()
    assert person.run.segments == planned
    assert ENGLISH.sentences(person.state.run.live.said) == "Nothing more can be cut; you finish later."
    assert person.state.run.live.finish_at > BEGAN + timedelta(minutes=7)


async def test_a_slow_warm_up_costs_a_round_at_the_tick_and_not_before() -> None:
    of = plan(warm_up(rounds=RoundsRange(min=1, max=1)), work(BOTH.slug, rounds=RoundsRange(min=1, max=5)))
    person = await started(of, minutes=10)
    rounds = person.run.session.rounds()
    await person.later(300)
    assert max(segment.round or 0 for segment in person.run.segments) == rounds
    await person.do.session.tick()
    assert max(segment.round or 0 for segment in person.run.segments) < rounds


async def late(*, pause_s: int, hurts: bool = False) -> Person:
    """Somebody whose session fills its minutes, and who pauses in the first interval."""
    person = await started(minutes=14)
    exact = person.run.session.total_ms / 60_000
    person = await started(minutes=exact)
    await person.later(30)
    await person.do.session.pause()
    await person.later(pause_s)
    if hurts:
        await somebody_hurts(person, rating=0)
        await person.do.hurt.answer("go_on")
    else:
        await person.do.session.resume()
    return person


async def test_a_short_pause_costs_no_round_unasked_and_the_cut_is_offered() -> None:
    person = await late(pause_s=65)
    live = person.state.run.live
    assert person.run.segments == person.run.session.segments
    assert ENGLISH.sentences(live.said) == "Nothing was cut; you finish 1:15 later."
    assert ENGLISH.sentences(live.offered.cut) == "One round dropped"
    assert live.offered.finish_at == live.promised_at
    await person.do.session.take_cut()
    assert len(person.run.segments) < len(person.run.session.segments)
    assert (live.finish_at, live.offered) == (live.promised_at, None)
    await person.do.session.keep_everything()
    assert person.run.segments == person.run.session.segments


async def test_after_pain_nothing_is_cut_unasked_and_the_cut_is_offered_too() -> None:
    person = await late(pause_s=300, hurts=True)
    live = person.state.run.live
    assert person.run.finish_released
    assert person.run.segments == person.run.session.segments
    assert "dropped" in ENGLISH.sentences(live.offered.cut)
    await person.do.session.take_cut()
    assert len(person.run.segments) < len(person.run.session.segments)


async def test_who_runs_ahead_is_told_the_earlier_finish_and_who_is_late_the_promised_one() -> None:
    person = await started()
    promised, said = person.state.run.live.finish_at, person.do.session.done_by
    left_ms = remaining_session_at(person.run, 0)
    assert said() == BEGAN + timedelta(milliseconds=left_ms) <= promised
    await person.later(20)
    skipped_ms = remaining_at(person.run, person.do.session.session_ms())
    await person.do.session.skip()
    assert said() == BEGAN + timedelta(milliseconds=left_ms - skipped_ms)
    assert person.state.run.live.finish_at == promised
    await person.do.session.pause()
    await person.later(30)
    assert said() == BEGAN + timedelta(milliseconds=left_ms - skipped_ms + 30_000)
    await person.later(600)
    assert said() == promised
