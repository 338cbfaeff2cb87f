"""A plan in plain sentences: what it is, who wrote it, what it asks for, what may be given up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.base.phrases import listed, number_of
from engine.base.units import format_duration, ms
from engine.movements.movement import Movement
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
from engine.plan.words import (
    BLOCK_KIND_WORDS,
    LOST_WORDS,
    length_words,
    practice_words,
    range_words,
    starting_words,
    substitutes_words,
)


def plan_sentences(plan: SessionPlan, lengths_ms: tuple[int, int] | None) -> Iterator[str]:
    """What is said of a plan before it is kept: title and author, note, each block, and the limits.

    ``lengths_ms`` are the shortest and the longest session as planned, None where no kit allows one.
    """
    yield f"{plan.name}, by {plan.author}." if plan.author else f"{plan.name}."
    if plan.note:
        yield plan.note
    known = plan.known_movements()
    for block in plan.blocks:
        yield f"{block_title(block)}: {', '.join(known[slug].name for slug in movements_named_in(block))}."
        yield from own_choice_sentences(block, known)
    if lengths_ms is not None:
        yield f"As planned it takes {' to '.join(map(format_duration, lengths_ms))}, by kit and rounds."
    yield given_up_sentence(plan)
    yield from plan.stop_rules


def own_choice_sentences(block: Block, known: Mapping[str, Movement]) -> Iterator[str]:
    """“Instead of Split squat, with a sore knee: Hip bridge.”, “To start with: Goblet squat, one of 8 kg.”"""
    items: tuple[WarmUpItem | WorkMovement, ...] = ()
    if isinstance(block, WarmUpBlock):
        items = block.items
    elif isinstance(block, WorkBlock):
        items = block.movements
    for item in items:
        if instead := substitutes_words(item, known):
            yield f"Instead of {known[item.movement].name}, {instead}."
    loads = [
        f"{known[item.movement].name}, {words}"
        for item in items
        if isinstance(item, WorkMovement) and (words := starting_words(item))
    ]
    if loads:
        yield f"To start with: {'; '.join(loads)}."


def block_title(block: Block) -> str:
    """“Work, 3 to 6 rounds of 60 s work and 30 s rest”."""
    return f"{BLOCK_KIND_WORDS[block.kind]}, {_asked_for(block)}"


def _asked_for(block: Block) -> str:
    match block:
        case WarmUpBlock():
            return range_words(block.rounds)
        case PracticeBlock():
            return practice_words(block)
        case WorkBlock():
            between = "" if block.round_rest_s is None else f", {block.round_rest_s} s between rounds"
            return f"{range_words(block.rounds)} of {block.work_s} s work and {block.rest_s} s rest{between}"
        case CoolDownBlock():
            return f"{format_duration(ms(block.duration_s))} in equal parts"


_SECONDS_COME_FROM = {
    SideChangeMode.added: "the interval grows by them",
    SideChangeMode.inside: "the interval keeps its length",
    SideChangeMode.from_rest: "the rest after it is shorter by them",
}


def side_change_sentence(plan: SessionPlan) -> str:
    """How long a change of sides takes, and where its seconds come from."""
    change = plan.side_change
    where = _SECONDS_COME_FROM[change.mode]
    return f"A change of sides takes {change.change_s} s; {where}. Both sides get the same time."


def given_up_sentence(plan: SessionPlan) -> str:
    """What may be given up when the minutes are short, first to last."""
    numbers = {block.id: number for number, block in enumerate(plan.blocks, 1)}
    gone = [_allowance_words(one, numbers) for one in allowances_of(plan)]
    if not gone:
        only = "When time is short only rounds go, whole ones; everything else stays."
        return f"{only}{_permitted_words(plan)}"
    return f"When time is short this goes, first to last: {'; '.join(gone)}.{_permitted_words(plan)}"


def _permitted_words(plan: SessionPlan) -> str:
    """“ Rather than no session, block 3 may have 2 rounds.”; empty where no block may have fewer."""
    fewer = [
        f"block {number} may have {number_of(block.rounds.permitted, 'round')}"
        for number, block in enumerate(plan.blocks, 1)
        if isinstance(block, WorkBlock) and block.rounds.permitted < block.rounds.min
    ]
    return f" Rather than no session, {listed(fewer)}." if fewer else ""


def _allowance_words(allowance: Allowance, numbers: Mapping[str, int]) -> str:
    lengths = f" ({', '.join(map(length_words, allowance.to_s))})" if allowance.to_s else ""
    where = "" if allowance.block is None else f" in block {numbers[allowance.block]}"
    return f"{LOST_WORDS[allowance.give_up]}{lengths}{where}"
