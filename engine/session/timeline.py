"""From a plan and the choices made for one person to segments in integer milliseconds.

Segments follow each other without gaps; each is ``[start, end)`` and the start is the sum of what lies
before. A self-paced length is an estimate: as stated, or by the person's own pace where that is known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from engine.base.units import MS_PER_S, ms
from engine.movements.movement import Side, Sides
from engine.movements.tempo import parse_tempo
from engine.plan.floors import shortest_rest_s
from engine.plan.plan import (
    Block,
    CoolDownBlock,
    Dose,
    DoseCount,
    DoseUnit,
    PracticeBlock,
    PracticeForm,
    SessionPlan,
    SideChangeMode,
    TimedPractice,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
)
from engine.session.pace import item_key
from engine.session.segment import Choices, Chosen, Kind, Pace, Segment, both_sides, segment_id

Movements = Mapping[str, Mapping[str, Chosen]]
"""Who does what: block id → the plan's slug → the movement as chosen; a missing one is left out."""

LEAD_IN_S = 10
"""Before the first clocked interval of a block, within the change of block. † Our judgement, no source."""
STAND_TO_STAND_S = 5
HAND_CHANGE_S = 5
LEG_CHANGE_S = 10
"""Getting from one thing to the next. † Our judgement, no source."""
UNPACED_REPETITION_S = 3
"""An unloaded warm-up repetition. † Our judgement, no source."""


def joined(plan: SessionPlan, blocks: Iterable[tuple[Segment, ...]]) -> tuple[Segment, ...]:
    """Blocks with the ways between them; one without segments is not there."""
    whole: list[Segment] = []
    for segments in filter(None, blocks):
        whole.extend(_way_into(plan, segments, first=not whole))
        whole.extend(segments)
    return tuple(whole)


def block_segments(
    plan: SessionPlan, block: Block, choices: Choices, movements: Movements
) -> tuple[Segment, ...]:
    """One block without the way into it."""
    return tuple(_segment(part) for part in _parts(plan, block, choices, movements))


class BlockLength(NamedTuple):
    """How long a block is with one round, how much each round more adds, and whether it starts on the
    clock."""

    once_ms: int
    again_ms: int
    clocked: bool


def block_length(
    plan: SessionPlan, block: Block, choices: Choices, movements: Movements
) -> BlockLength | None:
    """The length of a block whatever its rounds; None where nothing of it is left.

    ``choices`` give two rounds to every block that has any: the first is a round that another follows, the
    second a round that ends the block.
    """
    lengths, clocked = {1: 0, 2: 0}, None
    for part in _parts(plan, block, choices, movements):
        lengths[part.round or 2] += part.planned_ms
        clocked = part.pace is Pace.clock if clocked is None else clocked
    return None if clocked is None else BlockLength(lengths[2], lengths[1], clocked)


class Part(NamedTuple):
    """What a segment is made of; as light as can be, since the fit reckons with a great many."""

    block: str
    kind: Kind
    planned_ms: int
    chosen: Chosen | None
    side: Side | None = None
    round: int | None = None
    pace: Pace = Pace.clock


def _parts(plan: SessionPlan, block: Block, choices: Choices, movements: Movements) -> Iterator[Part]:
    match block:
        case WarmUpBlock():
            return _warm_up(block, choices, movements[block.id])
        case PracticeBlock():
            return _practice(plan, block, choices, movements)
        case WorkBlock():
            return _work(plan, block, choices, movements[block.id])
        case CoolDownBlock():
            return _cool_down(block, choices, movements[block.id])


def _way_into(plan: SessionPlan, segments: tuple[Segment, ...], *, first: bool) -> Iterator[Segment]:
    """The change of block; its last seconds are the lead-in where the block starts on the clock."""
    clocked = segments[0].pace is Pace.clock
    change_ms = 0 if first else ms(plan.transition_s)
    lead_in_ms = ms(LEAD_IN_S) if first else min(ms(LEAD_IN_S), change_ms)
    lead_in_ms = lead_in_ms if clocked else 0
    block, head = segments[0].block, segments[0]
    if change_ms > lead_in_ms:
        yield _segment(Part(block, Kind.transition, change_ms - lead_in_ms, None))
    if lead_in_ms:
        yield head.model_copy(
            update={
                "id": f"{block}:get-ready",
                "kind": Kind.get_ready,
                "planned_ms": lead_in_ms,
                "round": None,
            }
        )


