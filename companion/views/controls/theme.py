"""Design tokens: type, spacing, touch sizes, and the Flet theme made from them and from the palette."""

from dataclasses import replace
from math import ceil

import flet as ft

from companion.style.palette import DARK as DARK
from companion.style.palette import LIGHT as LIGHT
from companion.style.palette import Palette as Palette
from companion.style.palette import Role as Role

FONT_TEXT = "B612"
# A family of its own: Flet registers one file for a family, and would smear a false bold out of it.
FONT_STRONG = "B612 Bold"
FONT_FILES = {FONT_TEXT: "fonts/B612-Regular.otf", FONT_STRONG: "fonts/B612-Bold.otf"}
# The client ships with it: glyphs that B612 lacks (the Polish l with a stroke, say) come from there.
FONT_FALLBACK = ["Roboto"]
# Width of a digit and of the colon in FONT_STRONG, in ems, from the font's table; all digits are alike.
DIGIT_EM, COLON_EM = 0.65, 0.3

# Material icons in use, so that the phone build can cut its font to them. Ours are drawn: none yet.
ICONS_USED: tuple[str, ...] = ()


class Type:
    """Type sizes in px, before the reader's own text scale."""

    CAPTION = 15
    BODY = 17
    LEAD = 20
    TITLE = 26
    FAR = 40  # what is read from two metres beside the clock
    DIGITS = 56
    CLOCK = 112


class Space:
    """Distances in px on a grid of 4."""

    XS = 4
    S = 8
    M = 16
    L = 24
    XL = 32
    XXL = 48


RADIUS = 4
RULE_PX = 2  # the printed rule above a section and above the bottom bar
BORDER_PX = 1.5
FOCUS_PX = 4
TOUCH_PX = 48  # the smallest thing a finger has to hit
TOUCH_MAIN_PX = 64  # the main action of a screen
MAX_TEXT_WIDTH = 640  # longer lines are hard to read
MAX_PAGE_WIDTH = 1040
LINE_HEIGHT = 1.35
LABEL_HEIGHT = 1.2


def clock_ems(text: str) -> float:
    """Width of a clock's text (digits and colons) in ems."""
    return sum(COLON_EM if char == ":" else DIGIT_EM for char in text)


def clock_px(width: float, text: str = "00:00", *, height: float = float("inf")) -> int:
    """The largest clock that fits a page of `width` px with margins and leaves three quarters of `height`."""
    return int(max(96, min(240, (width - 2 * Space.M) / clock_ems(text), height / 4)))


def touch_padding(size: int, *, at_least: int = TOUCH_PX, sideways: int = Space.M) -> ft.Padding:
    """Padding that makes a one-line label of `size` px at least `at_least` px tall, and lets it grow."""
    upright = max(Space.S, ceil((at_least - size * LABEL_HEIGHT) / 2))
    return ft.Padding.symmetric(vertical=upright, horizontal=sideways)


def style(
    size: int = Type.BODY, *, strong: bool = False, colour: str | None = Role.INK, height: float = LINE_HEIGHT
) -> ft.TextStyle:
    """A text style of our family. Strong text is set in the bold file, never by weight.

    Colour None leaves the colour to the button around the text, so that its states can change it.
    """
    return ft.TextStyle(
        size=size,
        height=height,
        color=colour,
        weight=ft.FontWeight.NORMAL,
        font_family=FONT_STRONG if strong else FONT_TEXT,
        font_family_fallback=FONT_FALLBACK,
    )


def colour_scheme(palette: Palette) -> ft.ColorScheme:
    """The palette in the slots named by Role, and every slot that Flet's own controls may read besides."""
    return replace(
        _scheme_of_roles(palette),
        on_secondary=palette.background,
        on_tertiary=palette.background,
        on_error_container=palette.ink,
        on_tertiary_container=palette.ink,
        secondary_container=palette.accent_soft,
        on_secondary_container=palette.ink,
        inverse_surface=palette.ink,
        on_inverse_surface=palette.background,
        surface_container_low=palette.background,
        surface_container_lowest=palette.surface,
        surface_container_highest=palette.sunk,
        surface_bright=palette.surface,
        surface_tint=ft.Colors.TRANSPARENT,
        shadow=ft.Colors.TRANSPARENT,
        scrim=palette.ink if palette is LIGHT else "#000000",
    )


