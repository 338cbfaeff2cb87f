"""The sentences in which a fit explains itself. Plain words, no sum left to the reader."""

from __future__ import annotations

from collections.abc import Mapping

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
