"""The pulses of the cues against the standard and against each other."""

from __future__ import annotations

from itertools import combinations

import pytest

from engine.base.units import MS_PER_S
from engine.live.cues import COUNTDOWN_MS, PATTERNS_MS, CueKind

MOST_ENTRIES, LONGEST_MS = 10, 10_000
"""W3C Vibration API: at most 10 entries of at most 10 000 ms; even indices pulse, odd ones pause."""

TELLABLE = 1.5
"""The ratio from which people feel that two pulses differ in length. Common practice, no source."""


@pytest.mark.parametrize("kind", CueKind)
def test_a_pattern_keeps_to_the_limits_of_the_standard(kind: CueKind) -> None:
    pattern = PATTERNS_MS[kind]
    assert 1 <= len(pattern) <= MOST_ENTRIES
    assert all(isinstance(length, int) and 0 < length <= LONGEST_MS for length in pattern)
    assert len(pattern) % 2 == 1, "a pattern ends with a pulse"


def test_every_kind_of_cue_has_a_pattern() -> None:
    assert set(PATTERNS_MS) == set(CueKind)


@pytest.mark.parametrize("one, other", list(combinations(CueKind, 2)))
def test_two_cues_differ_by_count_or_clearly_by_length(one: CueKind, other: CueKind) -> None:
    mine, theirs = PATTERNS_MS[one][::2], PATTERNS_MS[other][::2]
    if len(mine) != len(theirs):
        return
    ratios = [max(a, b) / min(a, b) for a, b in zip(mine, theirs, strict=True)]
    assert max(ratios) >= TELLABLE


def test_the_countdown_beats_alike_at_each_whole_second_that_is_left() -> None:
    pattern = PATTERNS_MS[CueKind.countdown]
    starts = [sum(pattern[:at]) for at in range(0, len(pattern), 2)]
    assert starts == list(range(0, COUNTDOWN_MS, MS_PER_S))
    assert len(set(pattern[::2])) == 1


@pytest.mark.parametrize("kind", [CueKind.change_side, CueKind.rest, CueKind.block_done, CueKind.stop])
def test_a_cue_that_repeats_itself_keeps_its_beat(kind: CueKind) -> None:
    pulses, pauses = PATTERNS_MS[kind][::2], PATTERNS_MS[kind][1::2]
    assert len(set(pulses)) == len(set(pauses)) == 1


def test_the_end_of_the_session_is_the_end_of_a_block_and_one_long_pulse_more() -> None:
    block, whole = PATTERNS_MS[CueKind.block_done], PATTERNS_MS[CueKind.session_done]
    assert whole[: len(block)] == block
    assert whole[len(block)] == block[1]
    assert whole[-1] >= TELLABLE * block[-1]


def test_getting_down_is_getting_ready_backwards() -> None:
    short, _, long = PATTERNS_MS[CueKind.get_ready]
    first, _, last = PATTERNS_MS[CueKind.get_down]
    assert (first, last) == (long, short)
    assert long >= TELLABLE * short
