"""Colours by role: paper and ink, light and dark.

A role reaches Flet through a slot of its colour scheme. A view writes ``Role.WORK``, the client picks the
colour for light or dark, and no view asks which of the two it is. test_theme.py computes the contrast of
every pair in use.
"""

from dataclasses import dataclass
from enum import StrEnum


@dataclass(frozen=True, kw_only=True)
class Palette:
    """One colour for each role, as #RRGGBB. Field names are the lower-case names of Role."""

    background: str  # the page
    surface: str  # a card or a field on the page
    sunk: str  # the ground of what is pressed or not selected
    ink: str  # text
    ink_soft: str  # secondary text
    line: str  # hairlines for decoration
    line_strong: str  # borders that say "this is a control"
    accent: str  # the one main action
    accent_pressed: str
    on_accent: str
    accent_soft: str  # the ground of what is chosen
    work: str
    on_work: str
    rest: str
    change: str  # a change of sides
    warm_up: str
    practice: str
    cool_down: str
    get_ready: str  # lead-in and transitions
    caution: str
    caution_soft: str
    danger: str
    danger_soft: str
    on_danger: str
    focus: str  # the ring around the control that has the keyboard
    disabled: str


LIGHT = Palette(
    background="#F7F4EE",
    surface="#FDFBF7",
    sunk="#EAE4D8",
    ink="#1A2226",
    ink_soft="#47525A",
    line="#D5CCBC",
    line_strong="#756B5C",
    accent="#14495C",
    accent_pressed="#0C3443",
    on_accent="#FDFBF7",
    accent_soft="#D5E3E6",
    work="#14495C",
    on_work="#FDFBF7",
    rest="#8A7443",
    change="#A85D0C",
    warm_up="#7A5238",
    practice="#3E6E82",
    cool_down="#5A6470",
    get_ready="#756B5C",
    caution="#9A3B22",
    caution_soft="#F6E4DB",
    danger="#7A1230",
    danger_soft="#F5DFE3",
    on_danger="#FDFBF7",
    focus="#8E2C76",
    disabled="#69645B",
)

DARK = Palette(
    background="#14181B",
    surface="#1D2327",
    sunk="#2A3238",
    ink="#F1EDE4",
    ink_soft="#B4BCC0",
    line="#3A444A",
    line_strong="#8A969C",
    accent="#8CC3D3",
    accent_pressed="#B3DAE5",
    on_accent="#0E1A1F",
    accent_soft="#24424D",
    work="#8CC3D3",
    on_work="#0E1A1F",
    rest="#C7B07A",
    change="#E3A044",
    warm_up="#C79A7B",
    practice="#6FA3B6",
    cool_down="#9AA7B3",
    get_ready="#8A969C",
    caution="#EE9A7E",
    caution_soft="#3C241C",
    danger="#F29AAE",
    danger_soft="#3F1B26",
    on_danger="#240A12",
    focus="#F0A8DC",
    disabled="#98A0A4",
)


class Role(StrEnum):
    """Colour roles; each value is the name of the colour-scheme slot that carries it to the client.

    A slot that Flet's own controls read (surface, outline, primary, error …) carries the role that suits
    them. No other control reads the rest.
    """

    BACKGROUND = "surface"
    SURFACE = "surfacecontainer"
    SUNK = "surfacecontainerhigh"
    INK = "onsurface"
    INK_SOFT = "onsurfacevariant"
    LINE = "outlinevariant"
    LINE_STRONG = "outline"
    ACCENT = "primary"
    ACCENT_PRESSED = "onprimarycontainer"
    ON_ACCENT = "onprimary"
    ACCENT_SOFT = "primarycontainer"
    WORK = "primaryfixed"
    ON_WORK = "onprimaryfixed"
    REST = "secondaryfixed"
    CHANGE = "tertiaryfixed"
    WARM_UP = "primaryfixeddim"
    PRACTICE = "secondaryfixeddim"
    COOL_DOWN = "tertiaryfixeddim"
    GET_READY = "surfacedim"
    CAUTION = "tertiary"
    CAUTION_SOFT = "tertiarycontainer"
    DANGER = "error"
    DANGER_SOFT = "errorcontainer"
    ON_DANGER = "onerror"
    FOCUS = "inverseprimary"
    DISABLED = "secondary"
