"""The parts of a plan as arguments of messages: blocks, rounds, amounts, tempos, sides, and what is cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.base.message import Argument, Count, Listed, Message, Seconds, Weight, listed, message
from engine.movements.movement import Changing, Kit, Movement, Sides, StartsWith, sides_of
from engine.movements.own_choice import Occasion
from engine.movements.tempo import parse_tempo
from engine.movements.terms import joint_term, kit_term, movement_term
from engine.plan.plan import (
    Amount,
    AmountCount,
    AmountUnit,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    RoundsRange,
    WarmUpItem,
    WorkMovement,
)

CUTS = {
    GiveUp.cool_down: message("shorter_cool_down"),
    GiveUp.hand_change: message("hands_changed_inside"),
    GiveUp.leg_change: message("sides_changed_inside"),
    GiveUp.optional_movements: message("fewer_optional_movements"),
    GiveUp.practice_kind: message("other_practice"),
    GiveUp.practice: message("without_practice"),
    GiveUp.rest: message("less_rest"),
    GiveUp.work: message("shorter_work"),
    GiveUp.extra_rounds: message("fewer_rounds"),
    GiveUp.extra_warm_up: message("fewer_warm_up_rounds"),
}
"""What a session loses when more of a thing is given up."""


def occasion_term(when: Occasion) -> Message:
    """When the coach wants a substitute: with a kit, or while a joint hurts."""
    if when.joint is None:
        return kit_term(when.kit or Kit.none)
    return message("joint_hurts", joint=joint_term((when.joint, None)))


def rounds_term(rounds: RoundsRange) -> Message:
    """“3 rounds”, “3 to 6 rounds”."""
    most = Count(count=rounds.max)
    if rounds.min == rounds.max:
        return message("so_many_rounds", rounds=most)
    return message("rounds_from_to", fewest=Count(count=rounds.min), most=most)


def practice_term(block: PracticeBlock) -> Message:
    """“30 s each with 15 s between, or 5 of each”: the kind that the coach prefers first."""
    said = []
    if block.timed is not None:
        work, rest = Seconds(seconds=block.timed.work_s), Seconds(seconds=block.timed.rest_s)
        said.append(message("practice_of_seconds", work=work, rest=rest))
    if block.repetitions is not None:
        said.append(message("practice_of_amount", amount=amount_term(block.repetitions)))
    if block.usual is not PracticeKind.timed:
        said.reverse()
    return message("one_or_other", one=said[0], other=said[1]) if len(said) > 1 else said[0]


def amount_term(amount: Amount) -> Message:
    """An amount as a person says it: “8–10 a side”, “30 s”."""
    low, high = Count(count=amount.low), Count(count=amount.most)
    number: Argument = low if low == high else message("low_to_high", low=low, high=high)
    match amount.unit, amount.count:
        case AmountUnit.seconds, AmountCount.per_side:
            return message("seconds_a_side", number=number)
        case AmountUnit.seconds, AmountCount.alternating:
            return message("seconds_alternating", number=number)
        case AmountUnit.seconds, _:
            return message("seconds_held", number=number)
        case _, AmountCount.per_side:
            return message("times_a_side", number=number)
        case _, AmountCount.alternating:
            return message("times_alternating", number=number)
    return message("times", number=number)


def substitutes_term(item: WarmUpItem | WorkMovement, known: Mapping[str, Movement]) -> Listed | None:
    """“Squat (no dumbbells) and Glute bridge (pain: knee)”; None where the coach names none."""
    named = [
        message("on_occasion", movement=movement_term(known[one.movement]), occasion=occasion_term(one.when))
        for one in item.substitutes
        if one.movement in known
    ]
    return listed(named) if named else None


def starting_term(item: WorkMovement) -> Message | None:
    """“one of 12 kg or two of 8 kg”; None where the coach names no load to start with."""
    said = []
    if item.starting_g:
        said.append(message("one_of", load=Weight(grams=item.starting_g)))
    if item.starting_pair_g:
        said.append(message("two_of", load=Weight(grams=item.starting_pair_g)))
    if len(said) > 1:
        return message("one_or_other", one=said[0], other=said[1])
    return said[0] if said else None


def tempo_terms(item: WorkMovement, movement: Movement) -> Iterator[Message]:
    """“3 s down”, “1 s at the bottom”, “1 s up”; a hold has no tempo."""
    if movement.starts_with is StartsWith.hold:
        yield message("tempo_hold")
        return
    tempo = parse_tempo(item.tempo)
    yield message("tempo_down", length=Seconds(seconds=tempo.lowering_s))
    if tempo.bottom_s:
        yield message("tempo_at_the_bottom", length=Seconds(seconds=tempo.bottom_s))
    if tempo.lifting_s is None:
        yield message("tempo_up_fast")
    elif tempo.lifting_s:
        yield message("tempo_up", length=Seconds(seconds=tempo.lifting_s))
    if tempo.top_s:
        yield message("tempo_at_the_top", length=Seconds(seconds=tempo.top_s))


_HALFWAY = {
    Changing.hand: message("change_hands_halfway"),
    Changing.leg: message("change_legs_halfway"),
    Changing.side: message("change_sides_halfway"),
}


def side_changes(movement: Movement) -> Iterator[Message]:
    """What a movement changes halfway, and with which kit: “change hands halfway: one dumbbell”.

    Nothing where it never changes sides.
    """
    changing: dict[Changing, list[Message]] = {}
    for kit in Kit:
        variant = movement.variant_for(kit)
        sides = Sides.none if variant is None or variant.kit is not kit else sides_of(variant)
        if variant is not None and sides is not Sides.none:
            changing.setdefault(variant.changes or Changing(sides), []).append(kit_term(kit))
    every = len([kit for kit in Kit if any(variant.kit is kit for variant in movement.variants)])
    for what, kits in changing.items():
        halfway = _HALFWAY[what]
        yield halfway if len(kits) == every else message("only_with", what=halfway, kits=listed(kits))
