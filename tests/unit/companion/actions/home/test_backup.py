"""Erasing everything, and the way back from a backup."""

from __future__ import annotations

from datetime import timedelta

import builders
from somebody import PLAN, Person

from companion.state.screen import Screen
from storage.models import Settings

OTHER = builders.plan(id="another-plan", name="Another plan", author="Ines Okonjo")


async def test_erasing_leaves_the_application_as_new_and_a_backup_brings_the_plans_back() -> None:
    person = await Person().open()
    await person.do.plans.save(OTHER)
    await person.do.cues.set_device(haptic=False)
    await person.do.settings.backup.save()
    (backup,) = person.files.saved
    person.clock.ms += timedelta(days=1) // timedelta(milliseconds=1)
    await person.do.settings.backup.erase_everything()
    assert person.state.screen is Screen.cautions
    assert person.state.home.profile is None
    assert await person.store.person.settings() == Settings()
    assert person.cues.mix.haptic
    await person.do.opening.accept_cautions(())
    person.files.to_pick.append(backup)
    await person.do.settings.backup.pick()
    assert await person.store.plans.all() == (OTHER, PLAN)
