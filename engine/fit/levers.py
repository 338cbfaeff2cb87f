"""The levers of a fit: each can be left alone or spent in steps, cheapest first to give up.

A lever's ``steps`` start with the prescribed value, and a later step never makes the session longer. The
exception is practice, whose length has to be computed (see ``_shortens``).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations, pairwise, takewhile

from engine.movements.movement import Movement, Sides
from engine.plan.allowances import allowances_of
from engine.plan.plan import (
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
from engine.session.block_parts import optional_name
from engine.session.choices import Choices, Chosen, ChosenByBlock

MOST_DROPPED_TOGETHER = 3
"""How many optional movements may go in one step where fewer would leave neighbours alike. † Our judgement,
no source."""

LeverStep = Callable[[Choices], Choices]


@dataclass(frozen=True)
class Lever:
    """``code`` names it; ``steps`` are changes of the choices, the first changes nothing.

    ``blocks`` are those whose length it can change. ``shortens`` says that every step is at least as short as
    the one before, whatever else was decided.
    """

    code: GiveUp
    block: str | None
    steps: tuple[LeverStep, ...]
    blocks: frozenset[str]
    shortens: bool


def levers_of(
    plan: SessionPlan, movements: ChosenByBlock, *, practice_required: bool, cool_down_floor_s: int
) -> tuple[Lever, ...]:
    """The levers this plan and person have, first-given-up first; those that can change nothing are left
    out."""
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
    """Whether every step is sure to be at least as short as the one before.

    The other form of practice may last longer. Practice that goes altogether is shorter, unless it opens the
    session: the lead-in then falls to what follows. And an estimate for all of a practice by repetitions is
    rounded for each movement, so that fewer of them may last a second longer.
    """
    if give_up is GiveUp.practice_form:
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
"""The steps beyond the prescribed value, and the blocks they touch."""


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
        case GiveUp.practice_form | GiveUp.practice:
            return _practice_steps(blocks, allowance.give_up)
        case GiveUp.extra_rounds | GiveUp.extra_warm_up:
            return (), ()  # these are not spent but bought: see the order of decisions


def _brought_down(field: str, planned_s: Mapping[str, int], lengths_s: Sequence[int]) -> LeverSteps:
    each_once = dict.fromkeys(lengths_s)
    useful = [to_s for to_s in each_once if any(to_s < planned for planned in planned_s.values())]
    steps = (
        partial(_lower, field, {block: to_s for block, planned in planned_s.items() if to_s < planned})
        for to_s in useful
    )
    return tuple(steps), planned_s


def _lower(field: str, lengths_s: Mapping[str, int], choices: Choices) -> Choices:
    """Brings blocks down; where two levers reach one block, the shorter length holds."""
    now: Mapping[str, int] = getattr(choices, field)
    lowered = {block: min(to_s, now.get(block, to_s)) for block, to_s in lengths_s.items()}
    return choices.model_copy(update={field: {**now, **lowered}})


def _change_inside(
    plan: SessionPlan, blocks: Sequence[WorkBlock], movements: ChosenByBlock, sides: Sides
) -> LeverSteps:
    """Giving up a change of sides takes it out of the interval's middle; both sides stay equal."""
    sided = [b.id for b in blocks if any(chosen.sides is sides for chosen in movements[b.id].values())]
    if not sided or plan.side_change.mode is SideChangeMode.inside:
        return (), ()
    return (partial(_add, f"{sides}_inside", tuple(sided)),), sided


def _practice_steps(blocks: Sequence[Block], give_up: GiveUp) -> LeverSteps:
    practices = [block for block in blocks if isinstance(block, PracticeBlock)]
    if give_up is GiveUp.practice:
        skipped = {block.id: PracticeForm.skipped for block in practices}
        return ((partial(_practise, skipped),) if skipped else ()), skipped
    both = [block for block in practices if block.timed is not None and block.repetitions is not None]
    other = {block.id: _OTHER_FORM[block.usual] for block in both}
    return ((partial(_practise, other),) if other else ()), other


_OTHER_FORM = {
    PracticeForm.timed: PracticeForm.repetitions,
    PracticeForm.repetitions: PracticeForm.timed,
}


def _practise(forms: Mapping[str, PracticeForm], choices: Choices) -> Choices:
    """Practice in these forms, where it is not skipped altogether."""
    changed = {b: form for b, form in forms.items() if choices.practice[b] is not PracticeForm.skipped}
    return choices.model_copy(update={"practice": {**choices.practice, **changed}})


def _drops(plan: SessionPlan, blocks: Sequence[WorkBlock], movements: ChosenByBlock) -> LeverSteps:
    """One optional movement more in each step, the last of the last block first, neighbours kept apart."""
    dropped: tuple[str, ...] = ()
    steps: list[LeverStep] = []
    known = plan.known_movements()
    for block in reversed(blocks):
        for names in _dropped_in(block, movements, known):
            dropped = (*dropped, *names)
            steps.append(partial(_add, "without_optional", dropped))
    worked = {name.partition(":")[2] for name in dropped}
    practices = [b for b in plan.blocks if isinstance(b, PracticeBlock) and worked & set(b.movements)]
    touched = {name.partition(":")[0] for name in dropped} | {block.id for block in practices}
    return tuple(steps), touched


def _dropped_in(
    block: WorkBlock, movements: ChosenByBlock, known: Mapping[str, Movement]
) -> Iterator[tuple[str, ...]]:
    """What goes from one block, step by step."""
    items = [item for item in block.movements if item.movement in movements[block.id]]
    in_round = [item.movement for item in items]
    optional = [item.movement for item in reversed(items) if item.optional]
    names = {item.movement: optional_name(block, item) for item in items}

    def apart(gone: Iterable[str]) -> bool:
        kept = [slug for slug in in_round if slug not in gone]
        return bool(kept) and not _crowded(in_round, kept, movements[block.id], known)

    gone: tuple[str, ...] = ()
    while True:
        left = [slug for slug in optional if slug not in gone]
        sets = (more for size in range(1, MOST_DROPPED_TOGETHER + 1) for more in combinations(left, size))
        more = next((more for more in sets if apart((*gone, *more))), None)
        if more is None:
            return
        gone = (*gone, *more)
        yield tuple(names[slug] for slug in more)


def _crowded(
    planned: Sequence[str],
    kept: Sequence[str],
    movements: Mapping[str, Chosen],
    known: Mapping[str, Movement],
) -> bool:
    """Whether dropping movements brings two of one region together that the plan kept apart, or two that are
    heavy on the grip.

    A round closes on itself, but an odd number of movements cannot alternate there.
    """
    if len(kept) == 1:
        return False
    after = dict(pairwise([*planned, planned[0]]))

    def region(slug: str) -> object:
        return known[movements[slug].movement].region

    for one, other in pairwise([*kept, kept[0]]):
        if after[one] == other:
            continue
        if movements[one].grip_heavy and movements[other].grip_heavy:
            return True
        closing = other == kept[0] and len(kept) % 2 == 1
        if not closing and region(one) is region(other) and region(one) is not region(after[one]):
            return True
    return False


def _add(field: str, names: tuple[str, ...], choices: Choices) -> Choices:
    """Adds to the names a choice holds; the order in which levers move leaves no trace."""
    return choices.model_copy(update={field: tuple(sorted({*getattr(choices, field), *names}))})
