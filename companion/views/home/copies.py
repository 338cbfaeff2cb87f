"""The folder for copies: chosen by one button where the browser has such folders, and what lies in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import day_words
from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import notice, words
from companion.views.controls.theme import Role
from engine.base.phrases import listed

if TYPE_CHECKING:
    from companion.actions.home.copies import Copies
    from companion.state.app import State


OFFER = "Or choose a folder once: each session is then copied into it, month by month, as backups."
CHOOSE = "Choose a folder for copies"
ALLOW = "Let it write there again"
TAKE_IN = "Take in what another device wrote there"
STOP = "Stop copying"
UNKNOWN = "Copies went into “{folder}”, a folder that this browser does not know."
STAY = "The copies in the folder “{folder}” stay, because they are your files; no more come."
DECIDE = "Look at both and decide"
MINE = "Both are me: take them in"
THEIRS = "No, somebody else"


def copies_folder(state: State, do: Copies) -> list[ft.Control]:
    """The line of the folder, its buttons, and what is in the way; nothing where no browser offers one."""
    copies, kept = state.backup.copies, state.device.settings.copies
    if state.read_only or not (copies.offered or kept):
        return []
    if kept is None:
        return [words(OFFER), button_row(quiet_button(CHOOSE, bound(do.choose))), *_said(state)]
    known = bool(copies.name)
    line = _where(state) if known else UNKNOWN.format(folder=kept.folder)
    buttons = [
        *([quiet_button(ALLOW, bound(do.write))] if known and not copies.allowed else []),
        *([quiet_button(TAKE_IN, bound(do.take_in))] if known and copies.allowed else []),
        *([quiet_button(CHOOSE, bound(do.choose))] if copies.offered and not known else []),
        quiet_button(STOP, bound(do.stop)),
    ]
    return [
        words(line),
        button_row(*buttons),
        *_said(state),
        *_strangers(state, do),
        *_differences(state, do),
    ]


def copies_stay(state: State) -> list[ft.Control]:
    """What erasing does not take: the copies in the folder."""
    kept = state.device.settings.copies
    if kept is None:
        return []
    return [words(STAY.format(folder=kept.folder))]


def _where(state: State) -> str:
    kept, name = state.device.settings.copies, state.backup.copies.name
    at = kept.written_at if kept else None
    if at is None:
        return f"Copies go into “{name}”; none is written yet."
    return f"Copies go into “{name}”. The last one: {day_words(at.date())}, {at:%H:%M}."


def _said(state: State) -> list[ft.Control]:
    """What goes on or came of the last copy, in one quiet line."""
    copies = state.backup.copies
    text = copies.busy or copies.said
    quiet = words(text, colour=Role.INK_SOFT)
    return [ft.Semantics(live_region=True, content=quiet)] if text else []


def _strangers(state: State, do: Copies) -> list[ft.Control]:
    people = state.backup.copies.strangers
    if not people:
        return []
    names = listed([one.name for one in people])
    text = f"{names} wrote in this folder too, on another device. Are both you?"
    answers = [quiet_button(MINE, bound(do.take_in_mine)), quiet_button(THEIRS, bound(do.leave_theirs))]
    return [notice("note", text, actions=answers)]


def _differences(state: State, do: Copies) -> list[ft.Control]:
    """What another device wrote otherwise, to be decided."""
    if not state.backup.differences or state.backup.in_backup:
        return []
    text = f"In two versions, here and there: {listed([one.named for one in state.backup.differences])}."
    return [notice("note", text, actions=[quiet_button(DECIDE, bound(do.look_at_differences))])]
