"""Why a fitted session is not as planned: what was given up for time, and what stands in for a movement."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from enum import StrEnum
from itertools import islice
from typing import NamedTuple

from engine.base.message import MOST_LISTED, Argument, Count, Listed, Message, Seconds, listed, message
from engine.base.model import Model
from engine.base.units import seconds
from engine.fit.levers import Lever
from engine.movements.limits import Limit
from engine.movements.movement import (
    PATTERNS_THAT_WORK,
    Joint,
    JointPoint,
    Kit,
    Movement,
    Side,
    Sides,
    trains_pattern_of,
)
from engine.movements.own_choice import AFTER_PAIN, Occasion
from engine.movements.room import Room
from engine.movements.substitutes import Candidate
from engine.movements.terms import every_term, joint_term, kit_term, limit_term, movement_term, variant_term
from engine.plan.plan import GiveUp, PracticeKind, SessionPlan, movements_named_in
from engine.plan.terms import CUTS
from engine.session.block_parts import kept_movements, optional_name
from engine.session.choices import Choices, ChosenByBlock
from engine.session.interval import work_interval
from engine.session.reason import FOR_TODAY
from engine.session.terms import chosen_term


def lever_message(lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock) -> Message:
    """What a spent lever means to the trainee."""
    match lever.code:
        case GiveUp.cool_down:
            return message("cool_down", to=_lengths(choices.cool_down_s, lever))
        case GiveUp.hand_change:
            whole, side = _inside(lever, choices, plan, movements)
            return message("hand_change", whole=whole, side=side)
        case GiveUp.leg_change:
            whole, side = _inside(lever, choices, plan, movements)
            return message("leg_change", whole=whole, side=side)
        case GiveUp.optional_movements:
            return message("optional_movements", movements=_dropped(lever, choices, plan, movements))
        case GiveUp.practice_kind:
            return message("practice_kind", kind=_kinds_of_practice(choices, lever))
        case GiveUp.practice:
            return message("practice")
        case GiveUp.rest:
            return message("rest", to=_lengths(choices.rest_s, lever))
        case GiveUp.work:
            return message("work", to=_lengths(choices.work_s, lever))
    raise ValueError(f"{lever.code} is bought, not spent.")


def block_number(plan: SessionPlan, block: str) -> int:
    """Which block of the plan it is, counted from 1."""
    return 1 + [one.id for one in plan.blocks].index(block)


def _lengths(by_block: Mapping[str, int], lever: Lever) -> Listed:
    """The different lengths that the lever's blocks were brought down to."""
    lengths_s = {length_s for block, length_s in by_block.items() if lever.block in (None, block)}
    return listed(Seconds(seconds=length_s) for length_s in sorted(lengths_s))


def _inside(
    lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock
) -> tuple[Listed, Listed]:
    """The different lengths of the intervals in which sides are changed, and what each leaves a side."""
    of = Sides.hand if lever.code is GiveUp.hand_change else Sides.leg
    everything = choices.model_copy(update={"without_optional": ()})
    lengths_ms: dict[int, int] = {}
    for block in (block for block in plan.work_blocks() if block.id in lever.blocks):
        for one in kept_movements(block, everything, movements[block.id]):
            if one.chosen.sides is of:
                interval = work_interval(plan, block, one.written, one.chosen, choices)
                lengths_ms[interval.work_ms + interval.change_ms] = interval.work_ms // 2
    shown = sorted(lengths_ms.items())[:MOST_LISTED]
    whole, side = ([Seconds(seconds=seconds(ms)) for ms in lengths] for lengths in zip(*shown, strict=True))
    return listed(whole), listed(side)


def _dropped(lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock) -> Listed:
    """The optional movements that were given up, by their place where the round keeps the movement."""
    names: list[Argument] = []
    for block in plan.work_blocks():
        slugs = movements_named_in(block)
        gone = [
            place
            for place in range(1, len(slugs) + 1)
            if block.id in lever.blocks and optional_name(block, place) in choices.without_optional
            if slugs[place - 1] in movements[block.id]
        ]
        for place in gone:
            slug = slugs[place - 1]
            name = chosen_term(movements[block.id][slug])
            all_gone = slugs.count(slug) == sum(slugs[other - 1] == slug for other in gone)
            at = Count(count=place)
            names.append(name if all_gone else message("movement_at_place", movement=name, place=at))
    return listed(islice(dict.fromkeys(names), MOST_LISTED))


def _kinds_of_practice(choices: Choices, lever: Lever) -> Listed:
    variants = {variant for block, variant in choices.practice.items() if block in lever.blocks}
    return listed(said for variant, said in _PRACTICE.items() if variant in variants)


_PRACTICE = {
    PracticeKind.timed: message("practice_timed"),
    PracticeKind.repetitions: message("practice_repetitions"),
}


def gained(lever: Lever, plan: SessionPlan) -> Message:
    """What a session gains when less of a lever is spent."""
    return _in_its_block(_GAINED[lever.code], lever, plan)


def lost(lever: Lever, plan: SessionPlan) -> Message:
    """What a session loses when more of a lever is spent."""
    return _in_its_block(CUTS[lever.code], lever, plan)


def _in_its_block(part: Message, lever: Lever, plan: SessionPlan) -> Message:
    return part if lever.block is None else part_in_block(part, plan, lever.block)


