"""What is asked of the fit: minutes, room and body, and what else holds today."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import floor

from engine.base.units import MS_PER_MIN
from engine.movements.movement import Side
from engine.movements.room import Room
from engine.plan.floors import SHORTEST_COOL_DOWN_S
from engine.plan.plan import (
    WorkBlock,
)
from engine.session.pace import PersonalPace

CAREFUL_COOL_DOWN_FLOOR_S = 180
"""What a cool-down keeps where the profile asks for it. † Our judgement, no source."""


@dataclass(frozen=True)
class Asked:
    """What the person asks for.

    ``rounds`` fixes the rounds of the work blocks; ``side_change`` False takes every change out of the
    interval. ``first_time`` is a session with a movement never done before: practice stays and no alternative
    spends levers. ``extra_rounds_percent`` of the rounds beyond the plan's minimum may be bought. ``pace`` is
    the person's own in what no clock runs. ``rounds_at_most`` and ``left_out``, movements of the work, are
    the coach's word to this person, and go before the plan's range.
    """

    minutes: float
    room: Room = field(default_factory=Room)
    rounds: int | None = None
    side_change: bool = True
    first_time: bool = False
    practice_required: bool = False
    careful_cool_down: bool = False
    careful_to_floor: bool = False
    first_side: Side = Side.left
    extra_rounds_percent: int = 100
    pace: PersonalPace = field(default_factory=PersonalPace)
    rounds_at_most: int | None = None
    left_out: tuple[str, ...] = ()

    @property
    def budget_ms(self) -> int:
        return floor(self.minutes * MS_PER_MIN + 1e-6)  # 4.35 min are 260999.99999999997 ms to a computer

    def most_rounds(self, block: WorkBlock) -> int:
        extra = block.rounds.max - block.rounds.min
        most = block.rounds.min + extra * self.extra_rounds_percent // 100
        return most if self.rounds_at_most is None else min(most, self.rounds_at_most)

    def fewest_rounds(self, block: WorkBlock) -> int:
        fewest = block.rounds.min
        return fewest if self.rounds_at_most is None else min(fewest, self.rounds_at_most)

    def rounds_range(self, block: WorkBlock) -> tuple[int, int]:
        """The fewest and the most rounds a work block may have."""
        if self.rounds is not None:
            return self.rounds, self.rounds
        return self.fewest_rounds(block), self.most_rounds(block)

    @property
    def cool_down_floor_s(self) -> int:
        return CAREFUL_COOL_DOWN_FLOOR_S if self.careful_cool_down else SHORTEST_COOL_DOWN_S
