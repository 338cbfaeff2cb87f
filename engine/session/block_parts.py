"""What each kind of block is made of, part by part: the movements that are kept, their intervals and
rests."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from engine.base.units import ms
from engine.movements.movement import Side, Sides
from engine.plan.plan import (
    Block,
    CoolDownBlock,
    Dose,
    DoseCount,
    DoseUnit,
    PracticeBlock,
    PracticeForm,
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
    items = [item for item in block.items if item.movement in movements]
    for number in range(1, choices.rounds[block.id] + 1):
        for written in items:
            chosen = movements[written.movement]
            item = with_amount(written, chosen)
            sides = _held_sides(item.dose, choices)
            length_ms = warm_up_item_ms(item, chosen, choices)
            for part_ms, side in zip(_shares(length_ms, len(sides)), sides, strict=True):
                yield Part(block.id, Kind.warm_up, part_ms, chosen, pace=Pace.self, side=side, round=number)


def _practice(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: ChosenByBlock
) -> Iterator[Part]:
    form = choices.practice.get(block.id, block.usual)
    practised = [movements[block.id][slug] for slug in practised_slugs(plan, block, choices, movements)]
    if form is PracticeForm.timed and block.timed is not None:
        yield from _timed_practice(block.id, block.timed, practised, choices)
    elif form is PracticeForm.repetitions and block.repetitions is not None:
        yield from _practice_by_repetitions(plan, block, block.repetitions, practised, choices)


def practised_slugs(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: ChosenByBlock
) -> list[str]:
    """The movements of a practice, by slug: an optional one only while some work block still has it.

    After those that the plan names come the stand-ins of movements that are left out after pain and only
    tried.
    """
    chosen = movements[block.id]
    here = [slug for slug in block.movements if slug in chosen]
    here += [slug for slug in chosen if slug not in block.movements]
    if not choices.without_optional:
        return here
    worked = {slug for work in plan.work_blocks() for slug in movements[work.id]}
    kept = {
        item.movement
        for work in plan.work_blocks()
        for item, _ in kept_movements(work, choices, movements[work.id])
    }
    named = {slug: chosen[slug].instead_of if slug not in block.movements else slug for slug in here}
    return [slug for slug in here if named[slug] in kept or named[slug] not in worked]


def _timed_practice(
    block: str, timed: TimedPractice, practised: list[Chosen], choices: Choices
) -> Iterator[Part]:
    for index, chosen in enumerate(practised):
        interval = change_inside(ms(timed.work_s), chosen)
        yield from _sides_in_turn(block, Kind.practice, chosen, interval, choices.first_side)
        if index < len(practised) - 1:
            yield Part(block, Kind.rest, ms(timed.rest_s), practised[index + 1])


def _practice_by_repetitions(
    plan: SessionPlan, block: PracticeBlock, dose: Dose, practised: list[Chosen], choices: Choices
) -> Iterator[Part]:
    if block.repetitions_estimate_s is not None:
        lengths = _shares(ms(block.repetitions_estimate_s), len(practised))
    else:
        tempos = {item.movement: item.tempo for work in plan.work_blocks() for item in work.movements}
        lengths = [
            repetitions_ms(
                practice_amount(dose, chosen),
                chosen,
                tempos.get(chosen.instead_of or chosen.movement),
                choices,
            )
            for chosen in practised
        ]
    for chosen, stated_ms in zip(practised, lengths, strict=True):
        amount = practice_amount(dose, chosen)
        key, needed_ms = item_key(chosen.movement, amount), least_ms(amount)
        length_ms = choices.pace.length_ms(key, stated_ms, least_ms=needed_ms)
        sides = _held_sides(amount, choices)
        for part_ms, side in zip(_shares(length_ms, len(sides)), sides, strict=True):
            yield Part(block.id, Kind.practice, part_ms, chosen, pace=Pace.self, side=side)


def _held_sides(dose: Dose, choices: Choices) -> tuple[Side | None, ...]:
    """The sides that are held one after the other; None where the person sees to both sides by themselves."""
    if dose.unit is DoseUnit.seconds and dose.count is DoseCount.per_side:
        return both_sides(choices.first_side)
    return (None,)


def _sides_in_turn(
    block: str, kind: Kind, chosen: Chosen, interval: Interval, first_side: Side, number: int | None = None
) -> Iterator[Part]:
    """Work on both sides at once; or on one side, the change, and on the other for exactly as long."""
    if not interval.change_ms:
        yield Part(block, kind, interval.work_ms, chosen, side=Side.both, round=number)
        return
    one, other = both_sides(first_side)
    yield Part(block, kind, interval.work_ms // 2, chosen, side=one, round=number)
    yield Part(block, Kind.side_change, interval.change_ms, chosen, side=other, round=number)
    yield Part(block, kind, interval.work_ms // 2, chosen, side=other, round=number)


def optional_name(block: WorkBlock, item: WorkMovement) -> str:
    """The name under which the choices keep an optional movement that was given up."""
    return f"{block.id}:{item.movement}"


def kept_movements(
    block: WorkBlock, choices: Choices, movements: Mapping[str, Chosen]
) -> list[tuple[WorkMovement, Chosen]]:
    """What a round still has, without optional movements given up and without those that are left out."""
    return [
        (item, movements[item.movement])
        for item in block.movements
        if item.movement in movements and optional_name(block, item) not in choices.without_optional
    ]


def _work(
    plan: SessionPlan, block: WorkBlock, choices: Choices, movements: Mapping[str, Chosen]
) -> Iterator[Part]:
    kept = kept_movements(block, choices, movements)
    rounds = choices.rounds[block.id]
    for number in range(1, rounds + 1):
        for index, (item, chosen) in enumerate(kept):
            interval = work_interval(plan, block, item, chosen, choices)
            yield from _sides_in_turn(block.id, Kind.work, chosen, interval, choices.first_side, number)
            ends_round = index == len(kept) - 1
            if ends_round and number == rounds:
                return
            following = kept[(index + 1) % len(kept)][1]
            planned_ms = rest_ms(
                block, choices, (chosen, following), between_rounds=ends_round, paid_ms=interval.from_rest_ms
            )
            yield Part(block.id, Kind.rest, planned_ms, following, round=number)


def _cool_down(block: CoolDownBlock, choices: Choices, movements: Mapping[str, Chosen]) -> Iterator[Part]:
    kept = [movements[slug] for slug in block.movements if slug in movements]
    length_ms = ms(choices.cool_down_s.get(block.id, block.duration_s))
    for chosen, share_ms in zip(kept, _shares(length_ms, len(kept)), strict=True):
        sides = (Side.both,) if chosen.sides is Sides.none else both_sides(choices.first_side)
        for side in sides:
            yield Part(block.id, Kind.cool_down, share_ms // len(sides), chosen, side=side)


def _shares(length_ms: int, parts: int) -> list[int]:
    """A length in equal parts that halve evenly; the first gets what cannot be shared."""
    if parts == 0:
        return []
    share_ms = length_ms // parts // 2 * 2
    return [length_ms - share_ms * (parts - 1), *([share_ms] * (parts - 1))]
