"""The session plan: what the coach writes once for many people.

A plan is data. It never says what was done; that is a record's business.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import Field

from engine.base.model import Model, Name, Sentence, Slug, revision_of
from engine.movements.movement import Movement, library
from engine.movements.tempo import Tempo

LEAD_IN_S = 10
"""Before the first clocked interval of a block; lies inside the change of block. † Our judgement, no
source."""

MOST_STOP_RULES = 12
Seconds = Annotated[int, Field(ge=0, le=3_600)]
Length = Annotated[int, Field(ge=1, le=3_600)]
"""Seconds of what has to last."""


class DoseUnit(StrEnum):
    repetitions = "repetitions"
    seconds = "seconds"


class Count(StrEnum):
    """What the number of a dose counts."""

    total = "total"
    alternating = "alternating"
    per_side = "per_side"


class Dose(Model):
    """So many repetitions or seconds, as one number (``low`` alone) or a range such as 3–5."""

    low: Annotated[int, Field(ge=1, le=600)]
    high: Annotated[int, Field(ge=1, le=600)] | None = None
    unit: DoseUnit = DoseUnit.repetitions
    count: Count = Count.total

    @property
    def most(self) -> int:
        return self.low if self.high is None else self.high


class RoundsRange(Model):
    """The fewest rounds that make the block worth doing, and the most that are wanted."""

    min: Annotated[int, Field(ge=1, le=30)]
    max: Annotated[int, Field(ge=1, le=30)]


class WarmUpItem(Model):
    """One self-paced item; ``estimate_s`` replaces the computed estimate of its length."""

    movement: Slug
    dose: Dose
    estimate_s: Length | None = None
    easier: Slug | None = None


class WarmUpBlock(Model):
    kind: Literal["warm_up"] = "warm_up"
    id: Slug
    items: tuple[WarmUpItem, ...] = Field(min_length=1, max_length=20)
    rounds: RoundsRange = RoundsRange(min=1, max=1)


class TimedPractice(Model):
    work_s: Annotated[int, Field(ge=10, le=120)] = 30
    rest_s: Annotated[int, Field(ge=5, le=120)] = 15


class PracticeForm(StrEnum):
    timed = "timed"
    repetitions = "repetitions"
    skipped = "skipped"


class PracticeBlock(Model):
    """Practice of the movements of the work blocks, by the clock or by repetitions, or either.

    ``usual`` is the form the coach prefers. ``repetitions_estimate_s`` replaces the computed length of the
    practice by repetitions.
    """

    kind: Literal["practice"] = "practice"
    id: Slug
    movements: tuple[Slug, ...] = Field(min_length=1, max_length=20)
    timed: TimedPractice | None = TimedPractice()
    repetitions: Dose | None = None
    repetitions_estimate_s: Length | None = None
    usual: Literal[PracticeForm.timed, PracticeForm.repetitions] = PracticeForm.timed


class WorkMovement(Model):
    """One movement of a round. ``work_s`` replaces the block's interval for this movement."""

    movement: Slug
    tempo: Tempo = "3-0-1-0"
    work_s: Annotated[int, Field(ge=10, le=600)] | None = None
    optional: bool = False
    end_point: Sentence | None = None
    easier: Slug | None = None
    cues: tuple[Sentence, ...] = Field(default=(), max_length=3)
    stop_rules: tuple[Sentence, ...] = Field(default=(), max_length=MOST_STOP_RULES)


class WorkBlock(Model):
    """Rounds of movements on a work/rest clock.

    ``round_rest_s`` is the rest between rounds where it differs from the rest between movements.
    """

    kind: Literal["work"] = "work"
    id: Slug
    movements: tuple[WorkMovement, ...] = Field(min_length=1, max_length=20)
    rounds: RoundsRange
    work_s: Annotated[int, Field(ge=10, le=600)]
    rest_s: Annotated[int, Field(ge=0, le=600)]
    round_rest_s: Annotated[int, Field(ge=0, le=600)] | None = None


