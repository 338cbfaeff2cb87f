"""Minutes and kit on the first screen: what the fit says, and that a tap on another way takes it."""

import asyncio
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from builders import STARTED_AT, easy_session, profile, record
from flet_client import FletClient, window_on

from companion.samples import sample_plans
from companion.style.pain_words import (
    ABOUT_PAIN,
    NEXT_STEP,
    NO_EASY_MOVEMENT,
    easy_title,
    easy_words,
)
from companion.style.safety import URGENT
from companion.views.session.body_today import HOW_MUCH
from companion.views.session.hurt import WITHOUT_IT
from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.offer import Offer, offer
from engine.movements.movement import Equipment, Kit
from engine.movements.room import Room
from engine.record.profile import ProfileFlag
from engine.session.reason import grouped
from engine.today.cautions import PRESSURE_HIGH
from engine.today.no_session import AboutPain, NextStep
from storage.models import KitOwned
from storage.store import Store

START_EASY = "Start easy movement"
TOO_HIGH = english(PRESSURE_HIGH)
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
    for group in grouped(session.reasons):
        assert not any(client.shows(english(one.with_seconds)) for one in group.reasons)
        await client.press(english(group.title))
        await client.until_shown(english(group.reasons[0].with_seconds))
        assert all(client.shows(english(one.with_seconds)) for one in group.reasons)


async def test_what_more_minutes_buy_stands_there_minute_by_minute(client: FletClient) -> None:
    await client.until_shown("With more time")
    for more in found(25).more_minutes:
        said = english(more.buys) if more.buys else ""
        assert client.shows(f"{more.minutes} min more: {said}") == (more.buys is not None)


async def test_another_way_to_spend_the_time_is_taken_by_a_tap_and_given_back_by_another(
    client: FletClient,
) -> None:
    best, (other, *_) = found(25).session, found(25).alternatives
    assert best is not None
    assert client.shows(f"Start {best.total_ms // 60_000}:{best.total_ms // 1000 % 60:02d}")
    await client.press(english(other.label))
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
    await client.until_shown("left knee: 0 no pain")
    await client.press("pain 6")
    await client.until_shown("No strength session today")
    assert client.shows("left knee, pain 6 of 10")
    assert client.shows(URGENT)
    assert not client.shows("How many minutes?")
    assert not any(text.startswith(("Start", "Nothing to start")) for text in client.texts())
    for about in (AboutPain.urgent_signs, AboutPain.nerve_signs, AboutPain.swelling):
        await client.until_shown(ABOUT_PAIN[about])
        await client.press(f"{ABOUT_PAIN[about]} No")
    await client.until_shown(ABOUT_PAIN[AboutPain.injury])
    await client.press(f"{ABOUT_PAIN[AboutPain.injury]} Yes")
    await client.until_shown(NEXT_STEP[NextStep.see_clinician])


async def test_a_joint_that_was_tapped_is_asked_for_its_number_where_start_was(client: FletClient) -> None:
    """Both of two people took the red mark for said, and started unspared."""
    await client.press("left knee")
    await client.until_shown(HOW_MUCH)
    assert not any(text.startswith("Start") for text in client.texts())
    await client.press("pain 3")
    await client.until_shown("Start")
    assert not client.shows(HOW_MUCH)


async def with_a_knee_at_six(client: FletClient, *, yes: AboutPain | None = None) -> None:
    await client.press("left knee")
    await client.until_shown("left knee: 0 no pain")
    await client.press("pain 6")
    for about in AboutPain:
        await client.until_shown(ABOUT_PAIN[about])
        assert not client.shows(START_EASY)
        await client.press(f"{ABOUT_PAIN[about]} {'Yes' if about is yes else 'No'}")


async def test_after_the_last_no_one_button_starts_easy_movement_and_a_line_says_what_it_is(
    client: FletClient,
) -> None:
    await with_a_knee_at_six(client)
    await client.until_shown(f"{START_EASY} 7:50")
    session = easy_session(rating=6)
    assert client.shows(easy_title(session))
    assert client.shows(easy_words(session))
    assert client.shows(NEXT_STEP[NextStep.rest]), "rest comes first"
    await client.press(f"{START_EASY} 7:50")
    await client.until_shown("Next: Arm circles")
    assert client.shows("effort 4 of 10 at most")


