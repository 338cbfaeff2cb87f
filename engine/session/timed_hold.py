"""A hold timed hands-free: with the hands on the floor nobody can tap, so it runs in pieces by itself.

After a lead-in come pieces of 10 s with 5 s off between them, until the dose is held; only time in position
counts. A hold that leaves the hands free runs in one piece. Times are milliseconds since it was started.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from engine.base.units import ms
from engine.plan.plan import DoseUnit
from engine.session.fitted import FittedItem

PIECE_MS, OFF_MS = 10_000, 5_000
"""For 30 s: three pieces of 10 s with 5 s off. † Our judgement, no source."""
GET_DOWN_MS = 5_000
OTHER_SIDE_MS = 10_000
"""From the tap to the first piece, and from one side to the other. † Our judgement, no source."""
SHORTEST_PIECE_MS = 5_000
MOST_PIECES = 4
LONGEST_TIMES_DOSE = 3
"""From where an easier form is offered. † Our judgement, no source."""


class Moment(StrEnum):
    hold = "hold"
    off = "off"
    held = "held"


@dataclass(frozen=True)
class HoldPattern:
    """``piece_ms`` None is one piece as long as it takes."""

    lead_ms: int = 0
    piece_ms: int | None = None
    off_ms: int = 0

    def held_ms(self, since_ms: int, left_ms: int) -> int:
        """Time in position so long after the start, of ``left_ms`` still to be held."""
        running_ms = max(0, since_ms - self.lead_ms)
        if self.piece_ms is None:
            return min(running_ms, left_ms)
        whole, part_ms = divmod(running_ms, self.piece_ms + self.off_ms)
        return min(whole * self.piece_ms + min(part_ms, self.piece_ms), left_ms)

    def piece_now_ms(self, since_ms: int) -> int | None:
        """How long the piece that is on has been held; None before it and between pieces."""
        running_ms = since_ms - self.lead_ms
        if running_ms < 0 or self.piece_ms is None:
            return None if running_ms < 0 else running_ms
        part_ms = running_ms % (self.piece_ms + self.off_ms)
        return part_ms if part_ms < self.piece_ms else None

    def ends_after_ms(self, left_ms: int) -> int:
        """When so much has been held."""
        if self.piece_ms is None:
            return self.lead_ms + left_ms
        breaks = max(0, -(-left_ms // self.piece_ms) - 1)
        return self.lead_ms + left_ms + breaks * self.off_ms

    def moments(self, left_ms: int) -> Iterator[tuple[int, Moment]]:
        """When to take the position, to leave it, and when it is done."""
        end_ms = self.ends_after_ms(left_ms)
        if self.piece_ms is not None:
            step_ms = self.piece_ms + self.off_ms
            for start_ms in range(self.lead_ms, end_ms, step_ms):
                yield start_ms, Moment.hold
                if start_ms + self.piece_ms < end_ms:
                    yield start_ms + self.piece_ms, Moment.off
        yield end_ms, Moment.held

    def phase(self, since_ms: int, left_ms: int) -> tuple[Moment | None, int]:
        """What is on so long after the start (None is the way into position), and how long it still lasts."""
        on: Moment | None = None if self.lead_ms else Moment.hold
        for moment_ms, moment in self.moments(left_ms):
            if moment_ms > since_ms:
                return on, moment_ms - since_ms
            on = moment
        return Moment.held, 0


ONE_PIECE = HoldPattern()


def pattern_of(item: FittedItem, *, other_side: bool = False) -> HoldPattern:
    """How a hold of this item runs; ``other_side`` where it follows the first side by itself."""
    if not item.chosen.hands_bear:
        return ONE_PIECE
    return HoldPattern(OTHER_SIDE_MS if other_side else GET_DOWN_MS, PIECE_MS, OFF_MS)


def dose_to_hold_ms(item: FittedItem | None) -> int | None:
    """How long a hold is to be held on each side; None where the item is no hold."""
    if item is None or item.dose is None or item.dose.unit is not DoseUnit.seconds:
        return None
    return ms(item.dose.low)


def wants_easier(dose_ms: int, pieces_ms: tuple[int, ...], elapsed_ms: int) -> bool:
    """Whether an easier form is to be offered; ``pieces_ms`` are those that were broken off."""
    broken = any(piece_ms < SHORTEST_PIECE_MS for piece_ms in pieces_ms)
    return broken or len(pieces_ms) > MOST_PIECES or elapsed_ms > LONGEST_TIMES_DOSE * dose_ms
