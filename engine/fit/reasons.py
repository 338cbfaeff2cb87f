"""The sentences in which a fit explains itself. Plain words, no sum left to the reader."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from engine.base.phrases import at_most_a_sentence, listed, lower_first
from engine.fit.levers import Lever
from engine.movements.movement import (
    PATTERNS_THAT_WORK,
    Form,
    Joint,
    Movement,
    Side,
    Sides,
    trains_pattern_of,
)
from engine.movements.words import joint_word, pattern_word
from engine.plan.plan import GiveUp, PracticeForm, SessionPlan
from engine.plan.words import GAINED_WORDS, LOST_WORDS, length_words
from engine.session.segment import Choices
from engine.session.timeline import Movements


def lever_sentence(lever: Lever, choices: Choices, plan: SessionPlan, movements: Movements) -> str:
    """What a spent lever means to the trainee; it names the block where the lever moves that block alone."""
    sentence = _lever_sentence(lever, choices, plan, movements)
    if lever.block is not None:
        sentence = f"In “{lever.block}”: {lower_first(sentence)}"
    return at_most_a_sentence(sentence)


def _lever_sentence(lever: Lever, choices: Choices, plan: SessionPlan, movements: Movements) -> str:
    match lever.code:
        case GiveUp.cool_down:
            return f"The cool-down lasts {_lengths(choices.cool_down_s, lever)}."
        case GiveUp.hand_change | GiveUp.leg_change:
            what = _what_changes(lever, movements)
            return f"The change of {what} comes out of the work interval; both sides stay equal."
        case GiveUp.optional_movements:
            return _left_out(_dropped(lever, choices, plan, movements))
        case GiveUp.practice_form:
            return f"Practice is {_forms(choices, lever)}."
        case GiveUp.practice:
            return "Practice is skipped."
        case GiveUp.rest:
            return f"The rest is brought down to {_lengths(choices.rest_s, lever)}."
        case GiveUp.work:
            return f"The work interval is brought down to {_lengths(choices.work_s, lever)}."
    raise ValueError(f"{lever.code} is bought, not spent.")


def left_out_sentence(name: str) -> str:
    return f"{name} left out, as the coach asks."


def missing_sentence() -> str:
    return "The rounds fall short of the coach's minimum."


def lever_words(lever: Lever, *, more: bool) -> str:
    """What is gained (``more``) or lost when a lever moves, in a few words."""
    words = (GAINED_WORDS if more else LOST_WORDS)[lever.code]
    return words if lever.block is None else f"{words} in “{lever.block}”"


def _what_changes(lever: Lever, movements: Movements) -> str:
    """“hands”, or “legs”, “sides” (of a side plank) or both: what a person really changes."""
    sides = Sides.hand if lever.code is GiveUp.hand_change else Sides.leg
    in_them = (chosen for block in lever.blocks for chosen in movements[block].values())
    return listed(sorted(f"{one.changes or sides}s" for one in in_them if one.sides is sides))


def _dropped(lever: Lever, choices: Choices, plan: SessionPlan, movements: Movements) -> list[str]:
    gone = [name.partition(":") for name in choices.without_optional]
    order = [block.id for block in plan.blocks if block.id in lever.blocks]
    return [
        chosen.name
        for block in order
        for slug, chosen in movements[block].items()
        if (block, ":", slug) in gone
    ]


def _left_out(names: list[str]) -> str:
    if len(names) == 1:
        return f"{names[0]} is left out; the plan calls it optional."
    return f"{listed(names)} are left out; the plan calls them optional."


def _forms(choices: Choices, lever: Lever) -> str:
    forms = {form for block, form in choices.practice.items() if block in lever.blocks}
    said = {PracticeForm.timed: "by the clock", PracticeForm.repetitions: "by repetitions"}
    return " and ".join(words for form, words in said.items() if form in forms)


def _lengths(by_block: Mapping[str, int], lever: Lever) -> str:
    moved = {length_s for block, length_s in by_block.items() if lever.block in (None, block)}
    return " and ".join(map(length_words, sorted(moved)))


def swap_sentence(
    planned: Movement,
    stand_in: tuple[Movement, Form] | None,
    *,
    lacking: Sequence[str],
    sore: Sequence[tuple[Joint, Side | None]],
    one_sided: Collection[Joint],
    held: bool = False,
    too_flat: bool = False,
) -> str:
    """What stands in for a movement, or that it is left out, and why.

    ``one_sided`` are the joints that the movement works on one side at a time: a sore side then spares both.
    """
    why = ["which is on hold after pain"] if held else []
    why += ["so that nobody lies flat in pregnancy"] if too_flat else []
    why += [f"for want of {listed(lacking)}"] if lacking else []
    joints = [f"the {joint_word(joint, side)}" for joint, side in sore]
    if joints:
        why.append(f"to spare {listed(joints)}")
    stay_equal = any(joint in one_sided and side in (Side.left, Side.right) for joint, side in sore)
    both = "; the other side is spared too, so that both stay equal" if stay_equal else ""
    left = stand_in is None or not trains_pattern_of(stand_in[0], planned)
    worked = [
        f"; every {pattern_word(planned.pattern)} works the {joint_word(joint)}"
        for joint in dict.fromkeys(joint for joint, _ in sore)
        if left and planned.pattern in PATTERNS_THAT_WORK.get(joint, ())
    ]
    said = f"{_stand_in_words(planned, stand_in)}, {' and '.join(why)}{both}{''.join(worked)}."
    return at_most_a_sentence(said)


def _stand_in_words(planned: Movement, stand_in: tuple[Movement, Form] | None) -> str:
    if stand_in is None:
        return f"{planned.name} left out"
    movement, form = stand_in
    if movement.slug == planned.slug:
        return f"{planned.name} as “{form.name}”"
    return f"{movement.name} instead of {planned.name}"
