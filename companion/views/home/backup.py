"""Backup, the way back from one, and erasing, which says what will go and that nothing brings it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.field import entry
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Space
from companion.views.home.copies import DECIDE, copies_folder, copies_stay
from companion.words.saying import msgid, say, several

if TYPE_CHECKING:
    from companion.actions.home.backup import Backup
    from companion.actions.home.copies import Copies
    from companion.state.app import State


BACKUP = msgid("One file with your sessions, plans, weights and name. Nothing is sent anywhere.")
KEPT = {
    "unsaid": msgid("This browser has not said how long it keeps your records: save a backup now and then."),
    "for_good": msgid("This browser keeps your records until you remove them."),
    "while_room": msgid(
        "This browser may clear your records when it runs out of room: save a backup now and then."
    ),
    "seven_days": msgid(
        "Safari clears your records after seven days without a visit: save a backup now and then."
    ),
    "home_screen": msgid(
        "This browser clears your records after seven days without a visit. On the Home Screen they stay: "
        "save a backup, tap Share, then Add to Home Screen, and open the backup there."
    ),
}
"""How long the browser keeps the records, where it is the one that does."""
SAVE = msgid("Save a backup")
BRING_IN = msgid("Open a backup")
SAME_PERSON = msgid("Both are me")
ANOTHER_HERE = msgid("Somebody else: let them train here too")
ERASE_TOO = msgid("Erase them here too")
NOT_IN = msgid("Leave them out")
LEAVE = msgid("Keep them here")
ERASE = msgid("Erase everything")
WORD = msgid("erase")
NOT_WRITTEN = msgid("Write “{word}” first. Nothing was erased.")
FOR_GOOD = msgid(
    "This cannot be undone. A backup can restore your plans and weights, but no session: sessions stay "
    "erased, here and on every device that shares your records."
)
OTHERS_STAY = msgid("The records of others who train here stay.")


@safe_component
def backup_and_erase(state: State, do: Backup, copies: Copies) -> ft.Control:
    return ft.Column(
        [_backup(state, do, copies), _erase(state, do)],
        spacing=Space.L,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _backup(state: State, do: Backup, copies: Copies) -> ft.Control:
    return group(
        section_title(say("Backup")),
        words(say(BACKUP)),
        *([words(say(KEPT[state.device.records]))] if state.device.records in KEPT else []),
        button_row(quiet_button(say(SAVE), bound(do.save)), quiet_button(say(BRING_IN), bound(do.pick))),
        *copies_folder(state, copies),
    )


def said_of_backup(state: State, do: Backup) -> ft.Control | None:
    """What came of the last tap, and what is asked; it stays in view, wherever the button was."""
    return notice("note", state.said, actions=_answers(state, do), announce=True) if state.said else None


def _answers(state: State, do: Backup) -> list[ft.Control]:
    """What the person can decide about a backup."""
    match state.backup.asks:
        case "person":
            return [
                quiet_button(say(SAME_PERSON), bound(do.bring_in_mine)),
                quiet_button(say(ANOTHER_HERE), bound(do.bring_in_for_another)),
                quiet_button(say(NOT_IN), bound(do.leave)),
            ]
        case "erase":
            return [
                quiet_button(say(LEAVE), bound(do.spare)),
                quiet_button(say(ERASE_TOO), bound(do.erase_too), tone="danger"),
            ]
        case "keep":
            return [quiet_button(say(DECIDE), bound(do.look_at_differences))]
    return []


def _erase(state: State, do: Backup) -> ft.Control:
    gone = several(
        "This erases {count} session, your plans, weights, name and settings from this device.",
        "This erases {count} sessions, your plans, weights, name and settings from this device.",
        state.backup.sessions,
    )
    others = [words(say(OTHERS_STAY))] if state.device.is_shared else []

    async def erase(written: str) -> None:
        word = say(WORD)
        if written.strip().casefold() != word.casefold():
            raise ValueError(say(NOT_WRITTEN, word=word))
        await do.erase_everything()

    return group(
        section_title(say(ERASE)),
        words(gone),
        *others,
        words(say(FOR_GOOD)),
        *copies_stay(state),
        entry(say("Write “{word}” to go on", word=say(WORD)), say(ERASE), erase, tone="danger"),
    )
