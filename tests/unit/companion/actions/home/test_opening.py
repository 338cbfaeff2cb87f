"""The first minutes, and the way back into a session that was cut off."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from builders import HAND
from somebody import Person, hurts, started

from companion.services.page_messages import Capabilities
from companion.state.screen import Screen
from engine.live.loads import load_of
from engine.live.state import Status
from engine.load.rack import Rack
from engine.movements.limits import Limit
from engine.movements.movement import Joint, Kit, Side
from engine.movements.pain import Advice, PainKind
from engine.record.profile import ProfileFlag
from engine.session.segment import Kind
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.models import KitOwned


def to_lift_g(person: Person, movement: str) -> int | None:
    coming = (one for one in person.run.coming if one.movement == movement and one.kind is Kind.work)
    return load_of(person.run, next(coming))


def device(*, vibrate: bool, voice: str = "prepared") -> Capabilities:
    return Capabilities.model_validate(
        {"vibrate": vibrate, "audio": "locked", "voice": voice, "wake_lock": True}
    )


async def at_the_cautions(able: Capabilities | None = None) -> Person:
    person = Person()
    person.cues.capabilities = able
    await person.come_back()
    return person


AWAY_S = 90


async def come_back_to(person: Person) -> Person:
    """Somebody at a new window on the same records, a while after the last one was gone."""
    again = Person(person.store)
    again.clock.ms = person.clock.ms + AWAY_S * 1_000
    await again.come_back()
    return again


async def test_what_is_said_with_the_cautions_holds_for_the_first_session() -> None:
    person = await at_the_cautions()
    await person.do.opening.accept_cautions((ProfileFlag.pregnant,))
    assert person.state.fit.session is not None
    assert Limit.not_on_back in person.state.fit.session.room.limits


async def test_where_the_device_gives_no_vibration_words_are_said_and_the_person_is_told_once() -> None:
    person = await at_the_cautions(device(vibrate=False))
    await person.do.opening.accept_cautions(())
    assert person.state.device.nothing_felt
    assert person.cues.mix.tone
    assert person.cues.mix.voice
    assert (await person.store.person.settings()).voice
    await person.do.session.start()
    assert not person.state.device.nothing_felt


@pytest.mark.parametrize(
    "able", [None, device(vibrate=True), device(vibrate=False, voice="none")], ids=["unknown", "felt", "mute"]
)
async def test_elsewhere_nobody_is_spoken_to_unasked(able: Capabilities | None) -> None:
    person = await at_the_cautions(able)
    await person.do.opening.accept_cautions(())
    assert not person.state.device.nothing_felt
    assert not (await person.store.person.settings()).voice


async def test_a_window_that_may_only_read_shows_the_plan_and_leaves_the_cautions_to_the_other() -> None:
    person = Person()
    person.state.read_only = "Another window writes."
    await person.come_back()
    assert person.state.screen is Screen.setup
    assert person.state.fit.offer is not None


@pytest.mark.parametrize("into", [lambda p: p.do.session.pause(), lambda p: p.do.session.form_slipped()])
async def test_a_session_found_again_goes_on_with_what_was_changed(into: Callable[[Person], object]) -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    await person.later(40)
    await into(person)
    again = Person(person.store)
    again.clock.ms = person.clock.ms + 60_000
    await again.come_back()
    assert again.state.screen is Screen.running
    assert again.run.segments == person.run.segments
    assert again.run.status is Status.paused
    assert again.run.finish_released


TOLD = (
    lambda hurt: hurt.where(Joint.knee, Side.left),
    lambda hurt: hurt.no_sign(PainKind.joint),
    lambda hurt: hurt.rate(4),
)


@pytest.mark.parametrize("answers", range(len(TOLD) + 1))
async def test_what_was_told_of_a_pain_is_there_for_whoever_comes_back(answers: int) -> None:
    person = await started()
    await person.later(30)
    await person.do.session.something_hurts()
    for tell in TOLD[:answers]:
        await tell(person.do.hurt)
    again = await come_back_to(person)
    assert again.state.screen is Screen.hurt
    assert again.state.run.pain == person.state.run.pain is not None
    for tell in TOLD[answers:]:
        await tell(again.do.hurt)
    assert again.do.hurt.advice() is Advice.swap_and_leave_out
    await again.do.hurt.answer("without")
    assert "hard-hinge" not in again.movements_to_come()
    assert (await come_back_to(again)).state.screen is Screen.running


async def test_burning_is_not_gone_sooner_because_the_window_was_gone() -> None:
    person = await started()
    await person.later(30)
    await person.do.session.something_hurts()
    await person.do.hurt.where(Joint.hip, Side.left)
    await person.do.hurt.no_sign(PainKind.muscle)
    again = await come_back_to(person)
    await again.do.hurt.has_gone()
    assert again.state.run.pain_note.gone_after_s == AWAY_S


async def test_the_number_after_a_try_on_the_last_side_is_asked_of_whoever_comes_back() -> None:
    person = await started()
    while person.run.coming:
        await person.do.session.skip()
    await hurts(person, rating=2)
    await person.do.hurt.answer("try")
    await person.later(400)
    assert (person.run.status, person.state.screen) == (Status.ended, Screen.hurt)
    again = await come_back_to(person)
    assert again.state.screen is Screen.hurt
    await again.do.hurt.rate(0)
    await again.do.hurt.answer("go_on")
    assert again.state.screen is Screen.log
    assert [note.rating for note in again.run.pains] == [2, 0]


async def test_a_load_that_was_found_on_the_way_is_in_the_log_of_whoever_comes_back() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, rack=Rack.of_weights((4_000, 6_000), dumbbells=2))
    )
    person = await Person(store).open()
    await person.do.session.start()
    proposed_g = to_lift_g(person, "hard-hinge")
    await person.do.session.set_load(HAND.slug, 11_000)
    again = Person(person.store)
    again.clock.ms = person.clock.ms + 60_000
    await again.come_back()
    assert to_lift_g(again, "hard-hinge") == proposed_g is not None
    assert to_lift_g(again, HAND.slug) == 11_000
    await again.do.session.resume()
    await again.later(900)
    again.do.log.set_load(HAND.slug, 12_000)
    await again.do.log.save()
    (record,) = await again.store.sessions.records()
    assert {done.load_g for done in record.sets if done.movement == HAND.slug} == {12_000}
    assert proposed_g in {done.load_g for done in record.sets if done.movement == "hard-hinge"}
