"""Copies in the folder that a person chose: written after each session, and never in the way of one."""

from __future__ import annotations

import json
from datetime import timedelta

import builders
import pytest
from builders import STARTED_AT
from somebody import Person, started

from companion.services.files import PickedFile
from companion.state.backup import Asks
from companion.state.screen import Screen
from companion.style.held import named_words
from engine.movements.movement import Kit
from engine.record.amendment import AmendedField
from storage.exchange.backup import gather, read_backup, write_backup
from storage.exchange.device_files import device_file
from storage.models import CopiesKept, Settings
from storage.problem import Cause

LONG_AGO = STARTED_AT - timedelta(days=90)


async def with_a_folder() -> Person:
    """Somebody with a session of last winter who chooses a folder."""
    person = await Person().open()
    await person.store.sessions.save(builders.record(record_id="winter", started_at=LONG_AGO))
    await person.do.settings.copies.choose()
    person.folder.wrote.clear()
    return person


async def ended(person: Person) -> None:
    """A session that is started, ended and saved."""
    await person.do.session.start()
    await person.later(20)
    await person.do.session.end_early()
    await person.do.log.save()


def months(names: list[str]) -> list[str]:
    return [one.month for name in names if (one := device_file(name))]


async def test_a_folder_is_chosen_once_and_gets_everything_month_by_month() -> None:
    person = await Person().open()
    await person.store.sessions.save(builders.record(record_id="winter", started_at=LONG_AGO))
    await person.do.settings.show()
    assert (person.state.backup.copies.offered, person.state.backup.copies.name) == (True, "")
    await person.do.settings.copies.choose()
    assert months(person.folder.wrote) == ["2025-12", ""]
    kept = (await person.store.person.settings()).copies
    assert kept == CopiesKept(folder="Training", written_at=person.context.now())
    assert person.state.backup.copies.said == "Copied to “Training”."


async def test_a_session_that_is_saved_rewrites_its_month_and_no_other() -> None:
    person = await with_a_folder()
    await ended(person)
    assert person.state.said == "Saved.", "nothing waits for the copy"
    await person.copied()
    assert months(person.folder.wrote) == ["2026-03", ""]
    assert person.state.said == "Saved. Copied to “Training”."
    assert person.folder.asked == 0


async def test_a_late_answer_rewrites_the_month_of_its_session() -> None:
    person = await with_a_folder()
    await person.do.go.record("winter")
    person.do.record.correct_note("The knee was stiff.")
    await person.do.record.save()
    await person.copied()
    assert "2025-12" in months(person.folder.wrote)
    (name,) = [one for one in person.folder.files if one.endswith("2025-12.json")]
    (late,) = read_backup(person.folder.files[name], name).amendments
    assert (late.field, late.value) == (AmendedField.note, "The knee was stiff.")


@pytest.mark.parametrize(
    "refuses", [Cause.folder_full, Cause.folder_gone, Cause.folder_fault, Cause.folder_away]
)
async def test_whatever_is_in_the_way_of_a_copy_the_session_is_saved_and_the_copy_waits(
    refuses: Cause,
) -> None:
    person = await with_a_folder()
    before = dict(person.folder.files)
    person.folder.refuses = refuses
    await ended(person)
    await person.copied()
    assert len(await person.store.sessions.records()) == 2
    assert person.state.screen is Screen.week
    assert person.state.said.startswith("Saved. ")
    assert person.state.said.count(".") <= 3, "one clear sentence"
    assert person.folder.files == before, "the copies of before are still there"
    kept = (await person.store.person.settings()).copies
    assert kept is not None
    assert kept.waiting == ("2026-03",)
    person.folder.refuses = None
    await person.do.settings.backup.save()
    assert months(person.folder.wrote) == ["2026-03", ""]
    assert person.state.said.endswith("Copied to “Training”.")


async def test_a_permission_that_lapsed_is_asked_for_at_the_next_save_and_else_one_line_says_so() -> None:
    person = await with_a_folder()
    person.folder.allowed, person.folder.says = False, False
    await ended(person)
    await person.copied()
    assert person.folder.asked == 1
    assert person.state.said == (
        "Saved. The latest copy for “Training” waits: the browser asks you again at the next Save."
    )
    person.folder.says = True
    await person.do.settings.backup.save()
    assert person.folder.asked == 2
    assert months(person.folder.wrote) == ["2026-03", ""]


async def test_a_browser_that_does_not_know_the_folder_says_so_and_nothing_is_lost() -> None:
    person = await with_a_folder()
    await person.folder.forget()
    await ended(person)
    await person.copied()
    assert "this browser does not know that folder" in person.state.said
    await person.do.settings.copies.choose()
    assert months(person.folder.wrote) == ["2025-12", "2026-03", ""]