def _warm_up(block: WarmUpBlock, choices: Choices, movements: Mapping[str, Chosen]) -> Iterator[Part]:
    items = [item for item in block.items if item.movement in movements]
    for number in range(1, choices.rounds[block.id] + 1):
        for item in items:
            chosen = movements[item.movement]
            sides: tuple[Side | None, ...] = (None,)
            if item.dose.unit is DoseUnit.seconds and item.dose.count is DoseCount.per_side:
                sides = both_sides(choices.first_side)
            length_ms = warm_up_item_ms(item, chosen, choices)
            for part_ms, side in zip(_shares(length_ms, len(sides)), sides, strict=True):
                yield Part(block.id, Kind.warm_up, part_ms, chosen, pace=Pace.self, side=side, round=number)


def warm_up_item_ms(item: WarmUpItem, chosen: Chosen, choices: Choices) -> int:
    """The estimated length of one item of the warm-up, getting there included, to an even millisecond."""
    if item.estimate_s is not None:
        stated_ms = ms(item.estimate_s)
    else:
        stated_ms = dose_ms(item.dose, UNPACED_REPETITION_S * MS_PER_S) + _getting_there_ms(chosen, choices)
    return choices.pace.length_ms(item_key(chosen.movement, item.dose), stated_ms)


def dose_ms(dose: Dose, repetition_ms: int) -> int:
    """The length of a dose at its middle, both sides included."""
    middle = (dose.low + dose.most) * (2 if dose.count is DoseCount.per_side else 1)
    unit_ms = MS_PER_S if dose.unit is DoseUnit.seconds else repetition_ms
    return middle * unit_ms // 2


def _getting_there_ms(chosen: Chosen, choices: Choices) -> int:
    return ms(choices.to_floor_s if chosen.on_floor else STAND_TO_STAND_S)


def _practice(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: Movements
) -> Iterator[Part]:
    form = choices.practice.get(block.id, block.usual)
    practised = [movements[block.id][slug] for slug in practised_slugs(plan, block, choices, movements)]
    if form is PracticeForm.timed and block.timed is not None:
        yield from _timed_practice(block.id, block.timed, practised, choices)
    elif form is PracticeForm.repetitions and block.repetitions is not None:
        yield from _practice_by_repetitions(plan, block, block.repetitions, practised, choices)


def practised_slugs(
    plan: SessionPlan, block: PracticeBlock, choices: Choices, movements: Movements
) -> list[str]:
    """What is practised: nobody practises an optional movement that every work block has given up.

    Behind what the plan names stand the stand-ins of movements that are on hold and only tried.
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
        yield from _interval(
            block, Kind.practice, chosen, _inside(ms(timed.work_s), chosen), choices.first_side
        )
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
            repetitions_ms(dose, chosen, tempos.get(chosen.instead_of or chosen.movement), choices)
            for chosen in practised
        ]
    for chosen, stated_ms in zip(practised, lengths, strict=True):
        length_ms = choices.pace.length_ms(item_key(chosen.movement, dose), stated_ms)
        yield Part(block.id, Kind.practice, length_ms, chosen, pace=Pace.self)


def repetitions_ms(dose: Dose, chosen: Chosen, tempo: str | None, choices: Choices) -> int:
    """The estimated length of a practice by repetitions: each side, the change between, and getting there."""
    paced_ms = parse_tempo(tempo).repetition_ms if tempo is not None else None
    one_side_ms = (dose.low + dose.most) * (paced_ms or UNPACED_REPETITION_S * MS_PER_S) // 2
    if chosen.sides is Sides.none:
        return one_side_ms + _getting_there_ms(chosen, choices)
    return 2 * one_side_ms + quick_change_ms(chosen) + _getting_there_ms(chosen, choices)


@dataclass(frozen=True)
class Interval:
    """How a work interval is spent: work in all, and the change of sides in its middle (0 where there is
    none)."""

    work_ms: int
    change_ms: int
    from_rest_ms: int = 0


def quick_change_ms(chosen: Chosen) -> int:
    """The shortest change of sides, in milliseconds."""
    return ms(HAND_CHANGE_S if chosen.sides is Sides.hand else LEG_CHANGE_S)


def _inside(length_ms: int, chosen: Chosen) -> Interval:
    """The change taken out of the middle, so that both sides get the same."""
    if chosen.sides is Sides.none:
        return Interval(length_ms, 0)
    change_ms = quick_change_ms(chosen)
    return Interval(length_ms - change_ms, change_ms)


def work_interval(length_ms: int, chosen: Chosen, plan: SessionPlan, *, given_up: bool) -> Interval:
    """The work interval of a movement under the plan's mode of side change, or with the change given up."""
    if chosen.sides is Sides.none:
        return Interval(length_ms, 0)
    mode = plan.side_change.mode
    if given_up or mode is SideChangeMode.inside:
        return _inside(length_ms, chosen)
    change_ms = ms(plan.side_change.change_s)
    return Interval(length_ms, change_ms, from_rest_ms=change_ms if mode is SideChangeMode.from_rest else 0)


