"""Holds timed hands-free, in pieces, in which only time in position counts."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from engine.session.pace import TickedItem
from engine.session.timed_hold import HoldMoment, HoldPattern, sound_holds, wants_easier

IN_PIECES = HoldPattern(lead_ms=5_000, piece_ms=10_000, off_ms=5_000)


def test_thirty_seconds_are_three_pieces_of_ten_with_five_off() -> None:
    """Common practice, no source."""
    assert list(IN_PIECES.moments(30_000)) == [
        (5_000, HoldMoment.hold),
        (15_000, HoldMoment.off),
        (20_000, HoldMoment.hold),
        (30_000, HoldMoment.off),
        (35_000, HoldMoment.hold),
        (45_000, HoldMoment.held),
    ]


def held(day: int, *, sound: bool = True) -> TickedItem:
    at = datetime(2026, 3, day, 18, tzinfo=UTC)
    return TickedItem(at=at, item="plank", stated_ms=30_000, taken_ms=45_000, sound=sound)


@pytest.mark.parametrize(
    "days, joined",
    [
        ([], 0),
        ([held(1)], 1),
        ([held(1), held(1)], 1),
        ([held(1), held(3)], 2),
        ([held(1), held(3, sound=False)], 0),
        ([held(3), held(3, sound=False)], 0),
        ([held(1, sound=False), held(5), held(3)], 2),
    ],
)
def test_sound_days_in_a_row_are_counted_whatever_the_order_of_the_ticks(
    days: list[TickedItem], joined: int
) -> None:
    assert sound_holds(days).get("plank", 0) == joined
    assert sound_holds(days[::-1]).get("plank", 0) == joined


@pytest.mark.parametrize(
    "since_s, held_s",
    [(0, 0), (5, 0), (6, 1), (15, 10), (18, 10), (20, 10), (25, 15), (44, 29), (45, 30), (99, 30)],
)
def test_only_time_in_position_counts(since_s: int, held_s: int) -> None:
    assert IN_PIECES.held_ms(since_s * 1000, 30_000) == held_s * 1000


@pytest.mark.parametrize("since_s, piece_s", {4: None, 5: 0, 9: 4, 15: None, 19: None, 22: 2}.items())
def test_what_is_broken_off_is_the_piece_that_is_on(since_s: int, piece_s: int | None) -> None:
    assert IN_PIECES.piece_now_ms(since_s * 1000) == (None if piece_s is None else piece_s * 1000)


@pytest.mark.parametrize(
    "pieces_ms, elapsed_ms, offered",
    [
        ((5_000,), 0, False),
        ((4_999,), 0, True),
        ((9_000,) * 4, 0, False),
        ((9_000,) * 5, 0, True),
        ((), 90_000, False),
        ((), 90_001, True),
    ],
)
def test_an_easier_version_is_offered_where_a_hold_falls_to_pieces(
    pieces_ms: tuple[int, ...], elapsed_ms: int, offered: bool
) -> None:
    """Pieces under 5 s, more than four, or more than three times the amount. † Our judgement, no source."""
    assert wants_easier(30_000, pieces_ms, elapsed_ms) == offered


@pytest.mark.parametrize("since_ms, piece_ms", [(4_999, None), (5_000, 0), (5_001, 1), (90_000, 85_000)])
def test_a_hold_in_one_piece_is_on_from_the_end_of_its_lead_in(since_ms: int, piece_ms: int | None) -> None:
    assert HoldPattern(lead_ms=5_000).piece_now_ms(since_ms) == piece_ms


@pytest.mark.parametrize("left_ms", [1, 9_999, 10_000, 10_001, 25_000, 30_000, 61_000])
def test_it_ends_at_the_very_moment_the_dose_is_held(left_ms: int) -> None:
    for pattern in (IN_PIECES, HoldPattern()):
        end_ms = pattern.ends_after_ms(left_ms)
        assert pattern.held_ms(end_ms, left_ms) == left_ms
        assert pattern.held_ms(end_ms - 1, left_ms) == left_ms - 1


@pytest.mark.parametrize(
    "since_s, phase, left_s",
    [
        (0, None, 5),
        (5, HoldMoment.hold, 10),
        (15, HoldMoment.off, 5),
        (19, HoldMoment.off, 1),
        (44, HoldMoment.hold, 1),
        (45, HoldMoment.held, 0),
    ],
)
def test_at_each_moment_it_says_what_is_on_and_for_how_long(since_s, phase, left_s) -> None:
    assert IN_PIECES.phase(since_s * 1000, 30_000) == (phase, left_s * 1000)
    assert HoldPattern().phase(since_s * 1000, 50_000) == (HoldMoment.hold, 50_000 - since_s * 1000)


@pytest.mark.parametrize(
    "pieces_s, elapsed_s, offered",
    [
        ((), 90, False),
        ((), 91, True),
        ((6, 7), 40, False),
        ((6, 4), 40, True),
        ((6, 6, 6, 6), 60, False),
        ((6, 6, 6, 6, 6), 60, True),
    ],
)
def test_an_easier_variant_is_offered_when_the_hold_falls_to_pieces(pieces_s, elapsed_s, offered) -> None:
    pieces_ms = tuple(piece * 1000 for piece in pieces_s)
    assert wants_easier(30_000, pieces_ms, elapsed_s * 1000) is offered
