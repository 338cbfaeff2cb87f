"""The coach's answer to one person: an adjustment, shown in sentences before it is handed over."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import joint_words
from companion.views.controls.buttons import Handler, bound, button_row, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.field import entry, field
from companion.views.controls.parts import group, section_title, words
from companion.views.controls.theme import Role, Space
from companion.views.desk.fields import small, titled
from companion.words.saying import msgid, own, said, say, several
from engine.coach.roster import Person
from engine.movements.movement import JOINT_POINTS, Joint, Side, library
from engine.plan.adjustment import describe

if TYPE_CHECKING:
    from companion.actions.desk.answer import AnswerEdits
    from companion.state.app import State
    from companion.state.pages_received import Answer


WEEKS = (1, 2, 4)
FEWER_ROUNDS = (1, 2, 3)
MINUTES = (15, 20, 30)
UNSIGNED = msgid("To hand it over, write your name and add a change.")
CAUTION = msgid(
    "An adjustment asks for less, or allows a heavier load that was earned. It never overrides a stop rule, "
    "or what is left out after pain."
)


def answer_part(person: Person, state: State, do: AnswerEdits) -> list[ft.Control]:
    answer = state.pages.answer
    return [
        group(
            section_title(say("Answer")),
            words(say(CAUTION), colour=Role.INK_SOFT),
            field(say("Your name"), answer.author, do.sign),
            _weeks(answer, do),
        ),
        *_asked(answer, do),
        *_hand_over(answer, state, do),
        group(section_title(say("Spare a joint")), _spared(person, do)),
        group(section_title(say("Less this time")), _less(do)),
        group(section_title(say("By movement")), *_by_movement(person, do)),
        entry(say("A remark"), say("Add the remark"), _remark(do), number=False),
    ]


def _weeks(answer: Answer, do: AnswerEdits) -> ft.Control:
    label = say("It holds for")
    options = [(str(7 * number), several("{count} week", "{count} weeks", number)) for number in WEEKS]
    return titled(label, choice_row(options, str(answer.days), do.for_days, name=label))


def _asked(answer: Answer, do: AnswerEdits) -> list[ft.Control]:
    """What is asked so far, in the sentences that the person will read."""
    if answer.made is None:
        changes = len(answer.changes)
        unsigned = several(
            "{count} change. To hand it over, write your name.",
            "{count} changes. To hand them over, write your name.",
            changes,
        )
        return [words(unsigned if changes else say(UNSIGNED))]
    first, *told = map(said, describe(answer.made, library()))
    rows: list[ft.Control] = [
        ft.Row(
            [
                ft.Container(words(line), expand=True),
                small(say("Remove: {change}", change=line), "×", bound(do.drop_change, at)),
            ]
        )
        for at, line in enumerate(told)
    ]
    return [group(words(first, strong=True), *rows)]


def _hand_over(answer: Answer, state: State, do: AnswerEdits) -> list[ft.Control]:
    made = answer.made
    if made is None:
        return []
    buttons = [quiet_button(say("Save the adjustment"), bound(do.save, made))]
    if state.device.settings.base_address:
        buttons.append(quiet_button(say("Copy its link"), bound(do.copy, made)))
    return [button_row(*buttons)]


def _spared(person: Person, do: AnswerEdits) -> ft.Control:
    """The joints to spare; those that hurt this person come first."""
    hurt = {(note.joint, note.side) for one in person.sessions for note in one.pains}
    points = sorted(JOINT_POINTS, key=lambda point: point not in hurt)
    return button_row(*(_spare(joint, side, do) for joint, side in points))


def _spare(joint: Joint, side: Side | None, do: AnswerEdits) -> ft.Control:
    name = joint_words(joint, side)
    spares = _adds(do, kind="spare", joint=joint, side=side)
    return quiet_button(name, spares, name=say("Spare: {joint}", joint=name))


def _less(do: AnswerEdits) -> ft.Control:
    rounds = (
        quiet_button(
            several("At most {count} round", "At most {count} rounds", n), _adds(do, kind="rounds", rounds=n)
        )
        for n in FEWER_ROUNDS
    )
    minutes = (
        quiet_button(say("About {minutes} min", minutes=n), _adds(do, kind="minutes", minutes=n))
        for n in MINUTES
    )
    return button_row(*rounds, *minutes)


def _by_movement(person: Person, do: AnswerEdits) -> list[ft.Control]:
    """For each movement that was done, to allow its next weight or to leave it out."""
    done = {one.movement: own(one.name) for session in person.sessions for one in session.movements}
    return [
        ft.Column(
            [
                words(name),
                button_row(
                    quiet_button(
                        say("Next weight"),
                        _adds(do, kind="next_weight", movement=slug),
                        name=say("Next weight: {movement}", movement=name),
                    ),
                    quiet_button(
                        say("Leave out"),
                        _adds(do, kind="leave_out", movement=slug),
                        name=say("Leave out: {movement}", movement=name),
                    ),
                ),
            ],
            spacing=Space.XS,
        )
        for slug, name in done.items()
    ]


def _adds(do: AnswerEdits, **content: object) -> Handler:
    return lambda: do.add_change(**content)


def _remark(do: AnswerEdits) -> Callable[[str], Awaitable[None]]:
    async def add(written: str) -> None:
        do.add_change(kind="remark", text=written.strip())

    return add
