"""The problem report: what runs here and what failed last, and nothing of the person."""

from __future__ import annotations

import logging
import tomllib
from pathlib import Path

import pytest
from somebody import Person

from companion.services.about import VERSION
from companion.services.faults import KEEPER, keep_faults
from companion.services.page_messages import Capabilities
from engine.record.profile import ProfileFlag

ROOT = Path(__file__).parents[5]


@pytest.fixture(autouse=True)
def no_faults() -> None:
    keep_faults()
    KEEPER.faults.clear()


def fail(secret: str) -> None:
    try:
        raise LookupError(secret)
    except LookupError:
        logging.exception("looking for %s", secret)


async def shown(person: Person) -> str:
    await person.do.settings.show()
    person.do.settings.report.show("A browser 1.0")
    return person.state.device.report


async def test_the_report_says_what_runs_here_and_how_it_is_set() -> None:
    person = await Person().open()
    await person.do.cues.set_device(voice=True, volume=0.5)
    report = await shown(person)
    assert f"Version {VERSION}, Python " in report
    assert "Shown by A browser 1.0" in report
    assert "Cues: vibration on, tones on, voice on, volume 50%" in report
    assert "Nothing has failed since the app was opened." in report


async def test_the_report_lists_what_the_device_can_do() -> None:
    person = await Person().open()
    assert "Device: the page has not said what it can do" in await shown(person)
    person.cues.capabilities = Capabilities(
        vibrate=False, audio="locked", voice="prepared", wake_lock=True, records="home_screen"
    )
    told = "vibration no, sound locked, voice prepared, screen kept on yes, records home screen"
    assert f"Device: {told}" in await shown(person)


async def test_a_fault_is_told_by_kind_and_place_without_what_was_in_it() -> None:
    person = await Person().open()
    fail("Ines Okonjo")
    report = await shown(person)
    assert "LookupError" in report
    assert "test_report.py:" in report
    assert str(ROOT) not in report
    assert "Okonjo" not in report


async def test_only_the_last_faults_are_kept_the_latest_first() -> None:
    person = await Person().open()
    for number in range(9):
        fail(str(number))
    assert (await shown(person)).count("LookupError") == 3


async def test_nothing_of_the_person_is_in_it() -> None:
    person = await Person().open()
    await person.do.settings.rename("Ines Okonjo")
    await person.do.settings.toggle_flag(ProfileFlag.pregnant)
    report = await shown(person)
    profile = person.state.home.profile
    assert profile is not None
    for secret in (profile.name, profile.trainee_id, "pregnan", person.context.zone + "\n"):
        assert secret.lower() not in report.lower()


async def test_what_is_saved_is_what_was_shown_and_it_can_be_put_away() -> None:
    person = await Person().open()
    report = await shown(person)
    await person.do.settings.report.save()
    ((name, content),) = person.files.saved
    assert (name.startswith("problem-report-"), content.decode()) == (True, report)
    person.do.settings.report.put_away()
    assert person.state.device.report == ""


def test_the_version_it_tells_is_that_of_the_package() -> None:
    told = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert told["project"]["version"] == VERSION
