"""Minutes and kit on the first screen: what the fit says, and that a tap on another way takes it."""

import asyncio
from pathlib import Path

import pytest
from flet_client import FletClient, window_on

from companion.samples import sample_plans
from companion.style.pain_words import ABOUT_PAIN, NEXT_STEP
from companion.style.safety import URGENT
from engine.fit.asked import Asked
from engine.fit.offer import Offer, offer
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.today.no_session import AboutPain, NextStep
from storage.store import Store

PLAN = next(plan for plan in sample_plans() if plan.id == "harbour-circuit")


async def only_this_plan(store: Store) -> None:
    await store.plans.save(PLAN)


@pytest.fixture
async def client(tmp_path: Path) -> FletClient:
    opened = await window_on(tmp_path, fill=only_this_plan)
    await opened.press("I have read this")
    await opened.until_shown("How many minutes?")
    await opened.press("One")
    return opened


def found(minutes: int) -> Offer:
    """The same question asked of the engine: somebody new, with one dumbbell."""
    asked = Asked(minutes=minutes, room=Room(kit=Kit.single), first_time=True, practice_required=True)
    return offer(PLAN, asked)


async def test_what_was_given_up_stands_there_with_its_seconds(client: FletClient) -> None:
    session = found(25).session
    assert session is not None
    await client.until_shown("To fit, this changed")
    for reason in session.reasons:
        assert client.shows(reason.text)


async def test_what_more_minutes_buy_stands_there_minute_by_minute(client: FletClient) -> None:
    await client.until_shown("More minutes would buy")
    for more in found(25).more_minutes:
        assert client.shows(f"{more.minutes} min more: {more.buys}") == (more.buys is not None)


async def test_another_way_to_spend_the_time_is_taken_by_a_tap_and_given_back_by_another(
    client: FletClient,
) -> None:
    best, (other, *_) = found(25).session, found(25).alternatives
    assert best is not None
    assert client.shows(f"Start {best.total_ms // 60_000}:{best.total_ms // 1000 % 60:02d}")
    await client.press(other.label)
    session = other.session
    await client.until_shown(f"Start {session.total_ms // 60_000}:{session.total_ms // 1000 % 60:02d}")
    await client.press("Back to the best fit")
    await client.until_shown(f"Start {best.total_ms // 60_000}:{best.total_ms // 1000 % 60:02d}")


async def test_the_minutes_that_are_too_few_say_how_many_would_do(client: FletClient) -> None:
    for label in ("−5", "−5", "−5", "−5"):
        before = client.texts()
        await client.press(label)
        while client.texts() == before:
            await asyncio.sleep(0.01)
    await client.until_shown("Nothing to start")
    shortest_ms = found(5).shortest_ms
    assert client.shows(f"{shortest_ms // 60_000}:{shortest_ms // 1000 % 60:02d}")


async def test_a_joint_at_six_shows_advice_in_the_place_of_the_session(client: FletClient) -> None:
    await client.press("left knee")
    await client.until_shown("Left knee, 0 to 10")
    await client.press("6 +")
    await client.until_shown("No strength session today")
    assert client.shows("Left knee, pain 6 of 10")
    assert client.shows(URGENT)
    assert not client.shows("How many minutes?")
    assert not any(text.startswith(("Start", "Nothing to start")) for text in client.texts())
    for about in (AboutPain.urgent_signs, AboutPain.nerve_signs, AboutPain.swelling):
        await client.until_shown(ABOUT_PAIN[about])
        await client.press(f"{ABOUT_PAIN[about]} No")
    await client.until_shown(ABOUT_PAIN[AboutPain.injury])
    await client.press(f"{ABOUT_PAIN[AboutPain.injury]} Yes")
    await client.until_shown(NEXT_STEP[NextStep.see_clinician])
