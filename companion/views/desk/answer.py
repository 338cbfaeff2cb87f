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
from companion.words.words import english
from engine.base.phrases import number_of
from engine.coach.roster import Person
from engine.movements.movement import JOINT_POINTS, Joint, Side, library
from engine.plan.adjustment import describe

if TYPE_CHECKING:
    from companion.actions.desk.answer import AnswerEdits
    from companion.state.app import State
    from companion.state.pages_received import Answer


DAYS = (("7", "A week"), ("14", "Two"), ("28", "Four"))
FEWER_ROUNDS = (1, 2, 3)
MINUTES = (15, 20, 30)
UNSIGNED = "Write your name and add a change: then it can be handed over."
CAUTION = (
    "An adjustment asks for less, or lets a load rise that was earned. It lifts no stop rule and no hold."
)


def answer_part(person: Person, state: State, do: AnswerEdits) -> list[ft.Control]:
    answer = state.pages.answer
    return [
        group(
            section_title("Answer"),
            words(CAUTION, colour=Role.INK_SOFT),
            field("Your name", answer.author, do.sign),
            titled("It holds for", choice_row(DAYS, str(answer.days), do.for_days, name="It holds for")),
        ),
        *_asked(answer, do),
        *_hand_over(answer, state, do),
        group(section_title("Spare a joint"), _spared(person, do)),
        group(section_title("Less this time"), _less(do)),
        group(section_title("By movement"), *_by_movement(person, do)),
        entry("A remark", "Add the remark", _remark(do), number=False),
    ]


def _asked(answer: Answer, do: AnswerEdits) -> list[ft.Control]:
    """What is asked so far, in the sentences that the person will read."""
    if answer.made is None:
        return [words(UNSIGNED if not answer.changes else f"{UNSIGNED} Changes: {len(answer.changes)}.")]
    first, *told = map(english, describe(answer.made, library()))
    rows: list[ft.Control] = [
        ft.Row(
            [
                ft.Container(words(line), expand=True),
                small(f"Remove {line}", "×", bound(do.drop_change, at)),
            ]
        )
        for at, line in enumerate(told)
    ]
    return [group(words(first, strong=True), *rows)]


def _hand_over(answer: Answer, state: State, do: AnswerEdits) -> list[ft.Control]:
    made = answer.made
    if made is None:
        return []
    buttons = [quiet_button("Save the adjustment", bound(do.save, made))]
    if state.device.settings.base_address:
        buttons.append(quiet_button("Copy its link", bound(do.copy, made)))
    return [button_row(*buttons)]


def _spared(person: Person, do: AnswerEdits) -> ft.Control:
    """The joints to spare; those that hurt this person come first."""
    hurt = {(note.joint, note.side) for one in person.sessions for note in one.pains}
    points = sorted(JOINT_POINTS, key=lambda point: point not in hurt)
    return button_row(*(_spare(joint, side, do) for joint, side in points))


def _spare(joint: Joint, side: Side | None, do: AnswerEdits) -> ft.Control:
    name = joint_words(joint, side)
    return quiet_button(
        name.capitalize(), _adds(do, kind="spare", joint=joint, side=side), name=f"Spare {name}"
    )


def _less(do: AnswerEdits) -> ft.Control:
    rounds = (
        quiet_button(f"At most {number_of(n, 'round')}", _adds(do, kind="rounds", rounds=n))
        for n in FEWER_ROUNDS
    )
    minutes = (quiet_button(f"About {n} min", _adds(do, kind="minutes", minutes=n)) for n in MINUTES)
    return button_row(*rounds, *minutes)


def _by_movement(person: Person, do: AnswerEdits) -> list[ft.Control]:
    """For each movement that was done, to allow its next weight or to leave it out."""
    done = {one.movement: one.name for session in person.sessions for one in session.movements}
    return [
        ft.Column(
            [
                words(name),
                button_row(
                    quiet_button(
                        "Next weight",
                        _adds(do, kind="next_weight", movement=slug),
                        name=f"Next weight: {name}",
                    ),
                    quiet_button(
                        "Leave out", _adds(do, kind="leave_out", movement=slug), name=f"Leave out: {name}"
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
