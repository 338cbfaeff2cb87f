"""The frame around every screen: title, a column of limited width, the bar of actions at the bottom."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING

import flet as ft

from companion.views.controls.buttons import Handler, bound, quiet_button
from companion.views.controls.parts import notice, words
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import MAX_PAGE_WIDTH, MAX_TEXT_WIDTH, RULE_PX, Role, Space, Type
from companion.words.saying import msgid, own, say

if TYPE_CHECKING:
    from companion.state.app import State

USE_THIS_WINDOW = msgid("Use this window")
SOMEBODY_ELSE = msgid("Somebody else trains")
KEEP_OPEN = msgid("Not saved yet: keep this window open.")
WIDE_PX = 992  # from here on Flet counts a page as large (LG)
SHORT_PX = 520  # a phone that lies across is lower than this


def _column(content: ft.Control, max_width: int, *, upright: int = Space.M) -> ft.Control:
    """Centres the content with margins, as wide as there is room for, up to `max_width`."""
    # The aligned box passes loose limits down, so the width below acts as a maximum.
    sized = ft.Container(content=content, width=max_width)
    margins = ft.Padding.symmetric(horizontal=Space.M, vertical=upright)
    return ft.Container(content=sized, alignment=ft.Alignment.TOP_CENTER, padding=margins)


def column_px(page_px: float, *, halved: bool = False) -> float:
    """The width of a column of `columns`, including the margins, on a page `page_px` wide.

    `halved` is for one of two columns placed `beside` each other, whatever the width.
    """
    margins = 2 * Space.M
    if page_px < WIDE_PX and not halved:
        return min(page_px, MAX_TEXT_WIDTH)
    return (min(page_px - margins, MAX_PAGE_WIDTH) - Space.XL) / 2 + margins


def lies_across(page: ft.Page | ft.BasePage) -> bool:
    """Whether the page is that of a phone that lies on its long side: wide and low."""
    height = page.height or SHORT_PX
    return height < SHORT_PX and (page.width or 0) > height


def beside(
    left: Sequence[ft.Control], right: Sequence[ft.Control], *, shares: tuple[int, int] = (1, 1)
) -> ft.Control:
    """Two halves side by side, whatever the width; or parts in other ``shares``."""
    stretch = ft.CrossAxisAlignment.STRETCH
    halves: list[ft.Control] = [
        ft.Column(list(half), spacing=Space.S, tight=True, horizontal_alignment=stretch, expand=share)
        for half, share in zip((left, right), shares, strict=True)
    ]
    return ft.Row(halves, spacing=Space.L, vertical_alignment=ft.CrossAxisAlignment.START)


@ft.component
def bottom_bar(actions: Sequence[ft.Control]) -> ft.Control:
    """The actions of a screen within reach of the thumb, side by side, or stacked if the text is large."""
    scale, probe = use_text_scale()
    stretch = ft.CrossAxisAlignment.STRETCH
    row: ft.Control = ft.Row(
        list(actions), spacing=Space.S, vertical_alignment=stretch, intrinsic_height=True
    )
    if scale >= LARGE:
        row = ft.Column([ft.Row([action]) for action in actions], spacing=Space.S, tight=True)
    bar = _column(row, MAX_TEXT_WIDTH)
    if lies_across(ft.context.page):
        bar = _column(row, MAX_PAGE_WIDTH, upright=Space.S)
    return ft.Container(
        bgcolor=Role.BACKGROUND,
        border=ft.Border(top=ft.BorderSide(RULE_PX, Role.INK)),
        content=ft.Stack([probe, bar]),
    )


def columns(left: Sequence[ft.Control], right: Sequence[ft.Control]) -> ft.Control:
    """Two columns if the page is wide enough for both, otherwise the right one below the left."""
    halves: list[ft.Control] = [column(half, share=6) for half in (left, right)]
    return ft.ResponsiveRow(halves, spacing=Space.XL, run_spacing=Space.L)


def column(content: Sequence[ft.Control], *, share: int) -> ft.Control:
    """A column that takes `share` twelfths of a wide page, and the whole width of a narrow one.

    A screen reader reads it to its end before the next one. Without the card, which keeps its texts together,
    the client would read line by line across all columns.
    """
    stretch = ft.CrossAxisAlignment.STRETCH
    inside = ft.Column(list(content), spacing=Space.L, tight=True, horizontal_alignment=stretch)
    share_of: ft.ResponsiveNumber = {ft.ResponsiveRowBreakpoint.XS: 12, ft.ResponsiveRowBreakpoint.LG: share}
    apart = ft.Card(
        inside,
        semantic_container=False,
        elevation=0,
        margin=0,
        bgcolor=ft.Colors.TRANSPARENT,
        shape=ft.RoundedRectangleBorder(radius=0),
        clip_behavior=ft.ClipBehavior.NONE,
    )
    return ft.Semantics(container=True, content=apart, col=share_of)


def _head(title: str, on_back: Handler | None, back: str | None) -> ft.Control:
    heading = ft.Semantics(header=True, content=words(title, size=Type.TITLE, strong=True))
    return ft.Column(
        [*([ft.Row([quiet_button(back or say("Back"), on_back)])] if on_back else []), heading],
        spacing=Space.M,
        tight=True,
    )


@ft.component
def _scrolling(page: ft.Control, top_at: str) -> ft.Control:
    """Lets what does not fit scroll, and scrolls back to the top whenever `top_at` changes."""
    column = ft.Column([page], scroll=ft.ScrollMode.AUTO, expand=True)
    shown: ft.MutableRef[ft.Column] = ft.use_ref(column)
    shown.current = column

    async def to_top() -> None:
        with suppress(RuntimeError):  # the screen has gone in the meantime
            await shown.current.scroll_to(offset=0, duration=0)

    ft.use_effect(to_top, [top_at])
    return column


def page_frame(
    content: Sequence[ft.Control],
    *,
    title: str | None,
    on_back: Handler | None = None,
    back: str | None = None,
    actions: Sequence[ft.Control] = (),
    wide: bool = False,
    width: int | None = None,
    top_at: str = "",
    said: ft.Control | None = None,
) -> ft.Control:
    """A whole screen, which scrolls above its actions.

    `wide` makes room for `columns`, and `width` sets another largest width, in px; without them lines stay
    short. When `top_at` changes, the screen shows something new from its top. `said` is what answers the
    person: it stays in view above the actions, and nothing moves under the finger when it appears.
    """
    width = width or (MAX_PAGE_WIDTH if wide else MAX_TEXT_WIDTH)
    head = [_head(title, on_back, back)] if title is not None else []
    page = ft.Column(
        [*head, *content], spacing=Space.L, tight=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH
    )
    body = _scrolling(_column(page, width), top_at)
    bar = [*([_column(said, MAX_TEXT_WIDTH)] if said else []), *([bottom_bar(actions)] if actions else [])]
    frame = ft.Column(
        [body, *bar], spacing=0, expand=True, horizontal_alignment=ft.CrossAxisAlignment.STRETCH
    )
    return ft.SafeArea(content=frame, expand=True)


def read_only_notice(reason: str, on_use: Handler, *, in_progress: str = "") -> ft.Control:
    """Says above every screen why the window may only read, with a button to use it all the same.

    First comes the name of the session that is ``in_progress``, where there is one.
    """
    told = reason
    if in_progress:
        told = say("A session is in progress: {session}. {why}", session=own(in_progress), why=reason)
    shown = notice("caution", told, actions=[quiet_button(say(USE_THIS_WINDOW), on_use)])
    return _column(shown, MAX_TEXT_WIDTH)


def unsaved_notice(why: str) -> ft.Control:
    """Says above every screen that something is not saved yet."""
    return _column(notice("caution", why), MAX_TEXT_WIDTH)


def unsaved_line() -> ft.Control:
    """Says the same in one line, where a notice would push the answers out of sight."""
    line = words(say(KEEP_OPEN), strong=True, colour=Role.DANGER)
    return _column(ft.Semantics(live_region=True, content=line), MAX_TEXT_WIDTH, upright=Space.S)


def whose_session(state: State, on_change: Handler) -> list[ft.Control]:
    """On a device that several people use: whose session this is, and the way to somebody else's."""
    if not state.may_change_person or state.home.profile is None:
        return []
    named = say("Training now: {name}", name=state.home.profile.name)
    whose = ft.Container(words(named, strong=True), expand=True)
    return [ft.Row([whose, quiet_button(say(SOMEBODY_ELSE), bound(on_change))], spacing=Space.S)]


def screen(
    route: str, frame: ft.Control, *, above: ft.Control | None = None, below: ft.Control | None = None
) -> ft.View:
    """A Flet view on our paper, without app bar or padding of its own.

    The frame keeps its place when something comes above or below it and goes: drawn from nothing, it would
    lose a tap that is on its way, the keyboard, and where the person had scrolled to.
    """
    controls: list[ft.BaseControl] = [above or ft.Container(height=0), frame, below or ft.Container(height=0)]
    return ft.View(route=route, controls=controls, padding=0, spacing=0, bgcolor=Role.BACKGROUND)
