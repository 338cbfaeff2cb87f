"""The look's measurable promises: contrast, slots, fonts. wcag-contrast-ratio computes the contrast.

Limits: WCAG 2.2, success criteria 1.4.3 and 1.4.6 (text 4.5:1, enhanced 7:1) and 1.4.11 (non-text 3:1).
"""

from dataclasses import fields
from pathlib import Path

import flet as ft
import pytest
import wcag_contrast_ratio

from companion.style.kinds import KIND_ROLE
from companion.views.controls import theme
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


def test_the_font_files_are_there_with_their_licence() -> None:
    assets = Path(theme.__file__).parents[2] / "assets"
    assert all((assets / file).stat().st_size > 10_000 for file in theme.FONT_FILES.values())
    assert "SIL OPEN FONT LICENSE" in (assets / "fonts" / "OFL.txt").read_text()
