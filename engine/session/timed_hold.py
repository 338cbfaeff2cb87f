"""A hold timed hands-free: nobody can tap with the hands on the floor, so it runs in pieces by itself.

After a lead-in come pieces with 5 s off between them until the amount has been held: of 10 s the first time
and after the position was lost, then of 15 s, then the whole. Only time in position counts. A hold that
leaves the hands free runs in one piece. Times are milliseconds since the hold was started.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from itertools import takewhile

from engine.base.units import ms
from engine.plan.plan import AmountUnit
from engine.session.fitted import FittedItem
from engine.session.pace import TickedItem

PIECES_MS, OFF_MS = (10_000, 15_000), 5_000
"""30 s are three pieces of 10 s with 5 s off between them; after a sound day two of 15 s, after two days the
whole. † Our judgement, no source."""
GET_DOWN_MS = 5_000
"""From the tap to the first piece. † Our judgement, no source."""
OTHER_SIDE_MS = 10_000
"""From one side to the other. † Our judgement, no source."""
SHORTEST_PIECE_MS = 5_000
MOST_PIECES = 4
LONGEST_TIMES_AMOUNT = 3
"""An easier variant is offered after a shorter piece, more pieces, or more times the amount. † Our
judgement, no source."""


class HoldMoment(StrEnum):
    """What a person is told while a hold runs."""

    hold = "hold"
    """Take the position."""
    off = "off"
    """Leave it for a moment."""
    held = "held"
    """The amount has been held."""


@dataclass(frozen=True)
class HoldPattern:
    """A lead-in, then pieces with time off between them; ``piece_ms`` None means one piece."""

    lead_ms: int = 0
    piece_ms: int | None = None
    off_ms: int = 0

    def held_ms(self, since_ms: int, left_ms: int) -> int:
        """The time in position, ``since_ms`` after the start of a hold of ``left_ms``."""
        running_ms = max(0, since_ms - self.lead_ms)
        if self.piece_ms is None:
            return min(running_ms, left_ms)
        pieces, part_ms = divmod(running_ms, self.piece_ms + self.off_ms)
        return min(pieces * self.piece_ms + min(part_ms, self.piece_ms), left_ms)

    def piece_now_ms(self, since_ms: int) -> int | None:
        """How long the current piece has been held; None before the first and between pieces."""
        running_ms = since_ms - self.lead_ms
        if running_ms < 0:
            return None
        if self.piece_ms is None:
            return running_ms
        part_ms = running_ms % (self.piece_ms + self.off_ms)
        return part_ms if part_ms < self.piece_ms else None

    def ends_after_ms(self, left_ms: int) -> int:
        """When ``left_ms`` have been held."""
        if self.piece_ms is None:
            return self.lead_ms + left_ms
        breaks = max(0, -(-left_ms // self.piece_ms) - 1)
        return self.lead_ms + left_ms + breaks * self.off_ms

    def moments(self, left_ms: int) -> Iterator[tuple[int, HoldMoment]]:
        """When to take the position, when to leave it, and when the hold is done."""
        end_ms = self.ends_after_ms(left_ms)
        if self.piece_ms is not None:
            step_ms = self.piece_ms + self.off_ms
            for start_ms in range(self.lead_ms, end_ms, step_ms):
                yield start_ms, HoldMoment.hold
                if start_ms + self.piece_ms < end_ms:
                    yield start_ms + self.piece_ms, HoldMoment.off
        yield end_ms, HoldMoment.held

    def phase(self, since_ms: int, left_ms: int) -> tuple[HoldMoment | None, int]:
        """What the person does now, None while getting into position, and for how long still."""
        on: HoldMoment | None = None if self.lead_ms else HoldMoment.hold
        for moment_ms, moment in self.moments(left_ms):
            if moment_ms > since_ms:
                return on, moment_ms - since_ms
            on = moment
        return HoldMoment.held, 0


ONE_PIECE = HoldPattern()


def hold_pattern_of(item: FittedItem, *, other_side: bool = False, lost: bool = False) -> HoldPattern:
    """How a hold of this item runs; ``other_side`` says that it follows the first side by itself, ``lost``
    that the position was lost today."""
    if not item.chosen.hands_bear:
        return ONE_PIECE
    lead_ms = OTHER_SIDE_MS if other_side else GET_DOWN_MS
    joined = 0 if lost else item.sound_holds
    return (
        HoldPattern(lead_ms, PIECES_MS[joined], OFF_MS) if joined < len(PIECES_MS) else HoldPattern(lead_ms)
    )


def sound_holds(ticked: Iterable[TickedItem]) -> dict[str, int]:
    """On how many of the last days in a row each item was sound, by its key."""
    by_day: dict[str, dict[date, bool]] = {}
    for one in ticked:
        days, day = by_day.setdefault(one.item, {}), one.at.date()
        days[day] = days.get(day, True) and one.sound
    return {item: _last_in_a_row([days[day] for day in sorted(days)]) for item, days in by_day.items()}


def _last_in_a_row(sound: Sequence[bool]) -> int:
    return len(list(takewhile(bool, reversed(sound))))


def amount_to_hold_ms(item: FittedItem | None) -> int | None:
    """How long an item is to be held on each side; None where it is not a hold."""
    if item is None or item.amount is None or item.amount.unit is not AmountUnit.seconds:
        return None
    return ms(item.amount.low)


def wants_easier(amount_ms: int, pieces_ms: tuple[int, ...], elapsed_ms: int) -> bool:
    """Whether to offer an easier variant; ``pieces_ms`` are the lengths of the pieces that were broken
    off."""
    broken = any(piece_ms < SHORTEST_PIECE_MS for piece_ms in pieces_ms)
    return broken or len(pieces_ms) > MOST_PIECES or elapsed_ms > LONGEST_TIMES_AMOUNT * amount_ms
