"""The sentences in which a fit explains itself, in plain words. No sum is left to the reader."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from enum import StrEnum
from typing import NamedTuple

from engine.base.phrases import at_most_a_sentence, listed, lower_first, ordinal, upper_first
from engine.fit.levers import Lever
from engine.movements.limits import LIMIT_WORDS, Limit
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
from engine.movements.own_choice import Occasion
from engine.movements.room import Room
from engine.movements.substitutes import Candidate
from engine.movements.words import KIT_WORDS, joint_word, pattern_word
from engine.plan.plan import GiveUp, PracticeForm, SessionPlan, movements_named_in
from engine.plan.words import GAINED_WORDS, LOST_WORDS, length_words
from engine.session.block_parts import optional_name
from engine.session.choices import Choices, ChosenByBlock

EMPTY_HANDS = " with empty hands"
BELOW_MINIMUM = "The rounds fall short of the coach's minimum."
NO_MORE_FOR_PAIN = "No more rounds than without pain, though more would fit."


def lever_sentence(lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock) -> str:
    """What a spent lever means to the trainee. It names the block where the lever moves only that one."""
    sentence = _lever_sentence(lever, choices, plan, movements)
    if lever.block is not None:
        sentence = f"In “{lever.block}”: {lower_first(sentence)}"
    return at_most_a_sentence(sentence)


def _lever_sentence(lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock) -> str:
    match lever.code:
        case GiveUp.cool_down:
            return f"The cool-down lasts {_lengths(choices.cool_down_s, lever)}."
        case GiveUp.hand_change | GiveUp.leg_change:
            what = _what_changes(lever, movements)
            return f"The change of {what} comes out of the work interval; both sides stay equal."
        case GiveUp.optional_movements:
            return _optional_sentence(_dropped_names(lever, choices, plan, movements))
        case GiveUp.practice_form:
            return f"Practice is {_forms_of_practice(choices, lever)}."
        case GiveUp.practice:
            return "Practice is skipped."
        case GiveUp.rest:
            return f"The rest is brought down to {_lengths(choices.rest_s, lever)}."
        case GiveUp.work:
            return f"The work interval is brought down to {_lengths(choices.work_s, lever)}."
    raise ValueError(f"{lever.code} is bought, not spent.")


def _lengths(by_block: Mapping[str, int], lever: Lever) -> str:
    """The different lengths that the lever's blocks were brought down to."""
    lengths_s = {length_s for block, length_s in by_block.items() if lever.block in (None, block)}
    return " and ".join(map(length_words, sorted(lengths_s)))


def _what_changes(lever: Lever, movements: ChosenByBlock) -> str:
    """“hands”; or “legs”, “sides” (of a side plank) or both: what a person really changes."""
    sides = Sides.hand if lever.code is GiveUp.hand_change else Sides.leg
    in_blocks = (chosen for block in lever.blocks for chosen in movements[block].values())
    return listed(sorted(f"{one.changes or sides}s" for one in in_blocks if one.sides is sides))


def _dropped_names(lever: Lever, choices: Choices, plan: SessionPlan, movements: ChosenByBlock) -> list[str]:
    """“Row”; “the second Row” where the round keeps the first."""
    names: list[str] = []
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
            name = movements[block.id][slug].name
            all_gone = slugs.count(slug) == sum(slugs[other - 1] == slug for other in gone)
            names.append(name if all_gone else f"the {ordinal(slugs[:place].count(slug))} {name}")
    return list(dict.fromkeys(names))


def _optional_sentence(names: list[str]) -> str:
    if len(names) == 1:
        return f"{upper_first(names[0])} is left out; the plan calls it optional."
    return f"{upper_first(listed(names))} are left out; the plan calls them optional."


def _forms_of_practice(choices: Choices, lever: Lever) -> str:
    forms = {form for block, form in choices.practice.items() if block in lever.blocks}
    said = {PracticeForm.timed: "by the clock", PracticeForm.repetitions: "by repetitions"}
    return " and ".join(words for form, words in said.items() if form in forms)


def gained_words(lever: Lever) -> str:
    """What a session gains when less of a lever is spent, in a few words."""
    return _in_its_block(GAINED_WORDS[lever.code], lever)


def lost_words(lever: Lever) -> str:
    """What a session loses when more of a lever is spent, in a few words."""
    return _in_its_block(LOST_WORDS[lever.code], lever)


