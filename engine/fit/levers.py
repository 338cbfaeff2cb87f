"""The levers of a fit: each is left as planned or spent in steps, from the first to be given up to the last.

The steps of a lever start with what is planned, and a later step never makes the session longer. The
exception is practice, whose lengths have to be compared (see ``_shortens``).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import takewhile

from engine.fit.optional_movements import dropped_step_by_step
from engine.movements.movement import Sides
from engine.plan.allowances import allowances_of
from engine.plan.plan import (
    Allowance,
    Block,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    SessionPlan,
    SideChangeMode,
    WorkBlock,
)
from engine.session.block_parts import optional_name
from engine.session.choices import Choices, ChosenByBlock

LeverStep = Callable[[Choices], Choices]
"""A change of what the fit has chosen so far."""


@dataclass(frozen=True)
class Lever:
    """One thing that can be given up, in steps; the first step changes nothing.

    ``block`` is the one that it is limited to, None for all of its kind; ``blocks`` are those whose length it
    can change. ``shortens`` says that no step makes the session longer than the one before, whatever else is
    decided.
    """

    code: GiveUp
    block: str | None
    steps: tuple[LeverStep, ...]
    blocks: frozenset[str]
    shortens: bool


def levers_of(
    plan: SessionPlan, movements: ChosenByBlock, *, practice_required: bool, cool_down_floor_s: int
) -> tuple[Lever, ...]:
    """The levers of a plan and a person, first given up first, without those that can change nothing.

    ``practice_required`` keeps practice from being skipped; ``cool_down_floor_s`` is how short a cool-down
    may get.
    """
    levers = []
    for allowance in allowances_of(plan):
        if allowance.give_up is GiveUp.practice and practice_required:
            continue
        steps, blocks = _steps(plan, movements, allowance, cool_down_floor_s)
        if steps:
            levers.append(
                Lever(
                    code=allowance.give_up,
                    block=allowance.block,
                    steps=(_as_planned, *steps),
                    blocks=frozenset(blocks),
                    shortens=_shortens(plan, movements, allowance.give_up, blocks),
                )
            )
    return tuple(levers)


def _shortens(plan: SessionPlan, movements: ChosenByBlock, give_up: GiveUp, blocks: Collection[str]) -> bool:
    """Whether every step is sure to be at most as long as the one before.

    The other kind of practice may last longer. Skipping practice makes a session shorter, unless practice
    opens it: then what follows needs the lead-in. And where the coach estimates a whole practice by
    repetitions, each movement's share is rounded, so that fewer movements may last a second longer.
    """
    if give_up is GiveUp.practice_kind:
        return False
    here = [block for block in plan.blocks if movements[block.id]]
    opening = [block.id for block in takewhile(lambda b: isinstance(b, PracticeBlock), here)]
    estimated = [
        b.id for b in plan.blocks if isinstance(b, PracticeBlock) and b.repetitions_estimate_s is not None
    ]
    unsure = {*opening, *(estimated if give_up is GiveUp.optional_movements else ())}
    return unsure.isdisjoint(blocks)


def _as_planned(choices: Choices) -> Choices:
    return choices


LeverSteps = tuple[tuple[LeverStep, ...], Collection[str]]
"""The steps after the first, and the blocks whose length they can change."""


def _steps(
    plan: SessionPlan, movements: ChosenByBlock, allowance: Allowance, cool_down_floor_s: int
) -> LeverSteps:
    blocks = [block for block in plan.blocks if allowance.block in (None, block.id) and movements[block.id]]
    work = [block for block in blocks if isinstance(block, WorkBlock)]
    match allowance.give_up:
        case GiveUp.cool_down:
            cool_downs = {b.id: b.duration_s for b in blocks if isinstance(b, CoolDownBlock)}
            kept_s = [max(to_s, cool_down_floor_s) for to_s in allowance.to_s]
            return _brought_down("cool_down_s", cool_downs, kept_s)
        case GiveUp.rest:
            return _brought_down("rest_s", {b.id: b.rest_s for b in work}, allowance.to_s)
        case GiveUp.work:
            longest = {b.id: max(item.work_s or b.work_s for item in b.movements) for b in work}
            return _brought_down("work_s", longest, allowance.to_s)
        case GiveUp.hand_change:
            return _change_inside(plan, work, movements, Sides.hand)
        case GiveUp.leg_change:
            return _change_inside(plan, work, movements, Sides.leg)
        case GiveUp.optional_movements:
            return _drops(plan, work, movements)
        case GiveUp.practice_kind | GiveUp.practice:
            return _practice_steps(blocks, allowance.give_up)
        case GiveUp.extra_rounds | GiveUp.extra_warm_up:
            return (), ()  # rounds are bought, not spent: see engine.fit.decisions


def _brought_down(field: str, planned_s: Mapping[str, int], lengths_s: Sequence[int]) -> LeverSteps:
    """A step for each length that is shorter than some block's; it changes only the blocks it shortens."""
    each_once = dict.fromkeys(lengths_s)
    useful = [to_s for to_s in each_once if any(to_s < planned for planned in planned_s.values())]
    steps = (
        partial(_lower, field, {block: to_s for block, planned in planned_s.items() if to_s < planned})
        for to_s in useful
    )
    return tuple(steps), planned_s