def _scheme_of_roles(palette: Palette) -> ft.ColorScheme:
    return ft.ColorScheme(
        surface=palette.background,
        surface_container=palette.surface,
        surface_container_high=palette.sunk,
        on_surface=palette.ink,
        on_surface_variant=palette.ink_soft,
        outline_variant=palette.line,
        outline=palette.line_strong,
        primary=palette.accent,
        on_primary_container=palette.accent_pressed,
        on_primary=palette.on_accent,
        primary_container=palette.accent_soft,
        primary_fixed=palette.work,
        on_primary_fixed=palette.on_work,
        secondary_fixed=palette.rest,
        tertiary_fixed=palette.change,
        primary_fixed_dim=palette.warm_up,
        secondary_fixed_dim=palette.practice,
        tertiary_fixed_dim=palette.cool_down,
        surface_dim=palette.get_ready,
        tertiary=palette.caution,
        tertiary_container=palette.caution_soft,
        error=palette.danger,
        error_container=palette.danger_soft,
        on_error=palette.on_danger,
        inverse_primary=palette.focus,
        secondary=palette.disabled,
    )


def _text_theme() -> ft.TextTheme:
    title, lead = style(Type.TITLE, strong=True), style(Type.LEAD, strong=True)
    label = style(Type.BODY, strong=True, height=LABEL_HEIGHT)
    return ft.TextTheme(
        body_large=style(Type.BODY),
        body_medium=style(Type.BODY),
        body_small=style(Type.CAPTION),
        display_large=style(Type.CLOCK, strong=True, height=1),
        display_medium=style(Type.DIGITS, strong=True, height=1),
        display_small=style(Type.DIGITS, strong=True, height=1),
        headline_large=title,
        headline_medium=title,
        headline_small=title,
        title_large=title,
        title_medium=lead,
        title_small=label,
        label_large=label,
        label_medium=label,
        label_small=style(Type.CAPTION, strong=True, height=LABEL_HEIGHT),
    )


def flet_theme(mode: ft.ThemeMode) -> ft.Theme:
    """The Flet theme for LIGHT or DARK: our colours and type, no ripples, no page transitions."""
    palette = DARK if mode == ft.ThemeMode.DARK else LIGHT
    none = ft.PageTransitionTheme.NONE
    square = ft.RoundedRectangleBorder(radius=RADIUS)
    return ft.Theme(
        color_scheme=colour_scheme(palette),
        font_family=FONT_TEXT,
        text_theme=_text_theme(),
        scaffold_bgcolor=palette.background,
        canvas_color=palette.background,
        page_transitions=ft.PageTransitionsTheme(
            android=none, ios=none, linux=none, macos=none, windows=none
        ),
        splash_color=ft.Colors.TRANSPARENT,
        highlight_color=ft.Colors.TRANSPARENT,
        hover_color=ft.Colors.TRANSPARENT,
        divider_theme=ft.DividerTheme(color=palette.line, thickness=1, space=1),
        scrollbar_theme=ft.ScrollbarTheme(thickness=4, radius=RADIUS, thumb_color=palette.line_strong),
        tooltip_theme=ft.TooltipTheme(exclude_from_semantics=True),
        dialog_theme=ft.DialogTheme(bgcolor=palette.surface, elevation=0, shape=square),
        snackbar_theme=ft.SnackBarTheme(bgcolor=palette.ink, elevation=0, shape=square),
    )


def apply_theme(page: ft.Page) -> None:
    """Gives the page our fonts and both themes; the mode follows the system."""
    page.fonts = dict(FONT_FILES)
    page.theme = flet_theme(ft.ThemeMode.LIGHT)
    page.dark_theme = flet_theme(ft.ThemeMode.DARK)
    page.theme_mode = ft.ThemeMode.SYSTEM
    page.bgcolor = Role.BACKGROUND
    page.padding = 0
