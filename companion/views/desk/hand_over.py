"""Handing a plan over: always as a file or a sheet, and as a link or QR code if there is an address."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import bound, button_row, quiet_button
from companion.views.controls.field import entry
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.theme import Role
from companion.views.drawings.qr import qr_drawing
from companion.words.saying import msgid, said, say
from engine.plan.link import TooLong, link
from engine.plan.plan import SessionPlan

if TYPE_CHECKING:
    from companion.actions.desk.hand_over import HandOver
    from companion.state.app import State


FAULTY = msgid("A plan with faults cannot be handed over. The outline shows where they are.")
NO_QR = msgid("This link is too long for any QR code: send the link, or the file.")
NO_ADDRESS = msgid(
    "Without an address there is no link, only the file and the sheet. A link holds the whole plan in the "
    "part that no server sees."
)
LONGEST_SHOWN = 80
QR_PX = 372
ADDRESS = msgid("Address where people open the companion")


def hand_over_part(state: State, do: HandOver) -> list[ft.Control]:
    plan = do.written_plan()
    if plan is None:
        return [group(section_title(say("Hand over")), notice("note", say(FAULTY)))]
    address = state.device.settings.base_address
    return [
        group(
            section_title(say("Hand over")),
            button_row(
                quiet_button(say("Save as a file"), bound(do.export, plan)),
                quiet_button(say("Save the printed sheet"), do.save_sheet),
            ),
        ),
        group(
            section_title(say("Link")),
            *(_link(plan, address, do) if address else [words(say(NO_ADDRESS))]),
            entry(say(ADDRESS), say("Use this address"), do.set_base_address, number=False),
        ),
    ]


def _link(plan: SessionPlan, address: str, do: HandOver) -> list[ft.Control]:
    try:
        made = link(address, plan)
    except TooLong as too_long:
        return [notice("caution", said(too_long.what))]
    assert made is not None
    return [
        words(say("Links lead to {address}", address=address)),
        words(f"{made[:LONGEST_SHOWN]}…", colour=Role.INK_SOFT),
        *_qr(made),
        button_row(
            quiet_button(say("Copy the link"), bound(do.copy_link, made)),
            quiet_button(say("Save its QR code"), bound(do.save_qr, made)),
            quiet_button(say("Remove the address"), bound(do.set_base_address, "")),
        ),
    ]


def _qr(link_written: str) -> list[ft.Control]:
    """The code to scan from the screen, on white with its border in both themes."""
    drawn = qr_drawing(link_written, px=QR_PX, label=say("QR code of the link"))
    return [notice("caution", say(NO_QR))] if drawn is None else [ft.Row([drawn])]
