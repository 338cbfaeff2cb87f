"""Which cues come, and when."""

from __future__ import annotations

from itertools import combinations

import pytest
from builders import (
    BOTH,
    FLOOR,
    HAND,
    Journal,
    journal,
    movement,
    plan,
    session,
    short_session,
    warm_up,
    work,
)

from companion.words.words import ENGLISH
from engine.live.cues import PATTERNS_MS, PITCHES_HZ, CueKind, coming_cues, cue
from engine.live.run import at, begin
from engine.movements.movement import Kit, MovementPattern
from engine.plan.plan import Amount, AmountCount, AmountUnit, RoundsRange, WarmUpItem


def told(run: Journal, **window: int) -> list[tuple[int, str]]:
    return [(one.at_ms // 1000, one.kind) for one in coming_cues(run.state, **window)]


def test_every_switch_of_the_short_session_has_its_cue() -> None:
    assert told(journal()) == [
        (7, CueKind.countdown),
        (10, CueKind.work),
        (37, CueKind.countdown),
        (40, CueKind.change_side),
        (47, CueKind.countdown),
        (50, CueKind.work),
        (77, CueKind.countdown),
        (80, CueKind.rest),
        (107, CueKind.countdown),
        (110, CueKind.work),
        (137, CueKind.countdown),
        (140, CueKind.change_side),
        (147, CueKind.countdown),
        (150, CueKind.work),
        (177, CueKind.countdown),
        (180, CueKind.session_done),
    ]


def test_the_words_name_the_movement_and_the_side() -> None:
    words = {one.at_ms: ENGLISH.sentences(one.said) for one in coming_cues(journal().state)}
    assert words[10_000] == "One hand press, left."
    assert words[40_000] == "Change to the right."
    assert words[80_000] == "Rest. Next: One hand press, left. One weight."
    assert words[180_000] == "Session done."


def test_before_floor_work_comes_the_call_to_get_down() -> None:
    made = session(plan(work(BOTH.slug, FLOOR.slug, rounds=RoundsRange(min=1, max=1))), kit=Kit.none)
    calls = [one for one in coming_cues(journal(made).state) if one.kind is CueKind.get_down]
    assert [(one.at_ms, ENGLISH.sentences(one.said)) for one in calls] == [
        (85_000, "Get down. Next: Floor roll.")
    ]


def test_a_change_of_block_is_told() -> None:
    made = session(plan(work(BOTH.slug), work(HAND.slug, id="second")), minutes=20)
    assert CueKind.block_done in {one.kind for one in coming_cues(journal(made).state, until_ms=10**9)}


def test_nothing_is_told_before_the_start_in_a_pause_or_after_the_end() -> None:
    assert coming_cues(begin(short_session())) == ()
    assert told(journal().write("paused", 20_000)) == []
    assert told(journal().write("ended", 20_000, ending="early")) == []
    assert coming_cues(at(journal().state, 180_001)) == ()


def test_a_window_that_begins_at_the_very_end_holds_the_end() -> None:
    assert [one.kind for one in coming_cues(at(journal().state, 180_000))] == [CueKind.session_done]
    assert told(journal(), until_ms=180_000)[-1] == (177, CueKind.countdown)


def test_a_pause_moves_every_cue_that_is_to_come() -> None:
    moved = told(journal().write("paused", 20_000).write("resumed", 50_000))
    back = [(50, CueKind.get_ready), (57, CueKind.countdown), (60, CueKind.work)]
    assert moved == back + [(second + 40, kind) for second, kind in told(journal()) if second >= 20]


def test_work_that_a_pause_kept_from_beginning_begins_with_one_cue() -> None:
    run = journal().write("paused", 10_000).write("resumed", 40_000)
    assert told(run)[:4] == [
        (40, CueKind.get_ready),
        (47, CueKind.countdown),
        (50, CueKind.work),
        (77, CueKind.countdown),
    ]


def test_the_return_from_a_pause_is_called_and_a_long_one_with_light_repetitions_first() -> None:
    short = journal().write("paused", 20_000).write("resumed", 50_000)
    long = journal().write("paused", 20_000).write("resumed", 700_000)
    first = [coming_cues(run.state)[0] for run in (short, long)]
    assert [one.kind for one in first] == [CueKind.get_ready] * 2
    assert [ENGLISH.sentences(one.said) for one in first] == [
        "Get ready. One hand press, left.",
        "Get ready. Three to five light repetitions first. One hand press, left.",
    ]
    assert told(long)[1:3] == [(727, CueKind.countdown), (730, CueKind.work)]


def test_in_a_rest_the_return_is_called_and_the_rest_counts_down_itself() -> None:
    run = journal().write("paused", 105_000).write("resumed", 120_000)
    assert told(run)[:3] == [(120, CueKind.get_ready), (127, CueKind.countdown), (130, CueKind.work)]


def test_more_rest_moves_the_count_and_what_follows() -> None:
    run = journal().write("more_rest", 90_000, added_ms=30_000)
    assert told(run)[:2] == [(137, CueKind.countdown), (140, CueKind.work)]


def test_a_self_paced_part_holds_back_what_comes_after_it() -> None:
    run = journal(session(plan(warm_up(), work(BOTH.slug)), minutes=10))
    assert told(run) == []


def test_the_look_ahead_is_limited_unless_asked_otherwise() -> None:
    run = journal(session(minutes=60, of=plan(work())))
    assert max(second for second, _ in told(run)) < 600
    assert len(told(run, until_ms=10**9)) > len(told(run))


@pytest.mark.parametrize("kind", CueKind)
def test_tones_sound_exactly_while_it_pulses(kind: CueKind) -> None:
    made = cue(kind, 0)
    ends = [tone.start_ms + tone.length_ms for tone in made.tone]
    pattern, at_ms, pulses = PATTERNS_MS[kind], 0, []
    for index, length in enumerate(pattern):
        if index % 2 == 0:
            pulses.append((at_ms, at_ms + length))
        at_ms += length
    assert [(tone.start_ms, end) for tone, end in zip(made.tone, ends, strict=True)] == pulses
    assert len(PITCHES_HZ[kind]) == len(pulses)


@pytest.mark.parametrize("one, other", list(combinations(CueKind, 2)))
def test_no_two_kinds_of_cue_sound_alike(one: CueKind, other: CueKind) -> None:
    """They differ in the number of tones, or in one tone by at least a whole tone (a ratio of 9 to 8)."""
    mine, theirs = PITCHES_HZ[one], PITCHES_HZ[other]
    apart = [max(a, b) / min(a, b) for a, b in zip(mine, theirs, strict=False)]
    assert len(mine) != len(theirs) or max(apart) >= 9 / 8


OCTAVE, FIFTH, FOURTH = 2, 3 / 2, 4 / 3
"""The ratios of the pure intervals, as known since antiquity (from memory)."""


def test_the_tones_of_the_cues_lie_in_pure_intervals() -> None:
    work_hz, *_ = PITCHES_HZ[CueKind.work]
    assert set(PITCHES_HZ[CueKind.rest]) == {work_hz / OCTAVE}, "at rest the tone of work falls by an octave"
    assert set(PITCHES_HZ[CueKind.stop]) == {work_hz / OCTAVE / OCTAVE}
    low_hz, high_hz = PITCHES_HZ[CueKind.change_side]
    assert high_hz / low_hz == FIFTH
    low_hz, high_hz = PITCHES_HZ[CueKind.get_ready]
    assert high_hz / low_hz == FOURTH
    assert PITCHES_HZ[CueKind.get_down] == (high_hz, low_hz)
    assert len(set(PITCHES_HZ[CueKind.countdown])) == 1
    first_hz, _, third_hz, last_hz = PITCHES_HZ[CueKind.session_done]
    assert (third_hz / first_hz, last_hz / first_hz) == (FIFTH, OCTAVE)
    assert PITCHES_HZ[CueKind.block_done] == PITCHES_HZ[CueKind.session_done][:3]


@pytest.mark.parametrize("length_ms, counted", [(10_000, True), (5_000, True), (4_999, False)])
def test_only_a_part_of_five_seconds_or_more_is_counted_down(length_ms: int, counted: bool) -> None:
    """† Our judgement, no source."""
    run = journal()
    current = run.state.segments[0].model_copy(update={"planned_ms": length_ms})
    state = run.state.model_copy(update={"segments": (current, *run.state.segments[1:])})
    first = coming_cues(state)[0]
    assert (first.kind is CueKind.countdown) == counted
    assert first.at_ms == (length_ms - 3_000 if counted else length_ms)


def test_a_hold_in_pieces_tells_when_to_hold_to_rest_and_to_change_sides() -> None:
    item = WarmUpItem(
        movement="plank",
        amount=Amount(low=20, unit=AmountUnit.seconds, count=AmountCount.per_side),
        estimate_s=60,
    )
    plank = movement("plank", pattern=MovementPattern.trunk, starts_with="hold")
    variants = tuple(variant.model_copy(update={"hands_bear": True}) for variant in plank.variants)
    on_hands = plank.model_copy(update={"variants": variants})
    once = RoundsRange(min=1, max=1)
    made = plan(warm_up(items=(item,), rounds=once), work(BOTH.slug), movements=(on_hands, BOTH))
    run = journal(session(made, minutes=15))
    assert told(run) == []
    run.write("hold_started", 0)
    assert told(run, until_ms=66_000) == [
        (5, CueKind.work),
        (15, CueKind.rest),
        (20, CueKind.work),
        (30, CueKind.change_side),
        (40, CueKind.work),
        (50, CueKind.rest),
        (55, CueKind.work),
        (65, CueKind.block_done),
    ]


def test_a_hold_that_waits_for_a_tap_is_not_told_before_it() -> None:
    """With the hands free nobody but the person says when the next hold begins."""
    held = Amount(low=20, unit=AmountUnit.seconds)
    planks = [movement(slug, pattern=MovementPattern.trunk, starts_with="hold") for slug in ("plank", "wall")]
    items = tuple(WarmUpItem(movement=one.slug, amount=held) for one in planks)
    once = RoundsRange(min=1, max=1)
    made = plan(warm_up(items=items, rounds=once), work(BOTH.slug), movements=(*planks, BOTH))
    run = journal(session(made, minutes=15)).write("hold_started", 0)
    assert told(run, until_ms=10**9) == [(20, CueKind.block_done)]
