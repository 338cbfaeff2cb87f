"""Words for the parts of a plan: kinds of block, rounds, amounts, tempos, sides, and what may be given up."""

from __future__ import annotations

from collections.abc import Mapping

from engine.base.message import Message, message
from engine.base.phrases import listed, number_of
from engine.base.units import format_duration, format_load, ms
from engine.movements.movement import Kit, Movement, Sides, StartsWith, sides_of
from engine.movements.own_choice import Occasion
from engine.movements.tempo import parse_tempo
from engine.movements.terms import joint_term, kit_term
from engine.movements.words import KIT_WORDS, joint_word
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


BLOCK_KIND_WORDS: Mapping[str, str] = {
    "warm_up": "Warm-up",
    "practice": "Practice",
    "work": "Work",
    "cool_down": "Cool-down",
}

LOST_WORDS = {
    GiveUp.cool_down: "a shorter cool-down",
    GiveUp.hand_change: "changing hands within the interval",
    GiveUp.leg_change: "changing legs or sides within the interval",
    GiveUp.optional_movements: "an optional movement less",
    GiveUp.practice_kind: "the other kind of practice",
    GiveUp.practice: "no practice",
    GiveUp.rest: "less rest",
    GiveUp.work: "shorter work intervals",
    GiveUp.extra_rounds: "rounds beyond the fewest",
    GiveUp.extra_warm_up: "warm-up rounds beyond the fewest",
}
"""What a session loses when more of a thing is given up."""


def range_words(rounds: RoundsRange) -> str:
    """“3 rounds”, “3 to 6 rounds”."""
    if rounds.min == rounds.max:
        return number_of(rounds.max, "round")
    return f"{rounds.min} to {rounds.max} rounds"


def length_words(length_s: int) -> str:
    """“45 s”, and from one minute on “1:30”."""
    return format_duration(ms(length_s)) if length_s >= 60 else f"{length_s} s"


def practice_words(block: PracticeBlock) -> str:
    """“30 s each with 15 s between, or 5 of each”: the kind that the coach prefers first."""
    timed = f"{block.timed.work_s} s each with {block.timed.rest_s} s between" if block.timed else ""
    counted = f"{amount_words(block.repetitions)} of each" if block.repetitions else ""
    both = (timed, counted) if block.usual is PracticeKind.timed else (counted, timed)
    return ", or ".join(filter(None, both))


def amount_words(amount: Amount) -> str:
    """An amount as a person says it: “8–10 a side”, “30 s”."""
    number = str(amount.low) if amount.most == amount.low else f"{amount.low}–{amount.most}"
    unit = " s" if amount.unit is AmountUnit.seconds else ""
    ending = {AmountCount.per_side: " a side", AmountCount.alternating: " alternating", AmountCount.total: ""}
    return f"{number}{unit}{ending[amount.count]}"


def occasion_words(when: Occasion) -> str:
    """“no dumbbells”, “a sore knee”."""
    return f"a sore {joint_word(when.joint)}" if when.joint else KIT_WORDS[when.kit or Kit.none]


def substitutes_words(item: WarmUpItem | WorkMovement, known: Mapping[str, Movement]) -> str:
    """“with no dumbbells: Squat; with a sore knee: Glute bridge”; empty where the coach names none."""
    named = (
        f"with {occasion_words(one.when)}: {known[one.movement].name}"
        for one in item.substitutes
        if one.movement in known
    )
    return "; ".join(named)


def starting_words(item: WorkMovement) -> str:
    """“one of 12 kg or two of 8 kg”; empty where the coach names no load to start with."""
    loads = (
        f"one of {format_load(item.starting_g)}" if item.starting_g else "",
        f"two of {format_load(item.starting_pair_g)}" if item.starting_pair_g else "",
    )
    return " or ".join(filter(None, loads))


def tempo_words(item: WorkMovement, movement: Movement) -> str:
    """“3 s down, 1 s at the bottom, 1 s up”; a hold has no tempo."""
    if movement.starts_with is StartsWith.hold:
        return "hold"
    tempo = parse_tempo(item.tempo)
    up = "up fast" if tempo.lifting_s is None else f"{tempo.lifting_s} s up" if tempo.lifting_s else ""
    parts = (
        f"{tempo.lowering_s} s down",
        f"{tempo.bottom_s} s at the bottom" if tempo.bottom_s else "",
        up,
        f"{tempo.top_s} s at the top" if tempo.top_s else "",
    )
    return ", ".join(filter(None, parts))


def sides_words(movement: Movement) -> str:
    """What a movement changes halfway, and with which kit: “change hands halfway with one dumbbell”.

    Empty where it never changes sides.
    """
    changing: dict[str, list[str]] = {}
    for kit in Kit:
        variant = movement.variant_for(kit)
        sides = Sides.none if variant is None or variant.kit is not kit else sides_of(variant)
        if variant is not None and sides is not Sides.none:
            what = variant.changes or sides
            changing.setdefault(f"change {what}s", []).append(KIT_WORDS[kit])
    every = len([kit for kit in Kit if any(variant.kit is kit for variant in movement.variants)])
    return "; ".join(
        f"{words} halfway" if len(kits) == every else f"{words} halfway with {listed(kits)}"
        for words, kits in changing.items()
    )