async def test_a_yes_leaves_no_way_to_easy_movement(client: FletClient) -> None:
    await with_a_knee_at_six(client, yes=AboutPain.injury)
    await client.until_shown(NEXT_STEP[NextStep.see_clinician])
    assert not client.shows(START_EASY)
    assert not client.shows(NO_EASY_MOVEMENT)


async def test_the_log_of_easy_movement_asks_for_no_load_and_no_repetitions(client: FletClient) -> None:
    await with_a_knee_at_six(client)
    await client.until_shown(f"{START_EASY} 7:50")
    await client.press(f"{START_EASY} 7:50")
    await client.until_shown("Pause")
    await client.press("Pause")
    await client.until_shown("End here and log")
    await client.press("End here and log")
    await client.until_shown("How hard was the easy movement?")
    for asked in ("Repetitions still possible in the last round", "Movements", "Sets"):
        assert not client.shows(asked)
    await client.press("Save")
    await client.until_shown("No session in this week.")
    assert client.shows("Easy movement, 0 min.")


async def test_where_too_few_movements_are_left_one_sentence_says_so(tmp_path: Path) -> None:
    async def after_a_birth(store: Store) -> None:
        await store.plans.save(PLAN)
        flags = (ProfileFlag.after_birth,)
        await store.person.save_profile(profile(cautions_read_at=STARTED_AT, flags=flags))
        await store.person.save_kit(KitOwned(absent=(Equipment.chair,)))

    client = await window_on(tmp_path, fill=after_a_birth)
    await client.until_shown("How many minutes?")
    await with_a_knee_at_six(client)
    await client.until_shown(NO_EASY_MOVEMENT)
    assert not client.shows(START_EASY)


async def with_high_blood_pressure(store: Store) -> None:
    await store.plans.save(PLAN)
    flags = (ProfileFlag.high_blood_pressure,)
    await store.person.save_profile(profile(cautions_read_at=STARTED_AT, flags=flags))


async def test_a_blood_pressure_too_high_shows_whom_to_call_in_the_place_of_the_start(tmp_path: Path) -> None:
    client = await window_on(tmp_path, fill=with_high_blood_pressure)
    await client.until_shown("Blood pressure today?")
    await client.press("180/110 or more")
    await client.until_shown(TOO_HIGH)
    assert not any(text.startswith(("Start", "Nothing to start")) for text in client.texts())
    await client.press("Below 180/110")
    await client.until_shown("How many minutes?")
    while client.shows(TOO_HIGH):
        await asyncio.sleep(0.01)
    assert any(text.startswith("Start") for text in client.texts())


async def test_with_pain_and_a_blood_pressure_too_high_not_even_easy_movement_is_offered(
    tmp_path: Path,
) -> None:
    client = await window_on(tmp_path, fill=with_high_blood_pressure)
    await client.until_shown("Blood pressure today?")
    await client.press("180/110 or more")
    await with_a_knee_at_six(client)
    await client.until_shown(NO_EASY_MOVEMENT)
    assert client.shows(TOO_HIGH)
    assert not client.shows(START_EASY)


async def test_nobody_else_is_asked_for_the_blood_pressure(client: FletClient) -> None:
    assert not client.shows("Blood pressure today?")


async def test_a_backup_is_offered_in_one_line_which_then_says_what_was_saved(tmp_path: Path) -> None:
    async def five_weeks_ago(store: Store) -> None:
        await store.person.save_profile(profile(cautions_read_at=STARTED_AT))
        await store.sessions.save(record(started_at=datetime.now(UTC) - timedelta(weeks=5)))

    client = await window_on(tmp_path, fill=five_weeks_ago)
    await client.until_shown("Your sessions are saved on this device only.")
    assert client.shows("Save a backup")


async def test_after_a_sign_of_injury_the_main_button_ends_the_session_and_going_on_stays_possible(
    client: FletClient,
) -> None:
    await client.press("left knee")
    await client.until_shown(HOW_MUCH)
    await client.press("pain 1")
    await client.until_shown("Start")
    await client.press("Start")
    for answer in ("Something hurts", "Again: left knee", "Giving way"):
        await client.until_shown(answer)
        await client.press(answer)
    await client.until_shown("How much?")
    await client.press("pain 2")
    await client.until_shown("Have a doctor or a physiotherapist look at it before you load it again.")
    shown = client.texts()
    assert shown.count("End the session") == 1
    assert shown.index(WITHOUT_IT) < shown.index("End the session") == len(shown) - 1