def _in_its_block(words: str, lever: Lever) -> str:
    return words if lever.block is None else f"{words} in “{lever.block}”"


def left_out_sentence(name: str) -> str:
    """That a movement is left out because the coach asks for it."""
    return f"{name} left out, as the coach asks."


class SwapCode(StrEnum):
    """What became of a movement that is not done as planned, or for which the coach wanted another one."""

    swapped = "swapped"
    left_out = "left_out"
    own_choice = "own_choice"
    """The coach's own choice stands in."""
    own_choice_not_used = "own_choice_not_used"
    """It is done as planned, because the coach's own choice cannot be used today."""


class WhySwapped(NamedTuple):
    """What the person lacks or spares, so that a movement cannot be done as planned.

    ``one_sided`` are the joints that the movement works on one side at a time: a sore side then spares both.
    ``comes_already`` says that the round has the same movement under another name.
    """

    lacking: tuple[str, ...]
    sore: tuple[JointPoint, ...]
    one_sided: Collection[Joint]
    after_pain: bool
    limits: Collection[Limit]
    comes_already: bool = False


def swap_sentence(planned: Movement, stand_in: Candidate | None, why: WhySwapped) -> str:
    """What stands in for a movement, or that it is left out, and why."""
    because = "".join(f", {one}" for one in [" and ".join(_because(why))] if one)
    pattern = _pattern_works(planned, stand_in, why)
    return at_most_a_sentence(f"{_stand_in_words(planned, stand_in)}{because}{_other_side(why)}{pattern}.")


def own_choice_sentence(planned: Movement, stand_in: Candidate, when: Occasion, room: Room) -> str:
    """That the coach's own choice stands in, and on which occasion."""
    sore = [f"the {joint_word(one.joint, one.side)}" for one in room.sore if one.joint is when.joint]
    why = f"to spare {listed(sore)}" if sore else f"with {KIT_WORDS[room.kit]}"
    return f"{_stand_in_words(planned, stand_in)}, {why}: your coach's own choice."


def not_used_sentence(planned: Movement, own: str, hindrance: str) -> str:
    """Why the coach's own choice cannot be used today; ``hindrance`` is a clause, or empty."""
    why = f": {hindrance}" if hindrance else ""
    return f"{own}, your coach's own choice instead of {planned.name}, cannot be used today{why}."


def _stand_in_words(planned: Movement, stand_in: Candidate | None) -> str:
    if stand_in is None:
        return f"{planned.name} left out"
    version = _version_words(stand_in)
    if stand_in.movement.slug != planned.slug:
        return f"{stand_in.movement.name}{version} instead of {planned.name}"
    if version == EMPTY_HANDS:
        return f"{planned.name}{version}"
    return f"{planned.name} as “{stand_in.form.name}”"


def _version_words(stand_in: Candidate) -> str:
    """“ with empty hands”, or the name of the version in brackets; nothing where there is only one."""
    movement, form = stand_in.movement, stand_in.form
    if len(movement.forms) == 1:
        return ""
    unloaded = [one for one in movement.forms if one.kit is Kit.none]
    if [form] == unloaded:
        return EMPTY_HANDS
    return f" ({lower_first(form.name)})"


def _because(why: WhySwapped) -> Iterator[str]:
    if why.after_pain:
        yield "which is left out after pain"
    if why.limits:
        yield listed([LIMIT_WORDS[limit] for limit in why.limits])
    if why.comes_already:
        yield "which the round has under another name"
    if why.lacking:
        yield f"for want of {listed(why.lacking)}"
    if why.sore:
        yield f"to spare {listed([f'the {joint_word(joint, side)}' for joint, side in why.sore])}"


def _other_side(why: WhySwapped) -> str:
    if any(joint in why.one_sided and side in (Side.left, Side.right) for joint, side in why.sore):
        return "; the other side is spared too, so that both stay equal"
    return ""


def _pattern_works(planned: Movement, stand_in: Candidate | None, why: WhySwapped) -> str:
    """Why nothing of the same pattern stands in: the whole pattern works the joint."""
    if stand_in is not None and trains_pattern_of(stand_in.movement, planned):
        return ""
    joints = dict.fromkeys(joint for joint, _ in why.sore)
    worked = [joint for joint in joints if planned.pattern in PATTERNS_THAT_WORK.get(joint, ())]
    said = (f"; every {pattern_word(planned.pattern)} works the {joint_word(joint)}" for joint in worked)
    return "".join(said)
