"""What can be pressed: large enough to touch, named for a screen reader, async where its handler is.

48 px to touch is common practice, no source; WCAG 2.2 asks for 24 (2.5.8) and, enhanced, 44 (2.5.5).
"""

from collections.abc import Iterator
from typing import Any

import flet as ft

from companion.views.controls import buttons, choice, stepper, tick


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
        buttons.primary_button("Start", print),
        buttons.quiet_button("Swap", print),
        *stepper.step_buttons(25, print, unit="minute", steps=(-5, -1, 1, 5), limits=(0, 60)),
        choice.choice_row((("one", "One"), ("two", "Two")), "one", print, name="Dumbbells"),
        tick.tick_row("Hip circles", False, print),
    )
    assert len(heights) == 9
    assert min(heights) >= 48
    assert max(heights[:1]) >= 64


def test_a_stepper_names_its_steps_and_stays_within_its_limits() -> None:
    chosen: list[int] = []
    steps = stepper.step_buttons(58, chosen.append, unit="minute", steps=(-5, -1, 1, 5), limits=(8, 60))
    names = [button.content.semantics_label for button in steps]
    assert names == ["5 minutes less", "1 minute less", "1 minute more", "5 minutes more"]
    assert [bool(button.disabled) for button in steps] == [False, False, False, True]
    steps[1].on_click()
    assert chosen == [57]


async def test_an_async_handler_stays_async_and_gets_its_value() -> None:
    told: list[str] = []

    async def choose(value: str) -> None:
        told.append(value)

    row = choice.choice_row((("one", "One"), ("two", "Two")), "one", choose, name="Dumbbells")
    second = [part for part in _every(row) if isinstance(part, ft.Button)][1]
    await second.on_click()
    assert told == ["two"]
