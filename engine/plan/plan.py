"""The session plan: what the coach writes once for many people.

A plan is data. It says what is prescribed; a record says what was done.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal, get_args

from pydantic import Field

from engine.base.model import Model, Name, Sentence, Slug
from engine.base.units import Grams
from engine.movements.movement import Kit, Movement, library
from engine.movements.own_choice import Occasion, OwnSubstitute
from engine.movements.tempo import Tempo

MOST_STOP_RULES = 12
Seconds = Annotated[int, Field(ge=0, le=3_600)]
Length = Annotated[int, Field(ge=1, le=3_600)]
"""The seconds of something that cannot take no time."""

BlockKind = Literal["warm_up", "practice", "work", "cool_down"]
BLOCK_KINDS: tuple[BlockKind, ...] = get_args(BlockKind)
"""In the order in which the blocks of a session usually come."""


class AmountUnit(StrEnum):
    """Whether an amount is repetitions or seconds of holding."""

    repetitions = "repetitions"
    seconds = "seconds"


class AmountCount(StrEnum):
    """What the number of an amount counts."""

    total = "total"
    alternating = "alternating"
    per_side = "per_side"


LARGEST_AMOUNT = 600


class Amount(Model):
    """A number of repetitions or seconds: exactly ``low``, or a range such as 3–5."""

    low: Annotated[int, Field(ge=1, le=LARGEST_AMOUNT)]
    high: Annotated[int, Field(ge=1, le=LARGEST_AMOUNT)] | None = None
    unit: AmountUnit = AmountUnit.repetitions
    count: AmountCount = AmountCount.total

    @property
    def most(self) -> int:
        """The upper end of the range, or the one number."""
        return self.low if self.high is None else self.high


class RoundsRange(Model):
    """The rounds that the coach wants, from ``min`` to ``max``.

    A work block may be permitted fewer where the minutes are short: down to ``fewest``, by default never.
    """

    fewest: Annotated[int, Field(ge=1, le=30)] | None = None
    min: Annotated[int, Field(ge=1, le=30)]
    max: Annotated[int, Field(ge=1, le=30)]

    @property
    def permitted(self) -> int:
        """Says how few rounds the coach accepts rather than no session."""
        return self.min if self.fewest is None else self.fewest


OwnSubstitutes = Annotated[tuple[OwnSubstitute, ...], Field(max_length=len(Occasion))]


class WarmUpItem(Model):
    """One item that the person ticks off. ``estimate_s`` replaces the length that we would estimate."""

    movement: Slug
    amount: Amount
    estimate_s: Length | None = None
    easier: Slug | None = None
    substitutes: OwnSubstitutes = ()


class WarmUpBlock(Model):
    """Rounds of items at the person's own pace."""

    kind: Literal["warm_up"] = "warm_up"
    id: Slug
    items: tuple[WarmUpItem, ...] = Field(min_length=1, max_length=20)
    rounds: RoundsRange = RoundsRange(min=1, max=1)


class TimedPractice(Model):
    """Practice by the clock: an interval for each movement, with a rest between two."""

    work_s: Annotated[int, Field(ge=10, le=120)] = 30
    rest_s: Annotated[int, Field(ge=5, le=120)] = 15


class PracticeKind(StrEnum):
    """How a practice is done: by the clock, by repetitions, or not at all."""

    timed = "timed"
    repetitions = "repetitions"
    skipped = "skipped"


class PracticeBlock(Model):
    """Practice of the movements of the work blocks: by the clock, by repetitions, or either.

    ``usual`` is the kind that the coach prefers. ``repetitions_estimate_s`` replaces the length that we would
    estimate for the practice by repetitions.
    """

    kind: Literal["practice"] = "practice"
    id: Slug
    movements: tuple[Slug, ...] = Field(min_length=1, max_length=20)
    timed: TimedPractice | None = TimedPractice()
    repetitions: Amount | None = None
    repetitions_estimate_s: Length | None = None
    usual: Literal[PracticeKind.timed, PracticeKind.repetitions] = PracticeKind.timed


LEAST_RESERVE, MOST_RESERVE = 2, 5
"""The repetitions that a coach may ask to have left: never fewer than 2. † Our judgement, no source."""