def _lower(field: str, lengths_s: Mapping[str, int], choices: Choices) -> Choices:
    """Brings blocks down to a length; where two levers do so to one block, the shorter length counts."""
    now: Mapping[str, int] = getattr(choices, field)
    lowered = {block: min(to_s, now.get(block, to_s)) for block, to_s in lengths_s.items()}
    return choices.model_copy(update={field: {**now, **lowered}})


def _change_inside(
    plan: SessionPlan, blocks: Sequence[WorkBlock], movements: ChosenByBlock, sides: Sides
) -> LeverSteps:
    """One step that takes the change of sides out of the middle of the interval."""
    sided = [b.id for b in blocks if any(chosen.sides is sides for chosen in movements[b.id].values())]
    if not sided or plan.side_change.mode is SideChangeMode.inside:
        return (), ()
    return (partial(_add, f"{sides}_inside", tuple(sided)),), sided


def _practice_steps(blocks: Sequence[Block], give_up: GiveUp) -> LeverSteps:
    """One step: no practice, or the kind that the coach does not prefer where there are two."""
    practices = [block for block in blocks if isinstance(block, PracticeBlock)]
    if give_up is GiveUp.practice:
        skipped = {block.id: PracticeKind.skipped for block in practices}
        return ((partial(_practise, skipped),) if skipped else ()), skipped
    both = [block for block in practices if block.timed is not None and block.repetitions is not None]
    other = {block.id: _OTHER_VARIANT[block.usual] for block in both}
    return ((partial(_practise, other),) if other else ()), other


_OTHER_VARIANT = {
    PracticeKind.timed: PracticeKind.repetitions,
    PracticeKind.repetitions: PracticeKind.timed,
}


def _practise(variants: Mapping[str, PracticeKind], choices: Choices) -> Choices:
    """Changes the kind of practice, except where it is skipped already."""
    changed = {
        b: variant for b, variant in variants.items() if choices.practice[b] is not PracticeKind.skipped
    }
    return choices.model_copy(update={"practice": {**choices.practice, **changed}})


def _drops(plan: SessionPlan, blocks: Sequence[WorkBlock], movements: ChosenByBlock) -> LeverSteps:
    """Each step drops one optional movement more, those of the last block first."""
    dropped: tuple[str, ...] = ()
    steps: list[LeverStep] = []
    known = plan.known_movements()
    for block in reversed(blocks):
        for places in dropped_step_by_step(block, movements[block.id], known):
            dropped = (*dropped, *(optional_name(block, place) for place in places))
            steps.append(partial(_add, "without_optional", dropped))
    worked = {name.split(":")[2] for name in dropped}
    practices = [b for b in plan.blocks if isinstance(b, PracticeBlock) and worked & set(b.movements)]
    touched = {name.partition(":")[0] for name in dropped} | {block.id for block in practices}
    return tuple(steps), touched


def _add(field: str, names: tuple[str, ...], choices: Choices) -> Choices:
    """Adds names in sorted order, so that the order in which levers move leaves no trace."""
    return choices.model_copy(update={field: tuple(sorted({*getattr(choices, field), *names}))})