async def test_who_chose_no_folder_is_asked_nothing_and_nothing_is_written() -> None:
    person = await started()
    await person.later(20)
    await person.do.session.end_early()
    await person.do.log.save()
    assert person.context.copying.task is None
    person.folder.to_choose = ""
    await person.do.settings.copies.choose()
    assert (person.state.device.settings.copies, person.folder.wrote) == (None, [])


async def test_stopping_leaves_the_files_and_forgets_the_folder() -> None:
    person = await with_a_folder()
    before = dict(person.folder.files)
    await person.do.settings.copies.stop()
    await ended(person)
    assert (person.context.copying.task, person.folder.files) == (None, before)
    assert (await person.store.person.settings()).copies is None


async def test_erasing_everything_forgets_the_folder_and_leaves_the_copies() -> None:
    person = await with_a_folder()
    before = dict(person.folder.files)
    await person.do.settings.backup.erase_everything()
    assert (person.folder.name, person.folder.files) == ("", before)
    assert await person.store.person.settings() == Settings()


async def test_the_files_of_the_folder_bring_everything_back_into_a_new_browser() -> None:
    person = await with_a_folder()
    await ended(person)
    await person.copied()
    new = Person()
    await new.come_back()
    new.files.to_pick += [PickedFile(name, content) for name, content in person.folder.files.items()]
    await new.do.settings.backup.pick()
    assert new.state.backup.asks is Asks.nothing
    assert (await gather(new.store)).holdings == (await gather(person.store)).holdings


async def test_no_backup_is_offered_while_copies_are_written() -> None:
    person = await with_a_folder()
    await ended(person)
    await person.copied()
    person.clock.ms += timedelta(weeks=5) // timedelta(milliseconds=1)
    assert not person.do.setup.backup_is_due(), "no session has come since the last copy"
    person.folder.refuses = Cause.folder_gone
    await ended(person)
    await person.copied()
    assert person.do.setup.backup_is_due(), "the last copy is five weeks old, and a session has come since"
    person.folder.refuses = None
    await person.do.settings.copies.write()
    assert not person.do.setup.backup_is_due()


async def test_a_window_that_only_reads_copies_nothing() -> None:
    person = await with_a_folder()
    person.state.read_only = "Another window is using these records."
    from companion.actions.copying import copy_soon

    copy_soon(person.context, STARTED_AT.date())
    assert person.context.copying.task is None


async def test_what_the_page_kept_of_the_files_may_be_anything() -> None:
    person = await with_a_folder()
    for note in ("", "[]", "no json", "[" * 100_000, json.dumps({"a": 1})):
        person.folder.kept_note = note
        await person.do.settings.copies.write()
        assert person.state.backup.copies.said == "Copied to “Training”."


async def test_two_devices_of_one_person_become_one_through_the_folder() -> None:
    one, other = await Person().open(), await Person().open()
    other.context.folder = one.folder.on_another_device()
    await one.store.sessions.save(builders.record(record_id="on-one"))
    await other.store.sessions.save(builders.record(record_id="on-other"))
    await one.do.settings.copies.choose()
    await other.do.settings.copies.choose()
    assert other.state.backup.copies.strangers, "each device made an id of its own"
    await other.do.settings.copies.take_in_mine()
    await one.do.settings.copies.take_in()
    ids = [{record.id for record in await each.store.sessions.records()} for each in (one, other)]
    assert ids == [{"on-one", "on-other"}] * 2
    assert one.state.learned.history.started
    assert "New from your other device: 1 session." in other.state.backup.copies.said


async def two_devices() -> tuple[Person, Person]:
    """Two devices of one person with one folder; the first has copied a session into it."""
    one, other = await Person().open(), await Person().open()
    other.folder = other.context.folder = one.folder.on_another_device()
    await other.store.person.save_profile(one.context.profile())
    other.state.home.profile = one.context.profile()
    await one.do.settings.copies.choose()
    await other.do.settings.copies.choose()
    await ended(one)
    await one.copied()
    return one, other


async def test_what_another_device_wrote_comes_with_the_next_session_by_itself() -> None:
    one, other = await two_devices()
    await ended(other)
    await other.copied()
    assert len(await other.store.sessions.records()) == 2
    assert "New from your other device: 1 session." in other.state.said
    assert len(await one.store.sessions.records()) == 1


async def test_what_another_device_wrote_counts_even_where_the_folder_then_refuses_to_be_written() -> None:
    _, other = await two_devices()
    other.folder.refuses, other.folder.only_writing = Cause.folder_full, True
    await other.do.settings.copies.write()
    assert len(await other.store.sessions.records()) == 1
    assert other.state.learned.history == await other.store.sessions.history()
    assert other.state.backup.copies.said == "There is no room left for a copy in the folder “Training”."