def part_in_block(part: Message, plan: SessionPlan, block: str) -> Message:
    return message("part_in_block", part=part, block=Count(count=block_number(plan, block)))


_GAINED = {
    GiveUp.cool_down: message("longer_cool_down"),
    GiveUp.hand_change: message("time_to_change_hands"),
    GiveUp.leg_change: message("time_to_change_sides"),
    GiveUp.optional_movements: message("more_optional_movements"),
    GiveUp.practice_kind: message("coachs_practice"),
    GiveUp.practice: message("with_practice"),
    GiveUp.rest: message("more_rest"),
    GiveUp.work: message("longer_work"),
}


class SwapCode(StrEnum):
    """What became of a movement that is not done as planned, or for which the coach wanted another one."""

    swapped = "swapped"
    other_version = "other_version"
    left_out = "left_out"
    own_choice = "own_choice"
    """The coach's own choice stands in."""
    own_choice_not_used = "own_choice_not_used"
    """The coach's own choice cannot be used today."""


class Telling(Model):
    """What a person is told, and what others may read in its place: no limit of the day, which would hint at
    the reason for it."""

    told: Message
    sent: Message


class Swap(Model):
    """A change of what the plan names, and why: what became of the movement first, then what could not be
    used of the coach's own choices.

    ``replacement`` is another movement, the same one where only its variant changed or the coach's own choice
    could not be used, or None where it is left out. ``not_used`` is the first such choice.
    """

    block: str
    movement: str
    replacement: str | None
    not_used: str | None = None
    said: tuple[Telling, ...]

    @property
    def code(self) -> SwapCode:
        return SwapCode(self.said[0].told.code)


def open_telling(told: Message) -> Telling:
    """What anybody may read."""
    return Telling(told=told, sent=told)


class WhySwapped(NamedTuple):
    """What the person lacks or spares, so that a movement cannot be done as planned.

    ``one_sided`` are the joints that the movement works on one side at a time: a sore side then spares both.
    ``comes_already`` says that the round has the same movement under another name.
    """

    lacking: tuple[Message, ...]
    sore: tuple[JointPoint, ...]
    one_sided: Collection[Joint]
    after_pain: bool
    limits: Collection[Limit]
    comes_already: bool = False


def swap_message(planned: Movement, stand_in: Candidate | None, why: WhySwapped) -> Message:
    """What stands in for a movement, or that it is left out, and why."""
    because = listed([*_because(why), *_spared(planned, stand_in, why)] or [FOR_TODAY])
    if stand_in is None:
        return message("left_out", planned=movement_term(planned), why=because)
    if stand_in.movement.slug == planned.slug:
        return message("other_version", version=_in_version(stand_in), why=because)
    return message("swapped", replacement=_in_version(stand_in), planned=movement_term(planned), why=because)


def left_out_message(movement: Argument) -> Message:
    """That a movement is left out because the coach asks for it."""
    return message("left_out", planned=movement, why=listed([message("as_coach_asks")]))


def own_choice_message(planned: Movement, stand_in: Candidate, when: Occasion, room: Room) -> Message:
    """That the coach's own choice stands in, and on which occasion."""
    sore = [joint_term((one.joint, one.side)) for one in room.sore if one.joint is when.joint]
    why = message("spares", joints=listed(sore)) if sore else kit_term(room.kit)
    return message(
        "own_choice", replacement=_in_version(stand_in), planned=movement_term(planned), why=listed([why])
    )


def not_used_message(planned: Movement, own: Movement, hindrance: Iterable[Message]) -> Message:
    """That the coach's own choice cannot be used today, and why."""
    return message(
        "own_choice_not_used",
        own=movement_term(own),
        planned=movement_term(planned),
        why=listed(hindrance),
    )


def _in_version(stand_in: Candidate) -> Argument:
    """The movement, and its version where it has several."""
    movement, variant = stand_in.movement, stand_in.variant
    name = movement_term(movement)
    if len(movement.variants) == 1:
        return name
    if [variant] == [one for one in movement.variants if one.kit is Kit.none]:
        return message("with_empty_hands", movement=name)
    return message("in_version", movement=name, version=variant_term(movement, variant))


def _because(why: WhySwapped) -> Iterator[Message]:
    if why.after_pain:
        yield AFTER_PAIN
    yield from map(limit_term, why.limits)
    if why.comes_already:
        yield message("under_another_name")
    yield from why.lacking


def _spared(planned: Movement, stand_in: Candidate | None, why: WhySwapped) -> Iterator[Message]:
    """The joints that are spared, and where nothing of the same pattern stands in, that all of it works
    them."""
    other_pattern = stand_in is None or not trains_pattern_of(stand_in.movement, planned)
    worked = [
        (joint, side)
        for joint, side in why.sore
        if other_pattern and planned.pattern in PATTERNS_THAT_WORK.get(joint, ())
    ]
    spared = [point for point in why.sore if point not in worked]
    if spared:
        yield message("spares", joints=listed(map(joint_term, spared)))
    if worked:
        every = every_term(planned.pattern)
        yield message("every_one_works", every=every, joints=listed(map(joint_term, worked)))
    if any(joint in why.one_sided and side in (Side.left, Side.right) for joint, side in why.sore):
        yield message("sides_stay_equal")
