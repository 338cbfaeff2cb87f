"""The folder for copies: chosen by one button where the browser has such folders, and what lies in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.held import named_words
from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.parts import notice, words
from companion.views.controls.theme import Role
from companion.words.saying import msgid, say, words_here

if TYPE_CHECKING:
    from companion.actions.home.copies import Copies
    from companion.state.app import State


OFFER = msgid("Or choose a folder once: each session is then copied there, in one backup for each month.")
CHOOSE = msgid("Choose a folder for copies")
ALLOW = msgid("Allow copies there again")
TAKE_IN = msgid("Open what another device saved there")
STOP = msgid("Stop copying")
UNKNOWN = msgid("Copies went to “{folder}”, a folder that this browser does not know.")
STAY = msgid("The copies in “{folder}” stay: they are your files. No more are written.")
DECIDE = msgid("Compare and decide")
MINE = msgid("Yes, that is me")
THEIRS = msgid("No, somebody else")


def copies_folder(state: State, do: Copies) -> list[ft.Control]:
    """The line of the folder, its buttons, and what is in the way; nothing where no browser offers one."""
    copies, kept = state.backup.copies, state.device.settings.copies
    if state.read_only or not (copies.offered or kept):
        return []
    if kept is None:
        return [words(say(OFFER)), button_row(quiet_button(say(CHOOSE), bound(do.choose))), *_said(state)]
    known = bool(copies.name)
    line = _where(state) if known else say(UNKNOWN, folder=kept.folder)
    buttons = [
        *([quiet_button(say(ALLOW), bound(do.write))] if known and not copies.allowed else []),
        *([quiet_button(say(TAKE_IN), bound(do.take_in))] if known and copies.allowed else []),
        *([quiet_button(say(CHOOSE), bound(do.choose))] if copies.offered and not known else []),
        quiet_button(say(STOP), bound(do.stop)),
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
    return [words(say(STAY, folder=kept.folder))]


def _where(state: State) -> str:
    kept, name = state.device.settings.copies, state.backup.copies.name
    at = kept.written_at if kept else None
    if at is None:
        return say("Copies go to “{folder}”. None is written yet.", folder=name)
    return say(
        "Copies go to “{folder}”. Last copy: {day}, {clock}.", folder=name, day=at.date(), clock=at.time()
    )


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
    names = words_here().listed(one.name for one in people)
    text = say("Another device saved records in this folder, made by: {names}. Is that you too?", names=names)
    answers = [
        quiet_button(say(MINE), bound(do.take_in_mine)),
        quiet_button(say(THEIRS), bound(do.leave_theirs)),
    ]
    return [notice("note", text, actions=answers)]


def _differences(state: State, do: Copies) -> list[ft.Control]:
    """What another device wrote otherwise, to be decided."""
    if not state.backup.differences or state.backup.in_backup:
        return []
    named = words_here().listed(map(named_words, state.backup.differences))
    text = say("Different here and on another device: {named}.", named=named)
    return [notice("note", text, actions=[quiet_button(say(DECIDE), bound(do.look_at_differences))])]
