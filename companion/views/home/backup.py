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
from engine.base.phrases import number_of

if TYPE_CHECKING:
    from companion.actions.home.backup import Backup
    from companion.actions.home.copies import Copies
    from companion.state.app import State


BACKUP = "One file with your sessions, plans, weights and name. Nothing is sent anywhere."
KEPT = {
    "unsaid": "This browser has not said how long it keeps your records: save a backup now and then.",
    "for_good": "This browser keeps your records until you remove them.",
    "while_room": (
        "This browser may clear your records when it runs out of room: save a backup now and then."
    ),
    "seven_days": (
        "Safari clears your records after seven days without a visit: save a backup now and then."
    ),
    "home_screen": (
        "This browser clears your records after seven days without a visit. On the Home Screen they stay: "
        "save a backup, tap Share, then Add to Home Screen, and bring the backup in there."
    ),
}
"""How long the browser keeps the records, where it is the one that does."""
SAVE = "Save a backup"
BRING_IN = "Bring a backup in"
SAME_PERSON = "Both are me"
ANOTHER_HERE = "Somebody else: let them train here too"
ERASE_TOO = "Erase them here too"
NOT_IN = "Leave them out"
LEAVE = "Leave them here"
ERASE = "Erase everything"
WORD = "erase"
NOT_WRITTEN = f"write “{WORD}” first; nothing was erased."
FOR_GOOD = (
    "Nothing takes this back. A backup can bring your plans and weights again, but no session: those stay "
    "erased, here and on every device that takes your records in."
)
OTHERS_STAY = "Whoever else trains here keeps theirs."


@safe_component
def backup_and_erase(state: State, do: Backup, copies: Copies) -> ft.Control:
    return ft.Column(
        [_backup(state, do, copies), _erase(state, do)],
        spacing=Space.L,
        horizontal_alignment=ft.CrossAxisAlignment.STRETCH,
    )


def _backup(state: State, do: Backup, copies: Copies) -> ft.Control:
    return group(
        section_title("Backup"),
        words(BACKUP),
        *([words(KEPT[state.device.records])] if state.device.records in KEPT else []),
        button_row(quiet_button(SAVE, bound(do.save)), quiet_button(BRING_IN, bound(do.pick))),
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
                quiet_button(SAME_PERSON, bound(do.bring_in_mine)),
                quiet_button(ANOTHER_HERE, bound(do.bring_in_for_another)),
                quiet_button(NOT_IN, bound(do.leave)),
            ]
        case "erase":
            return [
                quiet_button(LEAVE, bound(do.spare)),
                quiet_button(ERASE_TOO, bound(do.erase_too), tone="danger"),
            ]
        case "keep":
            return [quiet_button(DECIDE, bound(do.look_at_differences))]
    return []


def _erase(state: State, do: Backup) -> ft.Control:
    sessions = number_of(state.backup.sessions, "session")
    gone = f"{sessions}, your plans, weights, name and settings go from this device."
    others = [words(OTHERS_STAY)] if state.device.is_shared else []

    async def erase(written: str) -> None:
        if written.strip().lower() != WORD:
            raise ValueError(NOT_WRITTEN)
        await do.erase_everything()

    return group(
        section_title(ERASE),
        words(gone),
        *others,
        words(FOR_GOOD),
        *copies_stay(state),
        entry(f"Write “{WORD}” to go on", ERASE, erase, tone="danger"),
    )
