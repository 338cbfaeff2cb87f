"""The running screen in a window whose clock the test holds: what is said, and what can be pressed."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path

import flet as ft
import pytest
from builders import BOTH, movement, plan, practice, warm_up, work
from flet_client import STEPS, FletClient, Screen, labels_of, texts_of
from somebody import EASY, HARD, PLAN

from companion.samples import sample_plans
from companion.style.safety import CALL_NOW, HELP_ROW, HELPERS_FIRST, UNTIL_HELP_COMES, URGENT_SIGNS
from companion.views.controls.theme import Type
from companion.views.session.hurt import SIGNS_OF_DANGER
from companion.views.session.parts import RESET
from engine.load.rack import Rack
from engine.movements.movement import Kit, MovementPattern
from engine.plan.plan import Amount, AmountUnit, RoundsRange, WarmUpItem, WorkMovement
from storage.models import KitOwned

STRETCH = movement(
    "long-stretch", pattern=MovementPattern.mobility, starts_with="hold", easier="short-stretch"
)
SHORTER = movement("short-stretch", pattern=MovementPattern.mobility, starts_with="hold")
STRETCHES = plan(
    warm_up(
        items=(WarmUpItem(movement=STRETCH.slug, amount=Amount(low=30, unit=AmountUnit.seconds)),),
        rounds=RoundsRange(min=1, max=1),
    ),
    work(BOTH.slug),
    movements=(STRETCH, BOTH),
)


@pytest.fixture
async def screen(tmp_path: Path) -> AsyncIterator[Screen]:
    screen = Screen(tmp_path)
    yield screen
    screen.client.session.close()


async def test_what_is_given_up_for_the_finish_is_said_in_one_line_and_taken_back(screen: Screen) -> None:
    await screen.start(PLAN)
    await screen.press("Pause", then="Paused")
    screen.clock.ms += 900_000
    await screen.press("Go on", then="One round dropped")
    assert screen.window.state.run.live is not None
    planned = screen.window.state.run.live.state.before_refit
    await screen.press("Undo this cut", then="finish")
    assert screen.window.state.run.live.state.segments == planned


async def test_a_sleep_is_shown_and_the_session_waits(screen: Screen) -> None:
    await screen.start(PLAN)
    screen.clock.slept_ms += 90_000
    await screen.client.until_shown("You were away for 1:30. The session waited.")
    screen.clock.slept_ms -= 90_000
    await screen.press("Go on", then="Get ready")
    screen.clock.slept_ms -= 3_600_000
    await screen.client.until_shown("The clock of this device was set back by 1:00:00")


async def test_the_easier_variant_is_one_press_away_in_the_interval_and_in_the_pause(screen: Screen) -> None:
    await screen.start(PLAN)
    await screen.press("Skip", then=HARD.name)
    await screen.press("Pause", then="Paused")
    assert screen.client.shows(f"Easier version: {EASY.name}")
    await screen.press("Go on", then="Form slipped")
    await screen.press("Easier version", then=f"From now on: {EASY.name} instead of {HARD.name}.")


async def test_a_hold_banks_its_time_and_a_lost_position_is_answered_with_a_reset(screen: Screen) -> None:
    await screen.start(STRETCHES)
    await screen.press("Hold", then="Leave the hold")
    screen.clock.ms += 8_000
    await screen.client.until_shown("0:08 of 0:30 held")
    await screen.press("Form slipped", then=RESET)
    await screen.press("Hold", then="Leave the hold")
    assert not screen.client.shows(RESET)
    screen.clock.ms += 9_000
    await screen.client.until_shown("0:17 of 0:30 held")


def size_of(client: FletClient, words: str) -> float:
    (shown,) = [one for one in client.controls() if isinstance(one, ft.Text) and one.value == words]
    return shown.style.size


async def test_the_call_comes_first_and_large_then_what_to_do_and_the_signs_last(
    screen: Screen,
) -> None:
    """Call, position of comfort, not left alone: European Resuscitation Council, Guidelines 2021, First aid
    (from memory)."""
    await screen.start(PLAN)
    await screen.press("Something hurts", then="Where?")
    await screen.press(HELP_ROW, then=CALL_NOW)
    said = screen.client.texts()
    places = [
        next(at for at, text in enumerate(said) if part.lower() in text.lower())
        for part in ("emergency number", "sit or lie down", "do not be alone", SIGNS_OF_DANGER, URGENT_SIGNS)
    ]
    assert places == sorted(places)
    assert not any("chest pain" in text.lower() for text in said[: places[3]])
    assert HELPERS_FIRST in said
    assert size_of(screen.client, CALL_NOW) == Type.TITLE
    assert size_of(screen.client, "\n".join(UNTIL_HELP_COMES)) == Type.LEAD
    await screen.press("Change an answer", then=HELP_ROW)


@pytest.mark.parametrize(
    ("number", "then", "stands"), [(2, "Try once, moving less far", False), (4, "stays out", True)]
)
async def test_the_stop_rules_are_there_while_pain_is_asked_about_and_never_forbid_what_is_advised(
    screen: Screen, number: int, then: str, stands: bool
) -> None:
    """“Joint pain is never pushed through: stop the movement at once.” stood below “Try once”."""
    harbour = next(one for one in sample_plans() if one.id == "harbour-circuit")
    rules = harbour.stop_rules
    await screen.start(harbour)
    await screen.press("Something hurts", then="Where? Tap the nearest point")
    await screen.press("point left knee", then="Any of these?")
    await screen.press("None: dull", then="How much?")
    assert all(map(screen.client.shows, rules))
    await screen.press(f"pain {number}", then=then)
    assert not screen.client.shows("without weight"), "the march has none"
    assert [screen.client.shows(rule) for rule in rules] == [stands] * len(rules)


async def test_legs_that_take_turns_are_not_called_both_and_are_counted_in_all(screen: Screen) -> None:
    turns = tuple(variant.model_copy(update={"alternates": True}) for variant in BOTH.variants)
    stepping = BOTH.model_copy(update={"slug": "step-back", "name": "Step back", "variants": turns})
    items = tuple(WorkMovement(movement=one.slug, tempo="3-0-1-0") for one in (stepping, BOTH))
    await screen.start(plan(work(movements=items), movements=(stepping, BOTH)))
    await screen.press("Skip", then="TAKE TURNS")
    assert not screen.client.shows("BOTH")
    (word,) = [one for one in screen.client.controls() if getattr(one, "value", "") == "TAKE TURNS"]
    assert word.semantics_label == "sides take turns"
    assert screen.client.shows("1 of 14 in all · lower")
    await screen.press("Skip", then="Next: Both hands lift")
    await screen.press("Skip", then="BOTH")
    assert screen.client.shows("1 of 15 · lower")


PRACTISED = plan(
    practice(movements=(BOTH.slug,)),
    work(BOTH.slug, HARD.slug, rounds=RoundsRange(min=2, max=2)),
    movements=(BOTH, HARD, EASY),
)


@pytest.fixture
async def with_weights(screen: Screen) -> Screen:
    rack = Rack.of_weights((4_000, 6_000, 8_000))
    await screen.store.person.save_kit(KitOwned(dumbbells=Kit.single, rack=rack))
    await screen.start(PRACTISED)
    return screen


WEIGHTS = ("no weight", "4 kg", "6 kg", "8 kg")


def weights_to_tap(screen: Screen) -> list[str]:
    """The labels of all buttons that name a weight, and of the steps where it is stepped."""
    buttons = [one for one in screen.client.controls() if isinstance(one, ft.Button)]
    labels = [label for one in buttons for label in labels_of(one)]
    return [one for one in labels if one in WEIGHTS or "kilogram" in one]


async def test_before_practice_its_weight_is_told_and_before_work_one_of_the_own_is_tapped(
    with_weights: Screen,
) -> None:
    screen = with_weights
    assert screen.client.shows("First time. Practise without a weight.")
    assert weights_to_tap(screen) == []
    await screen.press("Skip", then="Practice")
    assert weights_to_tap(screen) == []
    await screen.press("Skip", then="Changeover")
    assert screen.client.shows("Next: Both hands lift")
    assert weights_to_tap(screen) == list(WEIGHTS)
    await tap_weight(screen, "8 kg")
    await tap_weight(screen, "6 kg")


async def tap_weight(screen: Screen, weight: str) -> None:
    """Taps a weight, which the heading says then: outside any button."""
    await screen.client.press(weight)
    for _ in range(STEPS):
        texts = [one for one in screen.client.controls() if isinstance(one, ft.Text)]
        buttons = [one for one in screen.client.controls() if isinstance(one, ft.Button)]
        on_buttons = {id(text) for one in buttons for text in texts_of(one)}
        if [one.value for one in texts if one.value in WEIGHTS and id(one) not in on_buttons] == [weight]:
            return
        await asyncio.sleep(0.01)
    raise AssertionError(f"the heading never said “{weight}”")


async def test_on_pause_the_weight_is_that_of_the_work_in_hand_and_in_a_rest_of_what_comes(
    with_weights: Screen,
) -> None:
    screen = with_weights
    for shown in ("Practice", "Changeover", "Get ready", "Work"):
        await screen.press("Skip", then=shown)
    assert weights_to_tap(screen) == [], "nobody taps while they lift"
    await screen.press("Pause", then="Paused")
    assert weights_to_tap(screen) == list(WEIGHTS)
    await screen.press("Skip this", then=f"Next: {HARD.name}")
    await tap_weight(screen, "8 kg")
    assert screen.window.state.run.in_progress.state.loads_g == {HARD.slug: 8_000}
    await screen.press("Pause", then="Paused")
    assert screen.client.shows(f"Next: {HARD.name}")
    assert screen.client.shows(f"Easier version: {EASY.name}")
    await tap_weight(screen, "no weight")


async def test_where_no_weights_are_known_the_weight_is_stepped(screen: Screen) -> None:
    await screen.start(plan(work(BOTH.slug), movements=(BOTH,)))
    assert "one kilogram more" in weights_to_tap(screen)
    assert screen.client.shows("– kg")


async def test_while_the_load_is_being_found_a_rest_offers_the_next_weight_in_one_tap(screen: Screen) -> None:
    rack = Rack.of_weights((8_000, 10_000))
    await screen.store.person.save_kit(KitOwned(dumbbells=Kit.single, rack=rack))
    twice = work(BOTH.slug, rounds=RoundsRange(min=2, max=2))
    await screen.start(plan(twice, movements=(BOTH,)))
    offer = "5 or more repetitions possible: take 10 kg"
    assert not screen.client.shows(offer)
    await screen.press("Skip", then="Work")
    for _ in range(61):
        screen.clock.ms += 1_000
        await screen.window.watch()
    await screen.client.until_shown(offer)
    await screen.client.press(offer)
    await screen.client.until_gone(offer)
    assert screen.window.state.run.in_progress.state.loads_g == {BOTH.slug: 10_000}


async def test_more_than_what_is_proposed_is_cautioned_beside_the_weights(screen: Screen) -> None:
    rack = Rack.of_weights((8_000, 10_000, 16_000))
    await screen.store.person.save_kit(KitOwned(dumbbells=Kit.single, rack=rack))
    await screen.start(plan(work(BOTH.slug), movements=(BOTH,)))
    await screen.press("16 kg", then="More than the 8 kg proposed for today")
    await screen.client.press("8 kg")
    await screen.client.until_gone("More than the")
