"""The log takes under a minute, estimated press by press with the keystroke-level model.

Operators: Card, Moran & Newell 1980, Communications of the ACM 23(7):396–410 [values from memory]. Typing on
a phone: 36 words of five letters a minute, Palin et al. 2019, MobileHCI [value from memory].
"""

from __future__ import annotations

from collections.abc import AsyncIterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from builders import BOTH, HAND, Journal, plan, profile, session, work
from flet_client import FletClient, window_on

from engine.record.record import LimitedBy
from storage.folder.store import FolderStore
from storage.store import Store

THINK_S, POINT_S, PRESS_S = 1.35, 1.10, 0.20
LETTER_S = 60 / (36 * 5)
LIMIT_S = 60
NOTE = "Grip gave out first, try straps?"
PLAN = plan(work(BOTH.slug, HAND.slug))
TWO_ROUNDS_MS = 460_000


async def after_two_rounds(store: Store) -> None:
    await store.person.save_profile(profile(cautions_read_at=datetime(2026, 3, 1, tzinfo=UTC)))
    await store.plans.save(PLAN)
    run = Journal(session(PLAN)).write("started", 0)
    await store.run.open(run.record().model_copy(update={"events": ()}))
    for event in run.write("paused", TWO_ROUNDS_MS).events:
        await store.run.append(event)


class Thumb:
    """Presses and types, and adds up the time; it swipes the page before each press."""

    def __init__(self, client: FletClient) -> None:
        self.client, self.spent_s = client, 0.0

    async def press(self, label: str, *, then: str) -> None:
        self.spent_s += THINK_S + 2 * (POINT_S + PRESS_S)
        await self.client.press(label)
        await self.client.until_shown(then)

    async def write(self, label: str, text: str) -> None:
        self.spent_s += THINK_S + 2 * (POINT_S + PRESS_S) + len(text) * LETTER_S
        await self.client.write(label, text)


@pytest.fixture
async def thumb(tmp_path: Path) -> AsyncIterator[Thumb]:
    """On the log of a session that ended after two rounds."""
    client = await window_on(tmp_path, fill=after_two_rounds)
    await client.until_shown("Paused")
    await client.press("End here and log")
    await client.until_shown("How was it?")
    yield Thumb(client)
    client.session.close()


async def test_a_session_as_planned(thumb: Thumb, tmp_path: Path) -> None:
    await thumb.press("7", then="Effort 7 of 10.")
    await thumb.press("Save", then="Done against planned")
    (kept,) = await FolderStore(tmp_path).sessions.records()
    assert kept.effort == 7
    assert thumb.spent_s < LIMIT_S


async def test_a_session_with_a_usual_number_of_exceptions(thumb: Thumb, tmp_path: Path) -> None:
    await thumb.press("7", then="Effort 7 of 10.")
    await thumb.press("Round 2: One hand press, right", then="What limited you?")
    await thumb.press("2 repetitions less", then="repetitions")
    await thumb.press("Form held", then="form slipped")
    await thumb.press("Grip", then="limited by grip")
    await thumb.write("A word to your coach", NOTE)
    await thumb.press("Save", then="Done against planned")
    (kept,) = await FolderStore(tmp_path).sessions.records()
    said = next(done for done in kept.sets if done.round == 2 and done.side == "right")
    assert said.repetitions == (said.planned_repetitions or 0) - 2
    assert not said.form_held
    assert said.limited_by is LimitedBy.grip
    assert kept.note == NOTE
    assert thumb.spent_s < LIMIT_S
