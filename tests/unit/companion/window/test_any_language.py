"""Every screen in a language that nobody speaks: what is not in its brackets is in no catalogue."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator, Callable, Iterator
from pathlib import Path
from typing import Any

import flet as ft
import pytest
from flet_client import FletClient, Screen
from pseudo import pseudo_language

from companion.app import run_page
from companion.samples import sample_plans
from companion.state import app as state_module
from engine.movements.movement import Joint, Kit, Side

SPOKEN = ("value", "label", "semantics_label", "hint_text", "tooltip", "error")
_IN_BRACKETS, _WORDS = re.compile(r"⟦[^⟦⟧]*⟧"), re.compile(r"[^\W\d_]{2,}")
UNITS = {"kg", "min"}
THEMSELVES = {"English", "Deutsch"}
"""Each language is named in its own words."""


def shown(client: FletClient) -> Iterator[str]:
    """Every text on the screen, seen or spoken."""
    for control in client.controls():
        for name in () if isinstance(control, ft.TextField) else SPOKEN:  # a person writes there
            text = getattr(control, name, None)
            if isinstance(text, str):
                yield text


def outside(text: str) -> set[str]:
    """The words of a text that no catalogue holds."""
    while (inside := _IN_BRACKETS.sub(" ", text)) != text:
        text = inside
    return set(_WORDS.findall(text)) - UNITS - THEMSELVES


async def untranslated(client: FletClient) -> dict[str, set[str]]:
    await asyncio.sleep(0.05)  # what the last action changed is drawn
    return {text: words for text in shown(client) if (words := outside(text))}


@pytest.fixture
async def screen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Screen:
    monkeypatch.setattr(state_module, "chosen", lambda _: pseudo_language())
    one = Screen(tmp_path)
    await run_page(one.client.page, one.window)
    return one


async def through_a_session(screen: Screen) -> AsyncIterator[str]:
    """Names each screen of a session while it is shown."""
    do, state = screen.window.do, screen.window.state
    await do.setup.choose_kit(Kit.pair)
    yield "setup"
    do.setup.set_minutes(5)
    yield "nothing fits"
    do.setup.set_minutes(25)
    await do.session.start()
    yield "warm-up"
    live = state.run.in_progress
    while live.state.current is not None and live.state.current.kind != "work":
        screen.clock.ms += 1_000
        await do.session.skip()
    yield "work"
    await do.session.pause()
    yield "paused"
    await do.session.resume()
    await do.session.something_hurts()
    yield "where it hurts"
    await do.session.end_early()
    yield "log"
    await do.log.save()
    yield "week"


async def test_every_screen_says_only_what_is_in_the_catalogues(screen: Screen) -> None:
    client, window = screen.client, screen.window
    found = {"cautions": await untranslated(client)}
    await window.do.opening.accept_cautions(())
    async for name in through_a_session(screen):
        found[name] = await untranslated(client)
    go = window.do.go
    for name in ("kit", "cues", "settings", "plans", "write_plan", "week", "setup", "pages"):
        await called(getattr(go, name))
        found[name] = await untranslated(client)
    window.do.plans.look_at(sample_plans()[1])
    found["plan"] = await untranslated(client)
    await go.write_plan(sample_plans()[0])
    found["desk"] = await untranslated(client)
    said = [
        f"{name}: {text} ({', '.join(sorted(words))})"
        for name, texts in found.items()
        for text, words in texts.items()
    ]
    assert not said, "\n".join(said)


async def called(show: Callable[[], Any]) -> None:
    shown = show()
    if shown is not None:
        await shown


async def test_a_joint_in_pain_is_said_in_the_language(screen: Screen) -> None:
    await screen.window.do.opening.accept_cautions(())
    for rating in (2, 4, 6):
        await screen.window.do.setup.rate_sore(Joint.knee, Side.left, rating)
        assert await untranslated(screen.client) == {}, rating


def test_a_word_outside_the_brackets_is_found() -> None:
    assert outside("⟦Stårt ⟦18:30 ~⟧ ~~⟧ 24:06 kg") == set()
    assert outside("⟦Stårt ~~⟧ Kit and loads") == {"Kit", "and", "loads"}
