"""Small shared controls that carry no state: words, figures, titles, notices.

Each returns a Flet control and takes its data and handlers as arguments. Nothing here has a fixed height:
labels grow with the reader's text scale, and the touch sizes are reached by padding.
"""

from collections.abc import Sequence
from typing import Literal

import flet as ft
import flet.canvas as cv

from companion.views.controls.buttons import Handler, button_row, quiet_button
from companion.views.controls.theme import (
    BORDER_PX,
    FONT_FALLBACK,
    FONT_STRONG,
    RADIUS,
    RULE_PX,
    Role,
    Space,
    Type,
    clock_ems,
    style,
)
from companion.words.saying import msgid, say
from engine.base.printable import printable_lines

NoticeKind = Literal["note", "caution", "danger"]


def words(
    value: str,
    *,
    size: int = Type.BODY,
    strong: bool = False,
    colour: str = Role.INK,
    name: str | None = None,
) -> ft.Text:
    """Text. `name` is what a screen reader says instead, if what is on screen cannot be read aloud."""
    look, spoken = style(size, strong=strong, colour=colour), None if name is None else printable_lines(name)
    return ft.Text(printable_lines(value), style=look, semantics_label=spoken)


def digits(
    value: str, *, size: int = Type.DIGITS, colour: str = Role.INK, name: str | None = None
) -> ft.Text:
    """Large figures on one line; all ten digits are equally wide, so they do not jump."""
    figures = style(size, strong=True, colour=colour, height=1)
    return ft.Text(value, style=figures, no_wrap=True, semantics_label=name)


def clock_face(
    text: str, *, size: int = Type.CLOCK, colour: str = Role.INK, name: str | None = None
) -> ft.Control:
    """The clock. It is drawn, so that the text scale, which it exceeds anyway, cannot push it off the screen.

    `text` is digits and colons. `name` is what a screen reader says. Without it the clock is silent, as a
    figure that changes every second must be; the length is said once, where the phase begins.
    """
    look = ft.TextStyle(
        size=size, height=1, color=colour, font_family=FONT_STRONG, font_family_fallback=FONT_FALLBACK
    )
    width = clock_ems(text) * size
    face = cv.Canvas(
        shapes=[cv.Text(0, 0, value=text, style=look, max_width=width + size)], width=width, height=size
    )
    return ft.Semantics(identifier="clock", label=name, exclude_semantics=True, container=True, content=face)


def section_title(title: str, *, detail: str | None = None) -> ft.Control:
    """A heading under a rule, with an optional quiet remark on the right."""
    heading = ft.Semantics(header=True, content=words(title, size=Type.LEAD, strong=True))
    remark = [words(detail, size=Type.CAPTION, colour=Role.INK_SOFT)] if detail else []
    return ft.Container(
        content=ft.Row(
            [heading, *remark],
            alignment=ft.MainAxisAlignment.SPACE_BETWEEN,
            vertical_alignment=ft.CrossAxisAlignment.END,
            spacing=Space.M,
            run_spacing=Space.XS,
            wrap=True,
        ),
        border=ft.Border(top=ft.BorderSide(RULE_PX, Role.INK)),
        padding=ft.Padding.only(top=Space.S),
    )


def group(*content: ft.Control) -> ft.Control:
    """A heading and what belongs to it, as wide as the page and close together."""
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column(list(content), spacing=Space.S, horizontal_alignment=stretch)


def section(title: str, content: Sequence[ft.Control], *, detail: str | None = None) -> list[ft.Control]:
    """A heading with what belongs to it; nothing at all if that is nothing."""
    return [group(section_title(title, detail=detail), *content)] if content else []


def rule() -> ft.Control:
    """A hairline between rows."""
    return ft.Container(height=1, bgcolor=Role.LINE)


def _sign(kind: NoticeKind) -> ft.Control:
    """The sign of a kind, told by its outline: note a square, caution a triangle, danger an octagon."""
    colour = {"note": Role.INK_SOFT, "caution": Role.CAUTION, "danger": Role.DANGER}[kind]
    outline = {
        "note": ((1, 1), (27, 1), (27, 27), (1, 27)),
        "caution": ((14, 1), (28, 26), (0, 26)),
        "danger": ((8, 0), (20, 0), (28, 8), (28, 20), (20, 28), (8, 28), (0, 20), (0, 8)),
    }[kind]
    stroke = ft.Paint(color=Role.BACKGROUND, stroke_width=3, style=ft.PaintingStyle.STROKE)
    stem, dot = {"note": ((12, 22), (6, 9)), "caution": ((9, 17), (19, 22)), "danger": ((6, 16), (18, 21))}[
        kind
    ]
    marks = [cv.Line(14, top, 14, foot, paint=stroke) for top, foot in (stem, dot)]
    canvas = cv.Canvas(shapes=[polygon(outline, ft.Paint(color=colour)), *marks])
    return ft.Container(content=canvas, width=28, height=28)


def polygon(points: Sequence[tuple[float, float]], paint: ft.Paint) -> cv.Path:
    """A closed outline through `points`, in px."""
    first, *others = points
    steps = [cv.Path.MoveTo(*first), *(cv.Path.LineTo(*point) for point in others), cv.Path.Close()]
    return cv.Path(elements=steps, paint=paint)


_NOTICE = {
    "note": (msgid("Note"), Role.SURFACE, Role.INK_SOFT),
    "caution": (msgid("Take care"), Role.CAUTION_SOFT, Role.CAUTION),
    "danger": (msgid("Stop"), Role.DANGER_SOFT, Role.DANGER),
}


def notice(
    kind: NoticeKind,
    text: str,
    *,
    title: str | None = None,
    actions: Sequence[ft.Control] = (),
    announce: bool = False,
    large: bool = False,
) -> ft.Control:
    """A panel that speaks by word and sign as well as colour; `announce` has it read out at once.

    `large` is for what cannot wait: its title and its words are read from a step away.
    """
    word, ground, colour = _NOTICE[kind]
    title_size, size = (Type.TITLE, Type.LEAD) if large else (Type.BODY, Type.BODY)
    ink = colour if kind != "note" else Role.INK
    heading = words(title or say(word), strong=True, size=title_size, colour=ink)
    buttons = [button_row(*actions)] if actions else []
    spoken: ft.Control = ft.Column([heading, words(text, size=size)], spacing=Space.XS, tight=True)
    if announce:
        spoken = ft.Semantics(live_region=True, content=spoken)
    return ft.Container(
        bgcolor=ground,
        border=ft.Border.all(BORDER_PX, colour),
        border_radius=RADIUS,
        padding=Space.M,
        content=ft.Row(
            [_sign(kind), ft.Column([spoken, *buttons], spacing=Space.M, tight=True, expand=True)],
            vertical_alignment=ft.CrossAxisAlignment.START,
            spacing=Space.M,
        ),
    )


def problem_panel(what: str, *, on_retry: Handler | None = None) -> ft.Control:
    """What is shown instead of a part of a screen that could not be drawn; `what` names the part."""
    actions = [quiet_button(say("Try again"), on_retry)] if on_retry else []
    text = say("This part could not be shown ({part}). What you recorded is safe.", part=what)
    return notice("caution", text, title=say("Something went wrong here"), actions=actions, announce=True)
