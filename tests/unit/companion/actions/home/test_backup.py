"""Erasing everything, and the way back from a backup."""

from __future__ import annotations

from datetime import timedelta

import builders
from somebody import PLAN, Person

from companion.services.files import PickedFile
from companion.state.backup import Asks
from companion.state.screen import Screen
from engine.load.rack import FixedWeight, Rack
from engine.record.profile import ProfileFlag
from storage.exchange.backup import Holdings, gather, write_backup
from storage.models import KitOwned, Settings, Tombstone

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
    assert person.state.backup.asks is Asks.nothing, "who has only read the cautions can lose nothing"
    assert await person.store.plans.all() == (OTHER, PLAN)


async def test_who_has_told_something_is_asked_whether_a_backup_is_theirs_too() -> None:
    """A backup brought in where only the cautions were read once left its health ticks behind."""
    first = await Person().open()
    await first.do.settings.rename("Runa")
    await first.do.settings.toggle_flag(ProfileFlag.high_blood_pressure)
    await first.do.settings.backup.save()
    (backup,) = first.files.saved
    untold, told, armed = [await Person().open() for _ in range(3)]
    await told.do.settings.rename("Odd")
    await armed.store.person.save_kit(KitOwned(rack=Rack(fixed=(FixedWeight(load_g=8_000),))))
    for person in (untold, told, armed):
        person.files.to_pick.append(backup)
        await person.do.settings.backup.pick()
    assert untold.state.home.profile is not None
    assert untold.state.home.profile.flags == (ProfileFlag.high_blood_pressure,)
    assert untold.state.backup.asks is Asks.nothing
    for person in (told, armed):
        assert person.state.backup.asks is Asks.person
        assert "The backup holds 1 profile" in person.state.said
    await told.do.settings.backup.bring_in_mine()
    assert told.state.backup.asks is Asks.keep, "two names: the person decides"
    await told.do.settings.show()
    assert told.state.backup.asks is Asks.keep, "it can be decided later"


async def test_a_month_of_somebody_else_is_asked_about_like_everything_of_theirs() -> None:
    """The file of one month has no profile: its sessions once came in unasked."""
    person = await with_sessions("mine")
    theirs = builders.record(record_id="theirs").model_copy(update={"trainee_id": "odd"})
    held = Holdings(records=(theirs,))
    person.files.to_pick.append(PickedFile("november.json", write_backup(held)))
    await person.do.settings.backup.pick()
    assert person.state.said.startswith("These records were made on another device. Are both you?")
    person.do.settings.backup.leave()
    assert [one.id for one in await person.store.sessions.records()] == ["mine"]


async def with_sessions(*ids: str) -> Person:
    person = await Person().open()
    for one in ids:
        await person.store.sessions.save(builders.record(record_id=one))
    return person


async def handed(person: Person, **parts: object) -> None:
    """Picks a backup of the same person, with these parts."""
    mine = (await gather(person.store)).holdings
    held = Holdings(profiles=mine.profiles)._replace(**parts)
    person.files.to_pick.append(PickedFile("backup.json", write_backup(held)))
    await person.do.settings.backup.pick()


async def test_nothing_here_is_erased_by_a_backup_before_the_person_says_so() -> None:
    """Tombstones alone once made 3 sessions 0, under the words “all was here already”."""
    ids = ("record-1", "record-2", "record-3")
    person = await with_sessions(*ids)
    stones = tuple(Tombstone(record_id=one, erased_at=person.context.now()) for one in ids)
    await handed(person, tombstones=stones)
    assert len(await person.store.sessions.records()) == 3
    assert person.state.backup.asks is Asks.erase
    assert person.state.said == "Erased where the backup was made, still here: 3 sessions."
    await person.do.settings.backup.spare()
    assert len(await person.store.sessions.records()) == 3
    assert (person.state.backup.asks, person.state.said) == (Asks.nothing, "Kept here: 3 sessions.")
    await handed(person, tombstones=stones)
    await person.do.settings.backup.erase_too()
    assert await person.store.sessions.records() == ()
    assert person.state.said == "Erased here too: 3 sessions."


async def test_a_desk_without_sessions_keeps_its_newer_plans_until_asked() -> None:
    """A device without sessions once answered every conflict for the backup."""
    person = await Person().open()
    newer = OTHER.model_copy(update={"name": "The newer one"})
    await person.do.plans.save(newer)
    await handed(person, plans=(OTHER,))
    assert newer in await person.store.plans.all()
    assert person.state.backup.asks is Asks.keep
    assert "plan “The newer one”" in person.state.said
    (differs,) = person.state.backup.differences
    assert [one.what for one in person.do.differences.lines(differs)] == ["Name"]
    await person.do.differences.decide(differs.revision, "theirs")
    assert OTHER in await person.store.plans.all()


async def test_sessions_of_the_backup_that_were_erased_here_are_said_to_stay_erased() -> None:
    person = await with_sessions("record-1")
    records = await person.store.sessions.records()
    await person.store.erase_all(at=person.context.now())
    await person.do.opening.open()
    await person.do.opening.accept_cautions(())
    await handed(person, records=records)
    assert await person.store.sessions.records() == ()
    assert "Erased here before, so left out: 1 session." in person.state.said
