"""The look's measurable promises: contrast, touch sizes, type. wcag-contrast-ratio computes the contrast.

Limits: WCAG 2.2, success criteria 1.4.3 and 1.4.6 (text 4.5:1, enhanced 7:1) and 1.4.11 (non-text 3:1).
48 px to touch is common practice, no source; WCAG 2.2 asks for 24 (2.5.8) and, enhanced, 44 (2.5.5).
"""

from collections.abc import Iterator
from dataclasses import fields
from pathlib import Path
from typing import Any

import flet as ft
import pytest
import wcag_contrast_ratio

from companion.style.kinds import KIND_ROLE
from companion.views.controls import big_words, frame, inputs, parts, theme
from companion.views.controls.theme import DARK, LIGHT, Palette, Role

GROUNDS = ("background", "surface", "sunk")
TEXT_ON = {
    "ink": (*GROUNDS, "accent_soft", "caution_soft", "danger_soft"),
    "ink_soft": GROUNDS,
    "disabled": ("sunk",),
    "accent": ("background", "surface", "accent_soft"),
    "caution": ("background", "surface", "caution_soft", "sunk"),
    "danger": ("background", "surface", "danger_soft", "sunk"),
    "on_accent": ("accent", "accent_pressed"),
    "on_work": ("work",),
    "on_danger": ("danger",),
}
SHAPES_ON = {
    "line_strong": GROUNDS,
    "accent": (*GROUNDS, "accent_soft"),
    "work": (*GROUNDS, "accent_soft"),
    "rest": GROUNDS,
    "change": GROUNDS,
    "warm_up": GROUNDS,
    "practice": GROUNDS,
    "cool_down": GROUNDS,
    "get_ready": GROUNDS,
    "caution": (*GROUNDS, "caution_soft"),
    "danger": (*GROUNDS, "danger_soft"),
    "focus": GROUNDS,
}
MODES = (pytest.param(LIGHT, id="light"), pytest.param(DARK, id="dark"))


def ratio(palette: Palette, one: str, other: str) -> float:
    def parts_of(role: str) -> tuple[float, ...]:
        value = getattr(palette, role)
        return tuple(int(value[at : at + 2], 16) / 255 for at in (1, 3, 5))

    return float(wcag_contrast_ratio.rgb(parts_of(one), parts_of(other)))


def too_weak(palette: Palette, pairs: dict[str, tuple[str, ...]], limit: float) -> list[str]:
    found = (
        (role, ground, ratio(palette, role, ground)) for role, grounds in pairs.items() for ground in grounds
    )
    return [f"{role} on {ground}: {value:.2f}" for role, ground, value in found if value < limit]


@pytest.mark.parametrize("palette", MODES)
def test_text_stands_out_from_every_ground_it_is_set_on(palette: Palette) -> None:
    assert too_weak(palette, TEXT_ON, 4.5) == []


@pytest.mark.parametrize("palette", MODES)
def test_ink_reaches_the_enhanced_contrast(palette: Palette) -> None:
    assert too_weak(palette, {"ink": TEXT_ON["ink"]}, 7.0) == []


@pytest.mark.parametrize("palette", MODES)
def test_borders_patterns_and_the_focus_ring_stand_out_from_their_grounds(palette: Palette) -> None:
    assert too_weak(palette, SHAPES_ON, 3.0) == []


def test_every_colour_has_a_checked_use_or_only_decorates() -> None:
    grounds = {ground for used in (*TEXT_ON.values(), *SHAPES_ON.values()) for ground in used}
    assert {field.name for field in fields(Palette)} - set(TEXT_ON) - set(SHAPES_ON) - grounds == {"line"}


def test_every_role_reaches_the_client_in_a_slot_of_its_own() -> None:
    scheme_slots = {field.name.replace("_", ""): field.name for field in fields(ft.ColorScheme)}
    for palette in (LIGHT, DARK):
        scheme = theme.colour_scheme(palette)
        carried = {role.name.lower(): getattr(scheme, scheme_slots[role.value]) for role in Role}
        assert carried == {field.name: getattr(palette, field.name) for field in fields(Palette)}
    assert len({role.value for role in Role}) == len(Role)


def test_no_slot_is_left_to_the_framework_to_fill_in_the_roles_that_controls_read() -> None:
    scheme = theme.colour_scheme(LIGHT)
    unset = {field.name for field in fields(scheme) if getattr(scheme, field.name) is None}
    # The fixed variants are read by no control of ours or of Flet's.
    assert all("fixed" in name for name in unset)


