"""The pulses of the cues against the standard and against each other."""

from __future__ import annotations

from itertools import combinations

import pytest

from engine.live.cues import PATTERNS_MS, CueKind

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
