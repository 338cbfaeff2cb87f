"""What is asked of the fit: minutes, room and body, and what else matters today."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import floor

from engine.base.message import Count, Message, message
from engine.base.units import MS_PER_MIN
from engine.movements.movement import Side
from engine.movements.room import Room
from engine.plan.floors import SHORTEST_COOL_DOWN_S
from engine.plan.plan import SessionPlan, SideChangeMode, WorkBlock
from engine.session.pace import PersonalPace

CAREFUL_COOL_DOWN_FLOOR_S = 180
"""What a cool-down keeps where the profile asks for more care. † Our judgement, no source."""


@dataclass(frozen=True)
class Asked:
    """What a person asks for.

    ``rounds`` fixes the rounds of the work blocks. ``side_change`` is the mode of the change of sides where
    it is not to be the plan's. ``first_time`` says that a movement is new to the person: then practice stays,
    and no alternative spends more levers. ``extra_rounds_percent`` limits the rounds beyond the plan's
    minimum. ``pace`` is the person's own in what no clock runs.

    ``rounds_at_most`` and ``left_out``, slugs of movements of the work, are what the coach asks of this
    person. They override the plan's range.
    """

    minutes: float
    room: Room = field(default_factory=Room)
    rounds: int | None = None
    side_change: SideChangeMode | None = None
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
        """The minutes in whole milliseconds."""
        return floor(self.minutes * MS_PER_MIN + 1e-6)  # 4.35 min are 260999.99999999997 ms to a computer

    def fewest_rounds(self, block: WorkBlock) -> int:
        """The coach's minimum of rounds for a work block."""
        fewest = block.rounds.min
        return fewest if self.rounds_at_most is None else min(fewest, self.rounds_at_most)

    def permitted_rounds(self, block: WorkBlock) -> int:
        """Says how few rounds the coach accepts from this person when the minutes are short."""
        return min(block.rounds.permitted, self.fewest_rounds(block))

    def most_rounds(self, block: WorkBlock) -> int:
        """The most rounds that a work block may have today."""
        extra = block.rounds.max - block.rounds.min
        most = block.rounds.min + extra * self.extra_rounds_percent // 100
        return most if self.rounds_at_most is None else min(most, self.rounds_at_most)

    def rounds_range(self, block: WorkBlock) -> tuple[int, int]:
        """The fewest and the most rounds of a work block; one number where the person fixes it."""
        if self.rounds is not None:
            return self.rounds, self.rounds
        return self.fewest_rounds(block), self.most_rounds(block)

    @property
    def cool_down_floor_s(self) -> int:
        """How short a cool-down may get."""
        return CAREFUL_COOL_DOWN_FLOOR_S if self.careful_cool_down else SHORTEST_COOL_DOWN_S


def rounds_fault(plan: SessionPlan, rounds: int) -> Message | None:
    """Why the work blocks cannot have this many rounds; None where they can."""
    for number, block in enumerate(plan.blocks, 1):
        if isinstance(block, WorkBlock) and not block.rounds.permitted <= rounds <= block.rounds.max:
            return message(
                "rounds_out_of_range",
                block=Count(count=number),
                low=Count(count=block.rounds.permitted),
                high=Count(count=block.rounds.max),
                rounds=Count(count=rounds),
            )
    return None


def plan_as_asked(plan: SessionPlan, asked: Asked) -> SessionPlan:
    """The plan with the change of sides that was asked for."""
    if asked.side_change in (None, plan.side_change.mode):
        return plan
    change = plan.side_change.model_copy(update={"mode": asked.side_change})
    return plan.model_copy(update={"side_change": change})