class CoolDownBlock(Model):
    """Easy movements and stretches that share ``duration_s`` in equal parts."""

    kind: Literal["cool_down"] = "cool_down"
    id: Slug
    movements: tuple[Slug, ...] = Field(min_length=1, max_length=20)
    duration_s: Annotated[int, Field(ge=30, le=1_800)]


Block = Annotated[WarmUpBlock | PracticeBlock | WorkBlock | CoolDownBlock, Field(discriminator="kind")]


class SideChangeMode(StrEnum):
    """Where the seconds of a change of sides come from.

    added: the interval grows; inside: the interval keeps its length and both sides get less;
    from_rest: the interval grows and the rest after it shrinks, never below its floor.
    """

    added = "added"
    inside = "inside"
    from_rest = "from_rest"


class SideChange(Model):
    mode: SideChangeMode = SideChangeMode.added
    change_s: Annotated[int, Field(ge=5, le=60)] = 10


class GiveUp(StrEnum):
    """What the coach may let the fit give up.

    ``extra_rounds`` and ``extra_warm_up`` are the rounds beyond the minimum; they are bought, not spent.
    Where an allowance names them, what stands before it is spent for them, and what stands after it is not.
    """

    cool_down = "cool_down"
    hand_change = "hand_change"
    leg_change = "leg_change"
    optional_movements = "optional_movements"
    practice_form = "practice_form"
    practice = "practice"
    rest = "rest"
    work = "work"
    extra_rounds = "extra_rounds"
    extra_warm_up = "extra_warm_up"


class Allowance(Model):
    """One thing the fit may give up.

    ``to_s`` lists, for cool-down, rest and work, the lengths in seconds it may be brought down to, longest
    first. ``block`` limits it to one block; without it, every block of that kind moves together.
    """

    give_up: GiveUp
    to_s: tuple[Length, ...] = Field(default=(), max_length=60)
    block: Slug | None = None


class Buys(StrEnum):
    """What minutes buy; the order of a plan's ``buys`` is the order of worth. Rounds that have a place of
    their own among the allowances are not meant here."""

    allowances = "allowances"
    rounds = "rounds"
    warm_up = "warm_up"


class SessionPlan(Model):
    """One timed session with its choices and limits.

    ``allowances`` are listed first-given-up first; None leaves them to our default, an empty list allows
    nothing. ``buys`` is the order in which minutes are spent; the default keeps what the coach prescribed
    before it adds rounds, and adds rounds before it repeats the warm-up.
    """

    format: Literal["session-plan"] = "session-plan"
    version: Literal[1] = 1
    id: Slug
    name: Name
    author: Name | None = None
    note: Sentence | None = None
    blocks: tuple[Block, ...] = Field(min_length=1, max_length=12)
    transition_s: Seconds = 20
    side_change: SideChange = SideChange()
    allowances: tuple[Allowance, ...] | None = Field(default=None, max_length=40)
    buys: tuple[Buys, ...] = Field(default=(Buys.allowances, Buys.rounds, Buys.warm_up), max_length=3)
    below_minimum: bool = False
    stop_rules: tuple[Sentence, ...] = Field(default=(), max_length=MOST_STOP_RULES)
    movements: tuple[Movement, ...] = Field(default=(), max_length=60)

    def known_movements(self) -> dict[str, Movement]:
        """The library with the plan's own movements over it."""
        return library() | {movement.slug: movement for movement in self.movements}

    def work_blocks(self) -> tuple[WorkBlock, ...]:
        return tuple(block for block in self.blocks if isinstance(block, WorkBlock))


def movements_named_in(block: Block) -> tuple[str, ...]:
    """The slugs a block names, in its order."""
    match block:
        case WarmUpBlock():
            return tuple(item.movement for item in block.items)
        case WorkBlock():
            return tuple(item.movement for item in block.movements)
        case _:
            return block.movements


def plan_revision(plan: SessionPlan) -> str:
    """The plan's revision: changes with any change of its content."""
    return revision_of(plan)