class WorkMovement(Model):
    """One movement of a round. ``work_s`` replaces the block's work interval for this movement.

    ``goal`` is a number of repetitions to reach on each side, ``reserve`` how many to have left after a set.
    An ``optional`` movement may go before the start or while the session runs, one that ``may_go`` only while
    it runs. Whoever has no load of their own yet starts with ``starting_g`` where the movement takes one
    dumbbell, and with ``starting_pair_g`` in each hand where it takes two.
    """

    movement: Slug
    tempo: Tempo = "3-0-1-0"
    goal: Annotated[int, Field(ge=1, le=100)] | None = None
    reserve: Annotated[int, Field(ge=LEAST_RESERVE, le=MOST_RESERVE)] | None = None
    work_s: Annotated[int, Field(ge=10, le=600)] | None = None
    starting_g: Grams | None = None
    starting_pair_g: Grams | None = None
    optional: bool = False
    may_go: bool = False
    substitutes: OwnSubstitutes = ()
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
    """Easy movements and stretches, with an equal part of ``duration_s`` for each."""

    kind: Literal["cool_down"] = "cool_down"
    id: Slug
    movements: tuple[Slug, ...] = Field(min_length=1, max_length=20)
    duration_s: Annotated[int, Field(ge=30, le=1_800)]


Block = Annotated[WarmUpBlock | PracticeBlock | WorkBlock | CoolDownBlock, Field(discriminator="kind")]


class SideChangeMode(StrEnum):
    """Where the seconds of a change of sides come from."""

    added = "added"
    """The interval grows."""
    inside = "inside"
    """The interval keeps its length, and both sides get less of it."""
    from_rest = "from_rest"
    """The interval grows, and the rest after it shrinks, never below its floor."""


class SideChange(Model):
    """How long a person has to change sides within an interval."""

    mode: SideChangeMode = SideChangeMode.added
    change_s: Annotated[int, Field(ge=5, le=60)] = 10


class GiveUp(StrEnum):
    """What the coach may let the fit give up.

    ``extra_rounds`` and ``extra_warm_up`` are the rounds beyond the minimum. The fit buys them instead of
    giving them up: where an allowance names them, it gives up what is listed before for them, and keeps what
    is listed after.
    """

    cool_down = "cool_down"
    hand_change = "hand_change"
    leg_change = "leg_change"
    optional_movements = "optional_movements"
    practice_kind = "practice_kind"
    practice = "practice"
    rest = "rest"
    work = "work"
    extra_rounds = "extra_rounds"
    extra_warm_up = "extra_warm_up"


class Allowance(Model):
    """One thing that the fit may give up.

    For cool-down, rest and work ``to_s`` lists the lengths it may be brought down to, longest first.
    ``block`` limits the allowance to one block; without it, all blocks of its kind change together.
    """

    give_up: GiveUp
    to_s: tuple[Length, ...] = Field(default=(), max_length=60)
    block: Slug | None = None


class Buys(StrEnum):
    """What minutes buy. A plan's ``buys`` lists it by worth, without rounds that an allowance names."""

    allowances = "allowances"
    rounds = "rounds"
    warm_up = "warm_up"


class SessionPlan(Model):
    """One timed session with its choices and limits.

    ``allowances`` lists what goes when the minutes are short, first to last; None stands for our default, an
    empty list allows nothing. ``buys`` is the order in which minutes are spent; by default they restore what
    the coach prescribed before they add rounds, and add rounds before they repeat the warm-up.
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
    stop_rules: tuple[Sentence, ...] = Field(default=(), max_length=MOST_STOP_RULES)
    movements: tuple[Movement, ...] = Field(default=(), max_length=60)

    def known_movements(self) -> dict[str, Movement]:
        """The movements of the library and of the plan by slug; of two with one slug, the plan's counts."""
        return library() | {movement.slug: movement for movement in self.movements}

    def work_blocks(self) -> tuple[WorkBlock, ...]:
        """The work blocks in their order."""
        return tuple(block for block in self.blocks if isinstance(block, WorkBlock))


def starting_load_g(item: WorkMovement, kit: Kit) -> int | None:
    """What the coach starts people with, in grams of one dumbbell, where the movement takes this kit; None
    where the coach says nothing."""
    return {Kit.single: item.starting_g, Kit.pair: item.starting_pair_g}.get(kit)


def movements_named_in(block: Block) -> tuple[str, ...]:
    """The slugs of the movements that a block names, in its order."""
    match block:
        case WarmUpBlock():
            return tuple(item.movement for item in block.items)
        case WorkBlock():
            return tuple(item.movement for item in block.movements)
        case _:
            return block.movements
