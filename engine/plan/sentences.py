"""A plan in messages: what it is, who wrote it, what it asks for, what may be cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.base.message import Argument, Count, Message, Own, Seconds, listed, message
from engine.base.units import seconds
from engine.movements.movement import Movement
from engine.movements.terms import movement_term
from engine.plan.allowances import allowances_of
from engine.plan.plan import (
    Allowance,
    Block,
    CoolDownBlock,
    PracticeBlock,
    SessionPlan,
    SideChangeMode,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.plan.terms import CUTS, practice_term, rounds_term, starting_term, substitutes_term


def plan_sentences(plan: SessionPlan, lengths_ms: tuple[int, int] | None) -> Iterator[Message]:
    """What is said of a plan before it is kept: title and author, note, each block, and the limits.

    ``lengths_ms`` are the shortest and the longest session as planned, None where no kit allows one.
    """
    name, author = Own(own=plan.name), Own(own=plan.author) if plan.author else None
    yield message("plan_by", plan=name, author=author) if author else message("plan_alone", plan=name)
    if plan.note:
        yield _as_written(plan.note)
    known = plan.known_movements()
    for block in plan.blocks:
        names = listed(movement_term(known[slug]) for slug in movements_named_in(block))
        yield message("block_and_movements", block=block_title(block), movements=names)
        yield from own_choice_sentences(block, known)
    if lengths_ms is not None:
        shortest, longest = (Seconds(seconds=seconds(length_ms)) for length_ms in lengths_ms)
        yield message("takes_as_planned", shortest=shortest, longest=longest)
    yield from cut_sentences(plan)
    yield from map(_as_written, plan.stop_rules)


def _as_written(text: str) -> Message:
    return message("as_written", text=Own(own=text))


def own_choice_sentences(block: Block, known: Mapping[str, Movement]) -> Iterator[Message]:
    """“Instead of Split squat: Glute bridge (pain: knee).”, “To start with: Goblet squat, one of 8 kg.”"""
    items: tuple[WarmUpItem | WorkMovement, ...] = ()
    if isinstance(block, WarmUpBlock):
        items = block.items
    elif isinstance(block, WorkBlock):
        items = block.movements
    for item in items:
        if instead := substitutes_term(item, known):
            yield message("instead_of", movement=movement_term(known[item.movement]), substitutes=instead)
    loads = [
        message("starts_with", movement=movement_term(known[item.movement]), load=load)
        for item in items
        if isinstance(item, WorkMovement) and (load := starting_term(item))
    ]
    if loads:
        yield message("to_start_with", loads=listed(loads))


def block_title(block: Block) -> Message:
    """“Work, 3 to 6 rounds of 60 s work and 30 s rest”."""
    match block:
        case WarmUpBlock():
            return message("warm_up_of", rounds=rounds_term(block.rounds))
        case PracticeBlock():
            return message("practice_block", practice=practice_term(block))
        case CoolDownBlock():
            return message("cool_down_of", length=Seconds(seconds=block.duration_s))
        case WorkBlock(round_rest_s=None):
            rounds, work, rest = _work_of(block)
            return message("work_of", rounds=rounds, work=work, rest=rest)
        case WorkBlock():
            rounds, work, rest = _work_of(block)
            between = Seconds(seconds=block.round_rest_s or 0)
            return message("work_of_with_round_rest", rounds=rounds, work=work, rest=rest, between=between)


def _work_of(block: WorkBlock) -> tuple[Message, Seconds, Seconds]:
    return rounds_term(block.rounds), Seconds(seconds=block.work_s), Seconds(seconds=block.rest_s)


def side_change_sentence(plan: SessionPlan) -> Message:
    """How long a change of sides takes, and where its seconds come from."""
    change = Seconds(seconds=plan.side_change.change_s)
    match plan.side_change.mode:
        case SideChangeMode.added:
            return message("side_change_added", change=change)
        case SideChangeMode.inside:
            return message("side_change_inside", change=change)
        case SideChangeMode.from_rest:
            return message("side_change_from_rest", change=change)


def cut_sentences(plan: SessionPlan) -> Iterator[Message]:
    """What may be cut when the minutes are short, first to last, and the rounds below the minimum."""
    numbers = {block.id: number for number, block in enumerate(plan.blocks, 1)}
    cuts = [_cut(one, numbers) for one in allowances_of(plan)]
    yield message("cut_first", cuts=listed(cuts)) if cuts else message("only_rounds_are_cut")
    fewer = [
        message("rounds_in_block", block=Count(count=number), rounds=Count(count=block.rounds.permitted))
        for number, block in enumerate(plan.blocks, 1)
        if isinstance(block, WorkBlock) and block.rounds.permitted < block.rounds.min
    ]
    if fewer:
        yield message("rather_than_no_session", fewer=listed(fewer))


def _cut(allowance: Allowance, numbers: Mapping[str, int]) -> Argument:
    cut = CUTS[allowance.give_up]
    if allowance.to_s:
        lengths = listed(Seconds(seconds=length_s) for length_s in allowance.to_s)
        cut = message("cut_to_lengths", cut=cut, lengths=lengths)
    if allowance.block is None:
        return cut
    return message("part_in_block", part=cut, block=Count(count=numbers[allowance.block]))
