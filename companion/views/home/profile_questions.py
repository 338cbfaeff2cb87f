"""What is asked of a person who ticked a pregnancy or a birth: one question each."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from datetime import date
from typing import Any

import flet as ft

from companion.views.controls.field import field
from companion.views.controls.parts import words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space
from companion.views.controls.tick import tick_row
from companion.words.saying import msgid, say
from engine.record.profile import LAST_WEEK, Birth, read_birthday, read_week

WEEK = msgid("Which week of pregnancy are you in?")
WEEK_HINT = msgid("1 to {last}")
WEEK_FAULT = msgid("Write a week from 1 to {last}.")
UNSAID = msgid("Until you answer, the most careful rules apply.")
BIRTH = msgid("Which day was the birth?")
BIRTH_HINT = msgid("year-month-day, such as {example}")
BIRTH_FAULT = msgid("Write a day up to today, such as {example}.")
BIRTH_EXAMPLE = "2026-11-30"
CAESAREAN = msgid("By caesarean")


@safe_component
def week_question(week: int | None, on_week: Callable[[int], Any]) -> ft.Control:
    """Asks for the week of pregnancy; ``on_week`` gets one from 1 to 42."""
    wrong, set_wrong = ft.use_state(False)

    async def write(text: str) -> None:
        said = read_week(text)
        set_wrong(said is None and bool(text.strip()))
        if said is not None:
            await _told(on_week, said)

    box = field(
        say(WEEK),
        "" if week is None else f"{min(week, LAST_WEEK)}",
        write,
        hint=say(WEEK_HINT, last=LAST_WEEK),
        fault=say(WEEK_FAULT, last=LAST_WEEK) if wrong else None,
        number=True,
    )
    return _question(box, *([words(say(UNSAID), colour=Role.INK_SOFT)] if week is None else []))


@safe_component
def birth_question(birth: Birth | None, today: date, on_birth: Callable[[Birth], Any]) -> ft.Control:
    """Asks for the day of a birth, and then whether it was by caesarean."""
    wrong, set_wrong = ft.use_state(False)

    async def write(text: str) -> None:
        day = read_birthday(text, today)
        set_wrong(day is None and len(text.strip()) >= len(BIRTH_EXAMPLE))
        if day is not None:
            await _told(on_birth, Birth(on=day, caesarean=birth is not None and birth.caesarean))

    async def tick(caesarean: bool) -> None:
        if birth is not None:
            await _told(on_birth, birth.model_copy(update={"caesarean": caesarean}))

    box = field(
        say(BIRTH),
        "" if birth is None else birth.on.isoformat(),
        write,
        hint=say(BIRTH_HINT, example=BIRTH_EXAMPLE),
        fault=say(BIRTH_FAULT, example=BIRTH_EXAMPLE) if wrong else None,
    )
    if birth is None:
        return _question(box, words(say(UNSAID), colour=Role.INK_SOFT))
    return _question(box, tick_row(say(CAESAREAN), birth.caesarean, tick))


def _question(*controls: ft.Control) -> ft.Control:
    stretch = ft.CrossAxisAlignment.STRETCH
    return ft.Column(list(controls), spacing=Space.S, tight=True, horizontal_alignment=stretch)


async def _told(handler: Callable[[Any], Any], said: object) -> None:
    done = handler(said)
    if inspect.isawaitable(done):
        await done
