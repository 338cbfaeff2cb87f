"""The sentences in which a fit explains itself. Plain words, no sum left to the reader."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from engine.movement import PATTERNS_THAT_WORK, Equipment, Form, Joint, Movement, Side
from engine.plan import GiveUp, PracticeForm
from engine.segment import Choices
from engine.units import format_duration, ms


def lever_sentence(code: str, choices: Choices, *, block: str | None = None) -> str:
    """What a spent lever means to the trainee; ``block`` where it holds for that block alone."""
    sentence = _lever_sentence(GiveUp(code), choices, block)
    return sentence if block is None else f"In “{block}”: {sentence[:1].lower()}{sentence[1:]}"


def _lever_sentence(give_up: GiveUp, choices: Choices, block: str | None) -> str:
    match give_up:
        case GiveUp.cool_down:
            return f"The cool-down lasts {_lengths(choices.cool_down_s, block)}."
        case GiveUp.hand_change:
            return "The change of hands comes out of the work interval; both sides stay equal."
        case GiveUp.leg_change:
            return "The change of legs comes out of the work interval; both sides stay equal."
        case GiveUp.optional_movements:
            return "The optional movement is left out."
        case GiveUp.practice_form:
            form = next(form for form in choices.practice.values())
            return f"Practice is {'by the clock' if form is PracticeForm.timed else 'by repetitions'}."
        case GiveUp.practice:
            return "Practice is skipped."
        case GiveUp.rest:
            return f"The rest is brought down to {_lengths(choices.rest_s, block)}."
        case GiveUp.work:
            return f"The work interval is brought down to {_lengths(choices.work_s, block)}."


def _lengths(by_block: Mapping[str, int], block: str | None) -> str:
    all_s = by_block.values() if block is None else (by_block[block],)
    return " and ".join(format_duration(ms(s)) if s >= 60 else f"{s} s" for s in sorted(set(all_s)))


def rounds_words(rounds: int) -> str:
    return "1 round" if rounds == 1 else f"{rounds} rounds"


EQUIPMENT_WORDS = {
    Equipment.wall: "a wall",
    Equipment.floor: "room on the floor",
    Equipment.chair: "a chair",
    Equipment.bench: "a bench",
    Equipment.table: "a table",
    Equipment.step: "a step",
    Equipment.towel: "a towel",
    Equipment.band: "a band",
}


def swap_sentence(
    planned: Movement,
    stand_in: tuple[Movement, Form] | None,
    *,
    lacking: Sequence[str],
    sore: Sequence[tuple[Joint, Side | None]],
    one_sided: bool,
) -> str:
    """What stands in for a movement, or that it is left out, and why.

    ``one_sided`` where the movement as planned works one side at a time: a sore side then spares both.
    """
    why = [f"for want of {and_so_on(lacking)}"] if lacking else []
    joints = [" ".join(filter(None, (side, joint.replace("_", " ")))) for joint, side in sore]
    if joints:
        why.append(f"to spare the {and_so_on(joints)}")
    stay_equal = one_sided and any(side in (Side.left, Side.right) for _, side in sore)
    both = "; the other side is spared too, so that both stay equal" if stay_equal else ""
    moved = [
        f"; every {planned.pattern.replace('_', ' ')} works the {joint.replace('_', ' ')}"
        for joint, _ in sore
        if planned.pattern in PATTERNS_THAT_WORK.get(joint, ())
        and (stand_in is None or stand_in[0].pattern is not planned.pattern)
    ]
    return f"{_stand_in_words(planned, stand_in)}, {' and '.join(why)}{both}{''.join(moved)}."


def _stand_in_words(planned: Movement, stand_in: tuple[Movement, Form] | None) -> str:
    if stand_in is None:
        return f"{planned.name} left out"
    movement, form = stand_in
    if movement.slug == planned.slug:
        return f"{planned.name} as “{form.name}”"
    return f"{movement.name} instead of {planned.name}"


def and_so_on(words: Sequence[str]) -> str:
    """“the knee”, “the knee and the hip”, each once and in their order."""
    once = list(dict.fromkeys(words))
    return " and ".join(filter(None, (", ".join(once[:-1]), once[-1])))
