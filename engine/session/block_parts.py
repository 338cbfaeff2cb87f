"""What each kind of block is made of, part by part: the movements that are kept, their intervals and
rests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from engine.base.units import ms
from engine.movements.movement import Side, Sides
from engine.plan.plan import (
    Amount,
    AmountCount,
    AmountUnit,
    Block,
    CoolDownBlock,
    PracticeBlock,
    PracticeKind,
    SessionPlan,
    TimedPractice,
    WarmUpBlock,
    WorkBlock,
    WorkMovement,
)
from engine.session.amounts import practice_amount, with_amount
from engine.session.choices import Choices, Chosen, ChosenByBlock
from engine.session.estimates import least_ms, repetitions_ms, warm_up_item_ms
from engine.session.interval import Interval, change_inside, rest_ms, work_interval
from engine.session.pace import item_key
from engine.session.segment import Kind, Pace, both_sides


class Part(NamedTuple):
    """What a segment is made of. It is as light as can be, because the fit reckons with a great many."""

    block: str
    kind: Kind
    planned_ms: int
    chosen: Chosen | None
    side: Side | None = None
    round: int | None = None
    pace: Pace = Pace.clock
    place: int | None = None


class InRound(NamedTuple):
    """A movement of a round: its place, what the coach wrote about it there, and how it is done."""

    place: int
    written: WorkMovement
    chosen: Chosen


Practised = tuple[int, Chosen]
"""A place in a practice and the movement there."""


def parts_of(plan: SessionPlan, block: Block, choices: Choices, movements: ChosenByBlock) -> Iterator[Part]:
    """The parts of one block in order, without the way into it."""
    match block:
        case WarmUpBlock():
            return _warm_up(block, choices, movements[block.id])
        case PracticeBlock():
            return _practice(plan, block, choices, movements)
        case WorkBlock():
            return _work(plan, block, choices, movements[block.id])
        case CoolDownBlock():
            return _cool_down(block, choices, movements[block.id])


def _warm_up(block: WarmUpBlock, choices: Choices, movements: Mapping[str, Chosen]) -> Iterator[Part]:
    items = [(place, item) for place, item in enumerate(block.items, 1) if item.movement in movements]
    for number in range(1, choices.rounds[block.id] + 1):
        for place, written in items:
            chosen = movements[written.movement]
            item = with_amount(written, chosen)
            sides = _held_sides(item.amount, choices)
            length_ms = warm_up_item_ms(item, chosen, choices)
            for part_ms, side in zip(_shares(length_ms, len(sides)), sides, strict=True):
                yield Part(block.id, Kind.warm_up, part_ms, chosen, side, number, Pace.self, place)


def _practice(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: ChosenByBlock
) -> Iterator[Part]:
    variant = choices.practice.get(block.id, block.usual)
    slugs = practised_slugs(plan, block, choices, movements)
    practised = [(place, movements[block.id][slug]) for place, slug in slugs.items()]
    if variant is PracticeKind.timed and block.timed is not None:
        yield from _timed_practice(block.id, block.timed, practised, choices)
    elif variant is PracticeKind.repetitions and block.repetitions is not None:
        yield from _practice_by_repetitions(plan, block, block.repetitions, practised, choices)


def practised_slugs(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: ChosenByBlock
) -> dict[int, str]:
    """The movements of a practice, by place and slug: an optional one only while some work block still has
    it.

    After those that the plan names come the stand-ins of movements that are left out after pain and only
    tried.
    """
    chosen = movements[block.id]
    named_first = [*block.movements, *(slug for slug in chosen if slug not in block.movements)]
    here = {place: slug for place, slug in enumerate(named_first, 1) if slug in chosen}
    if not choices.without_optional:
        return here
    worked = {slug for work in plan.work_blocks() for slug in movements[work.id]}
    kept = {
        one.written.movement
        for work in plan.work_blocks()
        for one in kept_movements(work, choices, movements[work.id])
    }

    def named(slug: str) -> str | None:
        return slug if slug in block.movements else chosen[slug].instead_of

    return {place: slug for place, slug in here.items() if named(slug) in kept or named(slug) not in worked}


def _timed_practice(
    block: str, timed: TimedPractice, practised: list[Practised], choices: Choices
) -> Iterator[Part]:
    for index, (place, chosen) in enumerate(practised):
        interval = change_inside(ms(timed.work_s), chosen)
        one = Part(block, Kind.practice, interval.work_ms, chosen, place=place)
        yield from _sides_in_turn(one, interval, choices.first_side)
        if index < len(practised) - 1:
            following, coming = practised[index + 1]
            yield Part(block, Kind.rest, ms(timed.rest_s), coming, place=following)


def _practice_by_repetitions(
    plan: SessionPlan, block: PracticeBlock, amount: Amount, practised: list[Practised], choices: Choices
) -> Iterator[Part]:
    if block.repetitions_estimate_s is not None:
        lengths = _shares(ms(block.repetitions_estimate_s), len(practised))
    else:
        tempos = {item.movement: item.tempo for work in plan.work_blocks() for item in work.movements}
        lengths = [
            repetitions_ms(
                practice_amount(amount, chosen),
                chosen,
                tempos.get(chosen.instead_of or chosen.movement),
                choices,
            )
            for _, chosen in practised
        ]
    for (place, chosen), stated_ms in zip(practised, lengths, strict=True):
        amount = practice_amount(amount, chosen)
        key, needed_ms = item_key(chosen.movement, amount), least_ms(amount)
        length_ms = choices.pace.length_ms(key, stated_ms, least_ms=needed_ms)
        sides = _held_sides(amount, choices)
        for part_ms, side in zip(_shares(length_ms, len(sides)), sides, strict=True):
            yield Part(block.id, Kind.practice, part_ms, chosen, side, None, Pace.self, place)


def _held_sides(amount: Amount, choices: Choices) -> tuple[Side | None, ...]:
    """The sides that are held one after the other; None where the person sees to both sides by themselves."""
    if amount.unit is AmountUnit.seconds and amount.count is AmountCount.per_side:
        return both_sides(choices.first_side)
    return (None,)


def _sides_in_turn(whole: Part, interval: Interval, first_side: Side) -> Iterator[Part]:
    """Work on both sides at once; or on one side, the change, and on the other for exactly as long.

    ``whole`` is the work in all, without a side.
    """
    if not interval.change_ms:
        yield whole._replace(side=Side.both)
        return
    one, other = both_sides(first_side)
    half = whole._replace(planned_ms=interval.work_ms // 2, side=one)
    yield half
    yield half._replace(kind=Kind.side_change, planned_ms=interval.change_ms, side=other)
    yield half._replace(side=other)


def optional_name(block: WorkBlock, place: int) -> str:
    """The name under which the choices keep the place of an optional movement that was given up."""
    return f"{block.id}:{place}:{block.movements[place - 1].movement}"


def kept_movements(block: WorkBlock, choices: Choices, movements: Mapping[str, Chosen]) -> list[InRound]:
    """What a round still has, without optional movements given up and without those that are left out."""
    gone = choices.without_optional
    return [
        InRound(place, item, movements[item.movement])
        for place, item in enumerate(block.movements, 1)
        if item.movement in movements and not (gone and optional_name(block, place) in gone)
    ]


def _work(
    plan: SessionPlan, block: WorkBlock, choices: Choices, movements: Mapping[str, Chosen]
) -> Iterator[Part]:
    kept = kept_movements(block, choices, movements)
    rounds = choices.rounds[block.id]
    for number in range(1, rounds + 1):
        for index, (place, item, chosen) in enumerate(kept):
            interval = work_interval(plan, block, item, chosen, choices)
            whole = Part(block.id, Kind.work, interval.work_ms, chosen, round=number, place=place)
            yield from _sides_in_turn(whole, interval, choices.first_side)
            ends_round = index == len(kept) - 1
            if ends_round and number == rounds:
                return
            next_place, _, following = kept[(index + 1) % len(kept)]
            planned_ms = rest_ms(
                block, choices, (chosen, following), between_rounds=ends_round, paid_ms=interval.from_rest_ms
            )
            yield Part(block.id, Kind.rest, planned_ms, following, round=number, place=next_place)


def _cool_down(block: CoolDownBlock, choices: Choices, movements: Mapping[str, Chosen]) -> Iterator[Part]:
    kept = [(place, movements[slug]) for place, slug in enumerate(block.movements, 1) if slug in movements]
    length_ms = ms(choices.cool_down_s.get(block.id, block.duration_s))
    for (place, chosen), share_ms in zip(kept, _shares(length_ms, len(kept)), strict=True):
        sides = (Side.both,) if chosen.sides is Sides.none else both_sides(choices.first_side)
        for side in sides:
            yield Part(block.id, Kind.cool_down, share_ms // len(sides), chosen, side=side, place=place)


def _shares(length_ms: int, parts: int) -> list[int]:
    """A length in equal parts that halve evenly; the first gets what cannot be shared."""
    if parts == 0:
        return []
    share_ms = length_ms // parts // 2 * 2
    return [length_ms - share_ms * (parts - 1), *([share_ms] * (parts - 1))]