def test_every_kind_of_segment_has_a_colour() -> None:
    kinds = ["get_ready", "warm_up", "practice", "work", "side_change", "rest", "transition", "cool_down"]
    assert list(KIND_ROLE) == kinds


def test_the_clock_is_at_least_96_px_and_fits_between_the_margins_of_a_phone() -> None:
    for text in ("0:30", "12:45"):
        size = theme.clock_px(412, text)
        assert size >= 96
        assert size * theme.clock_ems(text) <= 412 - 2 * theme.Space.M


def _every(control: Any) -> Iterator[Any]:
    yield control
    for name in ("content", "controls"):
        inside = getattr(control, name, None)
        for child in inside if isinstance(inside, list) else [inside]:
            if isinstance(child, ft.Control):
                yield from _every(child)


def _tallest_text_px(control: ft.Control) -> float:
    texts = (part.style for part in _every(control) if isinstance(part, ft.Text) and part.style)
    return max((style.size or 0) * (style.height or 1) for style in texts)


def _button_heights(*controls: ft.Control) -> list[float]:
    buttons = [part for control in controls for part in _every(control) if isinstance(part, ft.Button)]
    return [
        _tallest_text_px(button) + button.style.padding.top + button.style.padding.bottom
        for button in buttons
    ]


def test_everything_to_tap_is_at_least_48_px_tall() -> None:
    heights = _button_heights(
        parts.primary_button("Start", print),
        parts.quiet_button("Swap", print),
        *inputs.step_buttons(25, print, unit="minute", steps=(-5, -1, 1, 5), limits=(0, 60)),
        inputs.choice_row((("one", "One"), ("two", "Two")), "one", print, name="Dumbbells"),
        inputs.tick_row("Hip circles", False, print),
    )
    assert len(heights) == 9
    assert min(heights) >= 48
    assert max(heights[:1]) >= 64


def test_a_stepper_names_its_steps_and_stays_within_its_limits() -> None:
    chosen: list[int] = []
    buttons = inputs.step_buttons(58, chosen.append, unit="minute", steps=(-5, -1, 1, 5), limits=(8, 60))
    names = [button.content.semantics_label for button in buttons]
    assert names == ["five minutes less", "one minute less", "one minute more", "five minutes more"]
    assert [bool(button.disabled) for button in buttons] == [False, False, False, True]
    buttons[1].on_click()
    assert chosen == [57]


def test_the_font_files_are_there_with_their_licence() -> None:
    assets = Path(theme.__file__).parents[2] / "assets"
    assert all((assets / file).stat().st_size > 10_000 for file in theme.FONT_FILES.values())
    assert "SIL OPEN FONT LICENSE" in (assets / "fonts" / "OFL.txt").read_text()


async def test_an_async_handler_stays_async_and_gets_its_value() -> None:
    told: list[str] = []

    async def choose(value: str) -> None:
        told.append(value)

    row = inputs.choice_row((("one", "One"), ("two", "Two")), "one", choose, name="Dumbbells")
    second = [part for part in _every(row) if isinstance(part, ft.Button)][1]
    await second.on_click()
    assert told == ["two"]


@pytest.mark.parametrize("page_px", [320, 412, 700, 991, 992, 1040, 1280, 1920])
def test_the_clock_fits_the_column_it_stands_in(page_px: int) -> None:
    room_px = frame.column_px(page_px) - 2 * theme.Space.M
    assert room_px <= page_px - 2 * theme.Space.M
    if page_px >= 412:
        assert theme.clock_px(frame.column_px(page_px), "12:45") * theme.clock_ems("12:45") <= room_px


def test_the_longest_word_of_a_name_fits_a_phone_at_any_text_scale() -> None:
    """WCAG 2.2, 1.4.4: text up to 200 per cent without loss."""
    for scale in (1.0, 1.3, 2.0):
        size = big_words.fitting_size("Alternating step-back lunge", 56, page_px=412, scale=scale)
        assert size * scale * len("Alternating") * big_words.WIDEST_EM <= 412 - 2 * theme.Space.M
    assert big_words.fitting_size("Wide row", 56, page_px=412, scale=1.0) == 56
    longest_name = "Lunge with a turn " * 6
    assert big_words.fitting_size(longest_name, 56, page_px=412, scale=1.0) == theme.Type.TITLE
