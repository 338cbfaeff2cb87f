"""The log says what happened: how much was done, what was skipped or stopped, and what hurt."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import flet as ft
import pytest
from builders import HAND, plan, work
from flet_client import Screen
from two_places import two_places

from companion.style.safety import CALL_NOW, HELP_ROW
from engine.plan.plan import RoundsRange

TWO_ROUNDS = plan(work(HAND.slug, rounds=RoundsRange(min=2, max=2)))
LOG = "How was it?"


@pytest.fixture
async def screen(tmp_path: Path) -> AsyncIterator[Screen]:
    screen = Screen(tmp_path)
    yield screen
    screen.client.session.close()


async def begin(screen: Screen) -> None:
    """To the work of the first round."""
    await screen.start(TWO_ROUNDS)
    await screen.press("Skip", then="LEFT")


def labels(screen: Screen) -> list[str]:
    """The words of every button."""
    buttons = [one for one in screen.client.controls() if isinstance(one, ft.Button)]
    return [one.content.value for one in buttons if isinstance(one.content, ft.Text)]


async def test_what_was_skipped_and_what_pain_stopped_say_so_and_what_hurt_stands_there(
    screen: Screen,
) -> None:
    await begin(screen)
    screen.clock.ms += 800
    await screen.press("Skip", then="Rest")
    await screen.press("Skip", then="Round 2 of 2")
    screen.clock.ms += 8_000
    await screen.press("Something hurts", then="Where?")
    await screen.press(HELP_ROW, then=CALL_NOW)
    await screen.press("End the session", then=LOG)
    assert screen.client.shows("0 of 2 rounds done, 0:0")
    assert not screen.client.shows("All of it done")
    assert screen.client.shows("What hurt")
    assert screen.client.shows("One hand press: a warning sign.")
    skipped = "Round 1: One hand press, left, skipped"
    assert skipped in screen.client.texts()
    assert not any(label.startswith("Round 1") for label in labels(screen)), "nothing of it was done"
    stopped = "Round 2: One hand press, left, stopped for pain after 8 s"
    assert screen.client.shows(stopped)
    assert not screen.client.shows("as planned")


async def test_a_movement_with_two_places_has_a_row_and_a_line_for_each(screen: Screen) -> None:
    await screen.start(two_places())
    await screen.press("Skip", then="Round 1 of 2")
    for _ in range(1_600):
        screen.clock.ms += 500
        await screen.window.do.session.watch()
    await screen.client.until_shown(LOG)
    texts = screen.client.texts()
    assert {"Both hands lift, no. 1", "Both hands lift, no. 2"} <= set(texts)
    assert "Both hands lift" not in texts
    for number in (1, 2):
        for turn in (1, 2):
            assert screen.client.shows(f"Round {number}: Both hands lift, no. {turn}, as planned")
    assert screen.client.shows("Round 1: One hand press, left")
