"""The fitted session of a solution, with the reason for every change."""

from __future__ import annotations

from collections.abc import Iterator

from engine.base.message import message
from engine.base.units import seconds
from engine.fit.lengths import Undecided
from engine.fit.problem import (
    MadeBlock,
    Problem,
    Solution,
    is_below_minimum,
    is_held_back,
    missing_to_minimum_ms,
)
from engine.fit.reasons import block_number, lever_message
from engine.movements.repertoire import Repertoire
from engine.plan.plan import (
    Block,
    CoolDownBlock,
    PracticeBlock,
    PracticeKind,
    WarmUpBlock,
    WorkBlock,
    movements_named_in,
    starting_load_g,
)
from engine.session.amounts import amount_for, practice_amount
from engine.session.block_parts import InRound, kept_movements, practised_slugs
from engine.session.choices import Choices, as_chosen
from engine.session.fitted import FittedBlock, FittedItem, FittedSession
from engine.session.leeway import leeway_of
from engine.session.reason import Reason
from engine.session.timeline import block_segments, joined


def fitted(problem: Problem, solution: Solution) -> FittedSession:
    """Makes the session of a solution. Blocks that a problem has made before are used again."""
    plan, choices = problem.plan, problem.choices(solution.draft)
    made = [_made_block(problem, index, solution.draft, choices) for index in range(len(plan.blocks))]
    return FittedSession(
        plan_id=plan.id,
        plan_revision=problem.revision,
        plan_name=plan.name,
        minutes=problem.asked.minutes,
        room=problem.asked.room,
        choices=choices,
        below_minimum=is_below_minimum(problem, solution.draft),
        reasons=tuple(_reasons(problem, solution, choices)),
        blocks=tuple(block for block, segments in made if segments),
        segments=joined(plan, (segments for _, segments in made)),
        stop_rules=plan.stop_rules,
        leeway=leeway_of(plan, choices, cool_down_floor_s=problem.asked.cool_down_floor_s),
    )


def _reasons(problem: Problem, solution: Solution, choices: Choices) -> Iterator[Reason]:
    """What was given up or swapped, with the seconds that the session would be longer without it."""
    draft = solution.draft
    total_ms = problem.lengths.least_ms(draft)
    if is_below_minimum(problem, draft) and (missing_ms := missing_to_minimum_ms(problem)):
        yield Reason(message=message("below_minimum"), seconds=seconds(missing_ms))
    for spent in problem.spent(draft):
        lever = problem.levers[spent]
        number = None if lever.block is None else block_number(problem.plan, lever.block)
        gained_ms = problem.lengths.least_ms(draft.with_step(spent, 0)) - total_ms
        said = lever_message(lever, choices, problem.plan, problem.choice.by_block)
        yield Reason(message=said, block=number, seconds=seconds(gained_ms))
    if is_held_back(problem, solution):
        yield Reason(message=message("no_more_for_pain"), seconds=0)
    for one in (said for swap in problem.choice.swaps for said in swap.said):
        yield Reason(message=one.told, sent=one.sent if one.sent != one.told else None, seconds=0)


def _made_block(problem: Problem, index: int, draft: Undecided, choices: Choices) -> MadeBlock:
    key = (index, *problem.lengths.of_block(index, draft))
    if key not in problem.made:
        block = problem.plan.blocks[index]
        segments = block_segments(problem.plan, block, choices, problem.choice.by_block)
        problem.made[key] = _fitted_block(problem, block, choices), segments
    return problem.made[key]


def _fitted_block(problem: Problem, block: Block, choices: Choices) -> FittedBlock:
    return FittedBlock(
        id=block.id,
        kind=block.kind,
        rounds=choices.rounds.get(block.id, 1),
        items=tuple(_items_of(problem, block, choices)),
    )


def _items_of(problem: Problem, block: Block, choices: Choices) -> Iterator[FittedItem]:
    """The items of a block that are kept, in order."""
    plan, movements = problem.plan, problem.choice.by_block
    chosen = movements[block.id]
    match block:
        case WarmUpBlock():
            for place, item in enumerate(block.items, 1):
                if item.movement in chosen:
                    one = chosen[item.movement]
                    yield FittedItem(place=place, chosen=one, amount=amount_for(item.amount, one))
        case PracticeBlock():
            tempos = {item.movement: item.tempo for work in plan.work_blocks() for item in work.movements}
            amount = block.repetitions if choices.practice[block.id] is PracticeKind.repetitions else None
            for place, slug in practised_slugs(plan, block, choices, movements).items():
                one = chosen[slug]
                amount = amount and practice_amount(amount, one)
                tempo = None if one.is_hold else tempos.get(slug)
                yield FittedItem(place=place, chosen=one, amount=amount, tempo=tempo)
        case WorkBlock():
            named = movements_named_in(block)
            for kept in kept_movements(block, choices, chosen):
                again = kept.written.movement in named[: kept.place - 1]
                yield _work_item(problem, _as_written_there(problem, kept) if again else kept)
        case CoolDownBlock():
            for place, slug in enumerate(block.movements, 1):
                if slug in chosen:
                    yield FittedItem(place=place, chosen=chosen[slug])


def _as_written_there(problem: Problem, one: InRound) -> InRound:
    """A movement that came before in the round, with what the coach wrote about it in this place."""
    known, room = problem.known, problem.asked.room
    slug, chosen = one.written.movement, one.chosen
    written = one.written if chosen.movement == slug else None
    candidate = Repertoire(known, room).in_variant(chosen.movement, chosen.variant)
    made = as_chosen(candidate, known[slug], written, known=known, limits=room.limits)
    return one._replace(chosen=made.model_copy(update={"substitutes": chosen.substitutes}))


def _work_item(problem: Problem, one: InRound) -> FittedItem:
    """A movement of the work; what the coach aims at belongs to the movement that is written, and the load to
    start with to its usual variant."""
    written, chosen = one.written, one.chosen
    made = FittedItem(place=one.place, chosen=chosen, tempo=None if chosen.is_hold else written.tempo)
    if chosen.movement != written.movement:
        return made
    aims: dict[str, int | None] = {"goal": written.goal, "reserve": written.reserve}
    usual = problem.asked.room.usual_variant(problem.known[written.movement])
    if chosen.variant == usual.id:
        aims["starting_g"] = starting_load_g(written, usual.kit)
    return made.model_copy(update=aims)
