"""Small shared controls that carry no state: words, buttons, titles, notices.

Each returns a Flet control and takes its data and handlers as arguments. Nothing here has a fixed height: labels
grow with the reader's text scale, and the touch sizes are reached by padding.
"""

from collections.abc import Callable, Sequence
from typing import Any, Literal

import flet as ft
import flet.canvas as cv

from companion.views.theme import (
    BORDER_PX,
    FOCUS_PX,
    LABEL_HEIGHT,
    RADIUS,
    RULE_PX,
    TOUCH_MAIN_PX,
    TOUCH_PX,
    Role,
    Space,
    Type,
    style,
    touch_padding,
)

Handler = Callable[..., Any]
Tone = Literal["plain", "caution", "danger"]
NoticeKind = Literal["note", "caution", "danger"]


def words(
    value: str,
    *,
    size: int = Type.BODY,
    strong: bool = False,
    colour: str = Role.INK,
    name: str | None = None,
) -> ft.Text:
    """A run of text. `name` is what a screen reader says instead, where the sign on screen does not speak."""
    return ft.Text(value, style=style(size, strong=strong, colour=colour), semantics_label=name)


def digits(
    value: str, *, size: int = Type.DIGITS, colour: str = Role.INK, name: str | None = None
) -> ft.Text:
    """Large figures on one line; all ten digits are equally wide, so they do not jump."""
    figures = style(size, strong=True, colour=colour, height=1)
    return ft.Text(value, style=figures, no_wrap=True, semantics_label=name)


def section_title(title: str, *, detail: str | None = None) -> ft.Control:
    """A heading under a printed rule, with an optional quiet remark on the right."""
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


def rule() -> ft.Control:
    """A hairline between rows."""
    return ft.Container(height=1, bgcolor=Role.LINE)


def button_style(
    *, ground: str, pressed: str, label: str, border: str, padding: ft.Padding, size: int = Type.BODY
) -> ft.ButtonStyle:
    """Flat: no shadow, no ripple. Pressing changes the ground; what the keyboard is on wears a thick ring."""
    state = ft.ControlState
    ring = ft.BorderSide(FOCUS_PX, Role.FOCUS, stroke_align=ft.BorderSideStrokeAlign.OUTSIDE)
    return ft.ButtonStyle(
        color={state.DISABLED: Role.DISABLED, state.DEFAULT: label},
        bgcolor={
            state.DISABLED: Role.SUNK,
            state.PRESSED: pressed,
            state.HOVERED: pressed,
            state.DEFAULT: ground,
        },
        overlay_color=ft.Colors.TRANSPARENT,
        elevation=0,
        animation_duration=0,
        padding=padding,
        side={
            state.FOCUSED: ring,
            state.DISABLED: ft.BorderSide(BORDER_PX, Role.DISABLED),
            state.DEFAULT: ft.BorderSide(BORDER_PX, border),
        },
        shape=ft.RoundedRectangleBorder(radius=RADIUS),
        text_style=style(size, strong=True, height=LABEL_HEIGHT),
        visual_density=ft.VisualDensity.STANDARD,
    )


def _label(text: str, *, size: int, name: str | None) -> ft.Text:
    """A button's label; it leaves the colour to the button, so that the disabled state can change it."""
    look = style(size, strong=True, height=LABEL_HEIGHT).copy()
    look.color = None
    return ft.Text(text, style=look, text_align=ft.TextAlign.CENTER, semantics_label=name)


def primary_button(
    label: str,
    on_click: Handler | None,
    *,
    name: str | None = None,
    disabled: bool = False,
    expand: bool | int = False,
) -> ft.Control:
    """The one main action of a screen: filled, 64 px or more. Put `expand=True` inside a row."""
    return ft.Button(
        content=_label(label, size=Type.LEAD, name=name),
        on_click=on_click,
        disabled=disabled,
        expand=expand or None,
        style=button_style(
            ground=Role.ACCENT,
            pressed=Role.ACCENT_PRESSED,
            label=Role.ON_ACCENT,
            border=Role.ACCENT,
            padding=touch_padding(Type.LEAD, at_least=TOUCH_MAIN_PX, sideways=Space.L),
            size=Type.LEAD,
        ),
    )