async def test_the_records_of_somebody_else_in_the_folder_are_named_once_and_left_alone() -> None:
    one, other = await Person().open(), await Person().open()
    await other.do.settings.rename("Odile")
    other.context.folder = one.folder.on_another_device()
    await other.store.sessions.save(builders.record(record_id="hers"))
    await other.do.settings.copies.choose()
    await one.do.settings.copies.choose()
    assert [who.name for who in one.state.backup.copies.strangers] == ["Odile"]
    await ended(one)
    await one.copied()
    assert one.state.said == "Saved. Copied to “Training”.", "nobody is told of it after each session"
    assert len(await one.store.sessions.records()) == 1


async def test_whoever_is_said_to_be_somebody_else_is_asked_about_again_only_where_all_is_read() -> None:
    one, other = await Person().open(), await Person().open()
    await other.do.settings.rename("Odile")
    other.context.folder = one.folder.on_another_device()
    await other.do.settings.copies.choose()
    await one.do.settings.copies.choose()
    await one.do.settings.copies.leave_theirs()
    await ended(other)
    await other.copied()
    await one.do.settings.copies.write()
    assert one.state.backup.copies.strangers == ()
    await one.do.settings.copies.take_in()
    assert [who.name for who in one.state.backup.copies.strangers] == ["Odile"]


async def two_with_other_plans() -> tuple[Person, Person]:
    """Two devices of one person over one folder, each with its own version of two plans and of the kit."""
    one, other = await Person().open(), await Person().open()
    other.context.folder = one.folder.on_another_device()
    await other.store.person.save_profile(one.context.profile())
    other.state.home.profile = one.context.profile()
    for person, kit in ((one, Kit.single), (other, Kit.pair)):
        for plan_id in ("evening", "morning"):
            named = builders.plan(id=plan_id, name=f"{plan_id} of {kit.value}")
            await person.store.plans.save(named)
        await person.do.setup.choose_kit(kit)
    await one.do.settings.copies.choose()
    await other.do.settings.copies.choose()
    return one, other


async def test_each_difference_between_two_devices_is_decided_on_its_own_and_both_become_one() -> None:
    one, other = await two_with_other_plans()
    differ = {named_words(conflict): conflict for conflict in other.state.backup.differences}
    assert set(differ) == {"kit", "plan “evening of pair”", "plan “morning of pair”"}
    assert "Settings: 3 differences to decide." in other.state.backup.copies.said
    (line,) = other.do.differences.lines(differ["kit"])
    assert (line.what, line.here, line.there) == ("Dumbbells", "two dumbbells", "one dumbbell")
    await other.do.differences.decide(differ["kit"].revision, "both")
    await other.do.differences.decide(differ["plan “evening of pair”"].revision, "theirs")
    assert other.state.screen is Screen.differences
    await other.do.differences.decide(differ["plan “morning of pair”"].revision, "ours")
    assert (other.state.screen, other.state.backup.differences) == (Screen.settings, ())
    names = {plan.name for plan in await other.store.plans.all()}
    assert names == {"evening of single", "morning of pair"}
    await other.do.settings.copies.take_in()
    assert other.state.backup.differences == (), "each is asked once"
    await one.do.settings.copies.take_in()
    assert [named_words(conflict) for conflict in one.state.backup.differences] == [
        "kit",
        "plan “morning of single”",
    ]
    for conflict in one.state.backup.differences:
        await one.do.differences.decide(conflict.revision, "theirs")
    held = [(await gather(person.store)).holdings for person in (one, other)]
    assert held[0] == held[1], "two devices are one"


async def test_what_a_backup_holds_otherwise_is_decided_one_by_one_too() -> None:
    one, other = await Person().open(), await Person().open()
    for person, name in ((one, "Here"), (other, "There")):
        for plan_id in ("evening", "morning"):
            await person.store.plans.save(builders.plan(id=plan_id, name=f"{name} {plan_id}"))
    await other.store.person.save_profile(one.context.profile())
    one.files.to_pick.append(
        PickedFile("backup.json", write_backup((await gather(other.store)).holdings._replace(kits=())))
    )
    await one.do.settings.backup.pick()
    assert one.state.backup.asks is Asks.keep
    evening, morning = one.state.backup.differences
    await one.do.differences.decide(evening.revision, "ours")
    assert one.state.backup.differences == (morning,)
    await one.do.differences.decide(morning.revision, "both")
    names = sorted(plan.name for plan in await one.store.plans.all())
    assert names == ["Here evening", "Here morning", "There morning"]
    assert (one.state.backup.asks, one.state.screen) == (Asks.nothing, Screen.settings)
