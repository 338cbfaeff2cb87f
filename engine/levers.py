"""The levers of a fit: each can be left alone or spent in steps, cheapest first to give up.

A lever's ``steps`` start with the prescribed value; a later step never makes the session longer, except for
the form of practice, whose length has to be computed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from engine.movement import Sides
from engine.plan import (
    Allowance,
    Block,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeForm,
    SessionPlan,
    SideChangeMode,
    WorkBlock,
)
from engine.segment import Choices
from engine.timeline import Movements

DEFAULT_ALLOWANCES = (
    Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 150, 120)),
    Allowance(give_up=GiveUp.hand_change),
    Allowance(give_up=GiveUp.leg_change),
    Allowance(give_up=GiveUp.practice_form),
    Allowance(give_up=GiveUp.practice),
    Allowance(give_up=GiveUp.optional_movements),
    Allowance(give_up=GiveUp.rest, to_s=(45, 40, 35, 30, 25, 20, 15)),
)
"""What a plan that is silent lets the fit give up, first to last. † Our judgement, no source."""

Step = Callable[[Choices], Choices]


@dataclass(frozen=True)
class Lever:
    """``code`` names it; ``steps`` are changes of the choices, the first changes nothing."""

    code: str
    block: str | None
    steps: tuple[Step, ...]
    monotone: bool = True


def levers_of(
    plan: SessionPlan, movements: Movements, *, practice_required: bool, cool_down_floor_s: int
) -> tuple[Lever, ...]:
    """The levers this plan and person have, first-given-up first; those that can change nothing are left
    out."""
    allowances = DEFAULT_ALLOWANCES if plan.allowances is None else plan.allowances
    levers = []
    for allowance in allowances:
        if allowance.give_up is GiveUp.practice and practice_required:
            continue
        steps = _steps(plan, movements, allowance, cool_down_floor_s)
        if steps:
            levers.append(
                Lever(
                    code=allowance.give_up,
                    block=allowance.block,
                    steps=(_as_planned, *steps),
                    monotone=allowance.give_up is not GiveUp.practice_form,
                )
            )
    return tuple(levers)


def _as_planned(choices: Choices) -> Choices:
    return choices


def _steps(
    plan: SessionPlan, movements: Movements, allowance: Allowance, cool_down_floor_s: int
) -> tuple[Step, ...]:
    blocks = [block for block in plan.blocks if allowance.block in (None, block.id) and movements[block.id]]
    work = [block for block in blocks if isinstance(block, WorkBlock)]
    match allowance.give_up:
        case GiveUp.cool_down:
            cool_downs = [block for block in blocks if isinstance(block, CoolDownBlock)]
            lengths = [to_s for to_s in allowance.to_s if to_s >= cool_down_floor_s]
            return _brought_down("cool_down_s", {b.id: b.duration_s for b in cool_downs}, lengths)
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
            optional = tuple(b.id for b in work if _has_optional(b, movements))
            return (partial(_add, "without_optional", optional),) if optional else ()
        case GiveUp.practice_form | GiveUp.practice:
            return _practice_steps(blocks, allowance.give_up)


def _has_optional(block: WorkBlock, movements: Movements) -> bool:
    """Whether dropping the optional movements drops something and leaves something."""
    kept = [item for item in block.movements if item.movement in movements[block.id]]
    return len({item.optional for item in kept}) == 2


def _brought_down(field: str, planned_s: Mapping[str, int], lengths: Sequence[int]) -> tuple[Step, ...]:
    useful = [to_s for to_s in lengths if any(to_s < planned for planned in planned_s.values())]
    return tuple(
        partial(_merge, field, {block: to_s for block, planned in planned_s.items() if to_s < planned})
        for to_s in useful
    )


def _change_inside(
    plan: SessionPlan, blocks: Sequence[WorkBlock], movements: Movements, sides: Sides
) -> tuple[Step, ...]:
    """Giving up a change of sides takes it out of the interval's middle; both sides stay equal."""
    sided = [b.id for b in blocks if any(chosen.sides is sides for chosen in movements[b.id].values())]
    if not sided or plan.side_change.mode is SideChangeMode.inside:
        return ()
    return (partial(_add, f"{sides}_inside", tuple(sided)),)


def _practice_steps(blocks: list[Block], give_up: GiveUp) -> tuple[Step, ...]:
    practices = [block for block in blocks if isinstance(block, PracticeBlock)]
    if give_up is GiveUp.practice:
        forms = {block.id: PracticeForm.skipped for block in practices}
        return (partial(_merge, "practice", forms),) if forms else ()
    both = [block for block in practices if block.timed is not None and block.repetitions is not None]
    other = {block.id: _OTHER_FORM[block.usual] for block in both}
    return (partial(_practise_otherwise, other),) if other else ()


_OTHER_FORM = {
    PracticeForm.timed: PracticeForm.repetitions,
    PracticeForm.repetitions: PracticeForm.timed,
}


def _practise_otherwise(other: Mapping[str, PracticeForm], choices: Choices) -> Choices:
    """The other form of practice, where practice is not skipped altogether."""
    kept = {
        block: form for block, form in other.items() if choices.practice[block] is not PracticeForm.skipped
    }
    return choices.model_copy(update={"practice": choices.practice | kept})


def _add(field: str, blocks: tuple[str, ...], choices: Choices) -> Choices:
    """Adds blocks to those a choice names; the order in which levers move leaves no trace."""
    return choices.model_copy(update={field: tuple(sorted({*getattr(choices, field), *blocks}))})


def _merge(field: str, values: Mapping[str, object], choices: Choices) -> Choices:
    return choices.model_copy(update={field: getattr(choices, field) | values})
