"""A plan in plain sentences: what it is, who wrote it, what it asks, what may be given up."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.base.phrases import listed, number_of
from engine.base.units import format_duration, ms
from engine.movements.movement import (
    Kit,
    Movement,
    Sides,
    StartsWith,
    sides_of,
)
from engine.movements.tempo import parse_tempo
from engine.movements.words import KIT_WORDS
from engine.plan.allowances import allowances_of
from engine.plan.plan import (
    Allowance,
    Block,
    CoolDownBlock,
    Count,
    Dose,
    DoseUnit,
    GiveUp,
    PracticeBlock,
    PracticeForm,
    RoundsRange,
    SessionPlan,
    SideChangeMode,
    WarmUpBlock,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)

_BOUGHT = {
    GiveUp.extra_rounds: "rounds beyond the fewest",
    GiveUp.extra_warm_up: "warm-up rounds beyond the fewest",
}


def plan_sentences(plan: SessionPlan, lengths_ms: tuple[int, int] | None) -> Iterator[str]:
    """What is said of a plan before it is kept: title, author and note, each block, and the limits.

    ``lengths_ms`` is the shortest and the longest session as planned, None where there is none.
    """
    yield title(plan)
    if plan.note:
        yield plan.note
    known = plan.known_movements()
    for block in plan.blocks:
        yield f"{block_title(block)}: {', '.join(known[slug].name for slug in movements_named_in(block))}."
    if lengths_ms is not None:
        yield f"As planned it takes {' to '.join(map(format_duration, lengths_ms))}, by kit and rounds."
    yield given_up_sentence(plan)
    yield from plan.stop_rules


def title(plan: SessionPlan) -> str:
    return f"{plan.name}, by {plan.author}." if plan.author else f"{plan.name}."


def block_title(block: Block) -> str:
    """“Work, 3 to 6 rounds of 60 s work and 30 s rest”."""
    match block:
        case WarmUpBlock():
            return f"Warm-up, {range_words(block.rounds)}"
        case PracticeBlock():
            return f"Practice, {practice_words(block)}"
        case WorkBlock():
            between = "" if block.round_rest_s is None else f", {block.round_rest_s} s between rounds"
            clock = f"{block.work_s} s work and {block.rest_s} s rest{between}"
            return f"Work, {range_words(block.rounds)} of {clock}"
        case CoolDownBlock():
            return f"Cool-down, {format_duration(ms(block.duration_s))} in equal parts"


def range_words(rounds: RoundsRange) -> str:
    return (
        number_of(rounds.max, "round") if rounds.min == rounds.max else f"{rounds.min} to {rounds.max} rounds"
    )


def practice_words(block: PracticeBlock) -> str:
    """The coach's form of practice first."""
    timed = f"{block.timed.work_s} s each with {block.timed.rest_s} s between" if block.timed else ""
    counted = f"{dose_words(block.repetitions)} of each" if block.repetitions else ""
    both = (timed, counted) if block.usual is PracticeForm.timed else (counted, timed)
    return ", or ".join(filter(None, both))


def dose_words(dose: Dose) -> str:
    """A dose as a person says it: “8–10 a side”, “30 s”."""
    amount = str(dose.low) if dose.most == dose.low else f"{dose.low}–{dose.most}"
    unit = " s" if dose.unit is DoseUnit.seconds else ""
    ending = {Count.per_side: " a side", Count.alternating: " alternating", Count.total: ""}[dose.count]
    return f"{amount}{unit}{ending}"


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
    """With which kit a movement changes sides, and what changes; empty where it never does."""
    changing: dict[str, list[str]] = {}
    for kit in Kit:
        form = movement.form_for(kit)
        sides = Sides.none if form is None or form.kit is not kit else sides_of(form)
        if form is not None and sides is not Sides.none:
            what = form.changes or sides
            changing.setdefault(f"change {what}s", []).append(KIT_WORDS[kit])
    every = len([kit for kit in Kit if any(form.kit is kit for form in movement.forms)])
    return "; ".join(
        f"{words} halfway" if len(kits) == every else f"{words} halfway with {listed(kits)}"
        for words, kits in changing.items()
    )


def side_change_sentence(plan: SessionPlan) -> str:
    """Where the seconds of a change of sides come from."""
    change = plan.side_change
    where = {
        SideChangeMode.added: "the interval grows by them",
        SideChangeMode.inside: "the interval keeps its length",
        SideChangeMode.from_rest: "the rest after it is shorter by them",
    }[change.mode]
    return f"A change of sides takes {change.change_s} s; {where}. Both sides get the same time."


def given_up_sentence(plan: SessionPlan) -> str:
    """What may be given up when the minutes are short, first to last."""
    names = {block.id: number for number, block in enumerate(plan.blocks, 1)}
    gone = [_allowance_words(one, names) for one in allowances_of(plan)]
    if not gone:
        return "When time is short only rounds go, whole ones; everything else stays."
    below = "" if not plan.below_minimum else " Fewer rounds than the fewest are better than no session."
    return f"When time is short this goes, first to last: {'; '.join(gone)}.{below}"


def _allowance_words(allowance: Allowance, numbers: Mapping[str, int]) -> str:
    words = _BOUGHT.get(allowance.give_up) or SHORT_WORDS[allowance.give_up][1]
    lengths = f" ({', '.join(map(_length, allowance.to_s))})" if allowance.to_s else ""
    where = "" if allowance.block is None else f" in block {numbers[allowance.block]}"
    return f"{words}{lengths}{where}"


def _length(length_s: int) -> str:
    return format_duration(ms(length_s)) if length_s >= 60 else f"{length_s} s"


SHORT_WORDS = {
    GiveUp.cool_down: ("a longer cool-down", "a shorter cool-down"),
    GiveUp.hand_change: ("time to change hands", "changing hands within the interval"),
    GiveUp.leg_change: ("time to change legs or sides", "changing legs or sides within the interval"),
    GiveUp.optional_movements: ("an optional movement", "an optional movement less"),
    GiveUp.practice_form: ("the coach's form of practice", "the other form of practice"),
    GiveUp.practice: ("practice", "no practice"),
    GiveUp.rest: ("more rest", "less rest"),
    GiveUp.work: ("longer work intervals", "shorter work intervals"),
}
"""What a lever gives back when it is spent less, and what it takes when it is spent further."""
