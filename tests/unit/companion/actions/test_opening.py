"""The first minutes: cautions, what holds for the person, and what the device can give."""

import pytest
from somebody import Person

from companion.services.page_messages import Capabilities
from companion.state.screen import Screen
from engine.record.profile import ProfileFlag


def device(*, vibrate: bool, voice: str = "prepared") -> Capabilities:
    return Capabilities.model_validate(
        {"vibrate": vibrate, "audio": "locked", "voice": voice, "wake_lock": True}
    )


async def at_the_cautions(able: Capabilities | None = None) -> Person:
    person = Person()
    person.cues.capabilities = able
    await person.come_back()
    return person


async def test_what_is_said_with_the_cautions_holds_for_the_first_session() -> None:
    person = await at_the_cautions()
    await person.do.opening.accept_cautions((ProfileFlag.pregnant,))
    assert person.state.fit.session is not None
    assert not person.state.fit.session.room.lies_flat


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
