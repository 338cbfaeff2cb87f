"""The load of a movement: one that is owned, else stepped from the figure shown; kept in grams."""

from decimal import Decimal
from typing import Any

import flet as ft
import pytest

from companion.views.controls.load_input import HEAVIEST_G, STEPS, load_choice, load_layout, stepped_g
from engine.base.units import GRAMS_PER_POUND, LoadUnit, format_load


def test_kilograms_step_by_halves_without_loss() -> None:
    assert stepped_g(12_000, Decimal("0.5"), LoadUnit.kg) == 12_500
    assert stepped_g(12_250, Decimal("0.5"), LoadUnit.kg) == 12_750
    assert stepped_g(12_500, Decimal(-2), LoadUnit.kg) == 10_500


@pytest.mark.parametrize("pounds", range(60))
def test_whole_pounds_stay_whole_however_often_they_are_stepped(pounds: int) -> None:
    """453.59237 g: International Yard and Pound Agreement, 1959; a dumbbell of 8 lb is no whole gram."""
    load_g: int | None = None
    for _ in range(pounds):
        load_g = stepped_g(load_g, Decimal(1), LoadUnit.lb)
    assert format_load(load_g or 0, LoadUnit.lb) == f"{pounds} lb"
    assert abs((load_g or 0) - pounds * GRAMS_PER_POUND) <= Decimal("0.5")


def test_a_load_stays_between_nothing_and_the_heaviest() -> None:
    assert stepped_g(None, Decimal(-2), LoadUnit.kg) == 0
    assert stepped_g(500, Decimal(-2), LoadUnit.kg) == 0
    assert stepped_g(HEAVIEST_G, Decimal(2), LoadUnit.kg) == HEAVIEST_G


def drawn(load_g: int | None, unit: LoadUnit) -> ft.Control:
    return load_layout("Goblet squat", load_g, print, unit=unit, stacked=False)


def said(control: Any) -> list[str]:
    if isinstance(control, ft.Semantics) and control.exclude_semantics:
        return []
    inside = [getattr(control, "content", None), *(getattr(control, "controls", None) or [])]
    own = [control.semantics_label or control.value] if isinstance(control, ft.Text) else []
    return own + [text for one in inside if isinstance(one, ft.Control) for text in said(one)]


def test_a_load_that_nobody_told_is_not_shown_as_nothing() -> None:
    assert said(drawn(None, LoadUnit.kg))[:2] == ["Goblet squat", "– kg"]
    assert said(drawn(0, LoadUnit.kg))[:2] == ["Goblet squat", "0 kg"]


@pytest.mark.parametrize("unit", LoadUnit)
def test_every_step_is_named_for_a_screen_reader_down_before_up(unit: LoadUnit) -> None:
    steps = STEPS[unit]
    expected = [*(step.less for step in reversed(steps)), *(step.more for step in steps)]
    assert said(drawn(12_500, unit))[2:] == expected


def chips_of(load_g: int | None, unit: LoadUnit = LoadUnit.kg) -> list[tuple[str, bool]]:
    drawn = load_choice("Row, each", load_g, print, unit=unit, owned_g=(4_000, 6_000, 8_000))
    inside, found = [drawn], list[tuple[str, bool]]()
    while inside:
        one: Any = inside.pop(0)
        if isinstance(one, ft.Semantics) and isinstance(one.content, ft.Button):
            found.append((one.content.content.controls[1].value, bool(one.selected)))
        inside[:0] = [c for c in (one.content if hasattr(one, "content") else None,) if c is not None]
        inside += getattr(one, "controls", None) or []
    return found


def test_where_the_weights_are_known_each_is_one_tap_and_no_other_can_be_said() -> None:
    assert chips_of(6_000) == [("no weight", False), ("4 kg", False), ("6 kg", True), ("8 kg", False)]
    assert not any(chosen for _, chosen in chips_of(None)), "nothing was told"
    assert chips_of(0)[0] == ("no weight", True)


def test_a_weight_that_was_lifted_and_is_not_owned_is_shown_among_them() -> None:
    assert [label for label, _ in chips_of(5_000)] == ["no weight", "4 kg", "5 kg", "6 kg", "8 kg"]