_TONE = {
    "plain": (Role.SURFACE, Role.INK, Role.LINE_STRONG),
    "caution": (Role.CAUTION_SOFT, Role.CAUTION, Role.CAUTION),
    "danger": (Role.DANGER_SOFT, Role.DANGER, Role.DANGER),
}


def quiet_button(
    label: str,
    on_click: Handler | None,
    *,
    name: str | None = None,
    tone: Tone = "plain",
    disabled: bool = False,
    expand: bool | int = False,
) -> ft.Control:
    """Any other action: outlined, 48 px or more. Tone "caution" is for pain, "danger" for an urgent sign."""
    ground, ink, border = _TONE[tone]
    return ft.Button(
        content=_label(label, size=Type.BODY, name=name),
        on_click=on_click,
        disabled=disabled,
        expand=expand or None,
        style=button_style(
            ground=ground,
            pressed=Role.SUNK,
            label=ink,
            border=border,
            padding=touch_padding(Type.BODY, at_least=TOUCH_PX),
        ),
    )


def _sign(kind: NoticeKind) -> ft.Control:
    """Our three signs, told apart by outline: square for a note, triangle for a caution, octagon for danger."""
    colour = {"note": Role.INK_SOFT, "caution": Role.CAUTION, "danger": Role.DANGER}[kind]
    outline = {
        "note": ((2, 2), (26, 2), (26, 26), (2, 26)),
        "caution": ((14, 1), (28, 26), (0, 26)),
        "danger": ((8, 0), (20, 0), (28, 8), (28, 20), (20, 28), (8, 28), (0, 20), (0, 8)),
    }[kind]
    stroke = ft.Paint(color=Role.BACKGROUND, stroke_width=3, style=ft.PaintingStyle.STROKE)
    stem = (9, 17) if kind == "caution" else (7, 15)
    return ft.Container(
        width=28,
        height=28,
        content=cv.Canvas(
            shapes=[
                polygon(outline, ft.Paint(color=colour)),
                cv.Line(14, stem[0], 14, stem[1], paint=stroke),
                cv.Line(14, stem[1] + 2.5, 14, stem[1] + 5.5, paint=stroke),
            ]
        ),
    )


def polygon(points: Sequence[tuple[float, float]], paint: ft.Paint) -> cv.Path:
    """A closed outline through `points`, in px."""
    first, *others = points
    steps = [cv.Path.MoveTo(*first), *(cv.Path.LineTo(*point) for point in others), cv.Path.Close()]
    return cv.Path(elements=steps, paint=paint)


_NOTICE = {
    "note": ("Note", Role.SURFACE, Role.INK_SOFT),
    "caution": ("Take care", Role.CAUTION_SOFT, Role.CAUTION),
    "danger": ("Stop", Role.DANGER_SOFT, Role.DANGER),
}


def notice(
    kind: NoticeKind,
    text: str,
    *,
    title: str | None = None,
    actions: Sequence[ft.Control] = (),
    announce: bool = False,
) -> ft.Control:
    """A panel that speaks by word and sign as well as colour; `announce` has a screen reader say it at once."""
    word, ground, colour = _NOTICE[kind]
    heading = words(title or word, strong=True, colour=colour if kind != "note" else Role.INK)
    buttons = [ft.Row(list(actions), wrap=True, spacing=Space.S, run_spacing=Space.S)] if actions else []
    spoken: ft.Control = ft.Column([heading, words(text)], spacing=Space.XS, tight=True)
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
    """What a part of a screen shows in place of itself when it could not be drawn; `what` names the part."""
    actions = [quiet_button("Try again", on_retry)] if on_retry else []
    text = f"This part could not be shown ({what}). What was recorded is kept."
    return notice("caution", text, title="Something went wrong here", actions=actions, announce=True)