def _interval(
    block: str, kind: Kind, chosen: Chosen, interval: Interval, first_side: Side, number: int | None = None
) -> Iterator[Part]:
    """Work on both sides at once, or one side, the change, and the other for exactly as long."""
    if not interval.change_ms:
        yield Part(block, kind, interval.work_ms, chosen, side=Side.both, round=number)
        return
    one, other = both_sides(first_side)
    yield Part(block, kind, interval.work_ms // 2, chosen, side=one, round=number)
    yield Part(block, Kind.side_change, interval.change_ms, chosen, side=other, round=number)
    yield Part(block, kind, interval.work_ms // 2, chosen, side=other, round=number)


def optional_name(block: WorkBlock, item: WorkMovement) -> str:
    """The name under which the choices hold an optional movement that was given up."""
    return f"{block.id}:{item.movement}"


def kept_movements(
    block: WorkBlock, choices: Choices, movements: Mapping[str, Chosen]
) -> list[tuple[WorkMovement, Chosen]]:
    """What a round holds after optional movements were given up and impossible ones left out."""
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
            inside = choices.hand_inside if chosen.sides is Sides.hand else choices.leg_inside
            length_ms = work_length_ms(block, item, choices)
            interval = work_interval(length_ms, chosen, plan, given_up=block.id in inside)
            yield from _interval(block.id, Kind.work, chosen, interval, choices.first_side, number)
            last_of_round = index == len(kept) - 1
            if last_of_round and number == rounds:
                return
            following = kept[(index + 1) % len(kept)][1]
            floor_s = _floor_s(chosen, following)
            planned_ms = _rest_ms(block, choices, floor_s, last_of_round=last_of_round)
            left_ms = max(planned_ms - interval.from_rest_ms, min(planned_ms, ms(floor_s)))
            yield Part(block.id, Kind.rest, left_ms, following, round=number)


def work_length_ms(block: WorkBlock, item: WorkMovement, choices: Choices) -> int:
    """The work interval of a movement after the fit; one already shorter keeps its length."""
    planned_s = item.work_s or block.work_s
    return ms(min(planned_s, choices.work_s.get(block.id, planned_s)))


def _floor_s(chosen: Chosen, following: Chosen) -> int:
    """The rest that has to be left between two movements. Of the loads it is known here how many weights are
    in the hands."""
    return shortest_rest_s(following.on_floor, other_load=chosen.dumbbells != following.dumbbells)


def _rest_ms(block: WorkBlock, choices: Choices, floor_s: int, *, last_of_round: bool) -> int:
    """The rest after a movement: as planned or as brought down, never below its floor."""
    planned_s = block.rest_s
    if last_of_round and block.round_rest_s is not None:
        planned_s = block.round_rest_s
    elif block.id in choices.rest_s:
        planned_s = min(planned_s, max(choices.rest_s[block.id], floor_s))
    return ms(planned_s)


def _cool_down(block: CoolDownBlock, choices: Choices, movements: Mapping[str, Chosen]) -> Iterator[Part]:
    kept = [movements[slug] for slug in block.movements if slug in movements]
    length_ms = ms(choices.cool_down_s.get(block.id, block.duration_s))
    for chosen, share_ms in zip(kept, _shares(length_ms, len(kept)), strict=True):
        sides = (Side.both,) if chosen.sides is Sides.none else both_sides(choices.first_side)
        for side in sides:
            yield Part(block.id, Kind.cool_down, share_ms // len(sides), chosen, side=side)


def _shares(length_ms: int, parts: int) -> list[int]:
    """A length in parts that add up and halve evenly; what cannot be shared goes to the first."""
    if parts == 0:
        return []
    share_ms = length_ms // parts // 2 * 2
    return [length_ms - share_ms * (parts - 1), *([share_ms] * (parts - 1))]


def _segment(part: Part) -> Segment:
    chosen = part.chosen
    movement = chosen.movement if chosen else None
    return Segment(
        id=segment_id(part.block, part.round, movement, part.side, part.kind),
        block=part.block,
        round=part.round,
        movement=movement,
        form=chosen.form if chosen else None,
        side=part.side,
        kind=part.kind,
        pace=part.pace,
        planned_ms=part.planned_ms,
    )
