"""Before a session: weeks away and sore muscles mean fewer rounds."""

from __future__ import annotations

import pytest
from somebody import Person, hurts, lifted, looking_back, started, store_with

from companion.actions.noting import note_pain
from companion.services.page_messages import RecordsKept
from companion.words.words import ENGLISH
from engine.movements.movement import Joint, Side
from engine.movements.pain import PainQuality
from engine.record.profile import ProfileFlag
from engine.today.no_session import AboutPain


async def test_after_three_weeks_away_the_fewest_rounds_are_enough_and_it_is_said() -> None:
    person = await started()
    await person.later(900)
    await person.do.log.save()
    person.clock.ms += 21 * 86_400_000
    person.do.setup.set_minutes(60)
    assert person.state.fit.offer.session.rounds() == 2
    assert ENGLISH.say(person.state.fit.care.said[0]).startswith("21 days since the last session")


async def test_sore_muscles_mean_fewer_rounds_and_the_same_movements() -> None:
    person = await Person().open(minutes=60)
    fresh = person.state.fit.offer.session
    await person.do.setup.rate_sore_muscles(5)
    sore = person.state.fit.offer.session
    assert sore.rounds() < fresh.rounds()
    assert {i.chosen for b in sore.blocks for i in b.items} == {
        i.chosen for b in fresh.blocks for i in b.items
    }


async def test_a_joint_at_six_leaves_nothing_to_start_until_it_is_said_otherwise() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(Joint.knee, Side.left, 6)
    fit = person.state.fit
    assert (fit.session, fit.offer) == (None, None)
    assert [one.joint for one in fit.no_session.joints] == [Joint.knee]
    await person.do.session.start()
    assert person.state.run.live is None
    await person.do.setup.answer_about_pain(AboutPain.urgent_signs, False)
    person.do.setup.set_minutes(30)
    assert fit.answers == {AboutPain.urgent_signs: False}
    await person.do.setup.rate_sore(Joint.knee, Side.left, 7)
    assert fit.answers == {}
    await person.do.setup.rate_sore(Joint.knee, Side.left, 3)
    assert fit.no_session is not None, "what was noted counts all day"
    person.clock.ms += 86_400_000
    await person.do.setup.rate_sore(Joint.knee, Side.left, 6)
    await person.do.setup.rate_sore(Joint.knee, Side.left, 3)
    assert fit.no_session is None, "a slip of the finger, before any question was answered"
    await person.do.session.start()
    assert person.state.run.live is not None


KNEE = (Joint.knee, Side.left)


async def test_a_blood_pressure_too_high_leaves_nothing_to_start_until_it_is_measured_lower() -> None:
    person = await Person().open(minutes=60)
    await person.do.settings.toggle_flag(ProfileFlag.high_blood_pressure)
    assert person.state.fit.session is not None
    await person.do.setup.tell_pressure(True)
    assert person.state.fit.session is None
    assert "call your doctor today" in ENGLISH.say(person.state.fit.care.no_session)
    await person.do.session.start()
    assert person.state.run.live is None
    again = Person(person.store)
    await again.come_back()
    assert again.state.fit.session is None
    await again.do.setup.tell_pressure(False)
    assert again.state.fit.session is not None


async def test_an_illness_leaves_nothing_to_start_until_a_day_after_and_then_two_easy_sessions() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.tell_illness(True)
    assert ENGLISH.say(person.state.fit.care.no_session).startswith("No session today: with fever")
    await person.do.session.start()
    assert person.state.run.live is None
    again = Person(person.store, began=person.clock.now())
    await again.come_back()
    assert ENGLISH.say(again.state.fit.care.no_session).startswith("No session today: with fever")
    await again.do.setup.tell_illness(False)
    assert "24 hours after the illness" in ENGLISH.say(again.state.fit.care.no_session)
    again.clock.ms += 25 * 3_600_000
    again.do.setup.watch()
    assert again.state.fit.care.no_session is None
    assert ENGLISH.say(again.state.fit.care.said[0]).startswith("Easy session 1 of 2 after your illness")
    await again.do.session.start()
    assert again.state.run.live is not None


async def test_a_reload_does_not_forget_what_hurts_today() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(*KNEE, 4)
    await person.do.setup.rate_sore_muscles(5)
    again = Person(person.store)
    await again.come_back()
    assert again.state.body.sore == person.state.body.sore != ()
    assert again.state.body.sore_muscles == 5
    assert again.state.fit.offer.session.room.sore == person.state.body.sore


async def test_what_was_said_yesterday_changes_nothing_today_in_a_window_that_stayed_open() -> None:
    person = await Person().open(minutes=60)
    fresh = person.state.fit.offer.session
    await person.do.setup.rate_sore(*KNEE, 4)
    await person.do.setup.rate_sore_muscles(5)
    assert person.state.fit.offer.session != fresh
    person.clock.ms += 10 * 3_600_000
    person.do.setup.watch()
    assert person.state.body.sore == ()
    assert person.state.fit.offer.session == fresh
    again = Person(person.store, began=person.clock.now())
    await again.come_back()
    assert (again.state.body.sore, again.state.body.sore_muscles) == ((), 0)


async def test_free_of_pain_said_before_a_session_does_not_bring_a_movement_back_the_same_evening() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    await person.later(900)
    await person.do.log.save()
    await person.do.setup.show()
    await person.do.setup.rate_sore(*KNEE, 0)
    assert person.state.fit.offer.session.room.tried == ()
    await person.do.setup.start()
    await person.later(900)
    await person.do.log.save()
    await person.do.setup.show()
    room = person.state.fit.offer.session.room
    assert (room.after_pain, room.tried) == (("hard-hinge",), ())
    assert [one.rating for one in room.sore] == [4]


async def test_after_sharp_pain_nothing_that_loads_the_joint_starts_the_same_evening() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=2, qualities=(PainQuality.sharp,))
    await person.do.hurt.answer("end")
    await person.do.log.save()
    await person.do.setup.show()
    await person.do.setup.rate_sore(*KNEE, 0)
    room = person.state.fit.offer.session.room
    assert [(one.joint, one.rating) for one in room.sore] == [(Joint.knee, 3)]
    assert room.tried == ()


async def test_pain_can_be_noted_without_a_session_and_counts_today() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(*KNEE, 0)
    person.clock.ms += 60_000
    note = await note_pain(person.context, kind="joint", joint="knee", side="left", rating=4)
    assert await person.store.sessions.pain_notes() == (note,)
    assert [(one.joint, one.rating) for one in person.state.body.sore] == [(Joint.knee, 4)]
    again = Person(person.store, began=person.clock.now())
    await again.come_back()
    assert again.state.body.sore == person.state.body.sore
    await again.do.week.show()
    assert again.state.week.shown.page.pain_notes == (note,)


async def test_pain_of_6_before_a_session_is_noted_with_the_first_answer_and_once() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(*KNEE, 6)
    assert await person.store.sessions.pain_notes() == (), "a slip of the finger is no note"
    for about in (AboutPain.urgent_signs, AboutPain.nerve_signs):
        await person.do.setup.answer_about_pain(about, False)
    (note,) = await person.store.sessions.pain_notes()
    assert (note.joint, note.side, note.rating, note.local_date) == (*KNEE, 6, person.do.setup.today())


async def test_todays_pain_can_be_noted_for_the_coach_without_a_session_once() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(*KNEE, 3)
    assert not person.do.setup.is_noted(*KNEE)
    for _ in range(2):
        await person.do.setup.note_joint(*KNEE)
        assert person.do.setup.is_noted(*KNEE)
        person.clock.ms += 60_000
    (note,) = await person.store.sessions.pain_notes()
    assert note.rating == 3
    await person.do.setup.rate_sore(*KNEE, 1)
    assert not person.do.setup.is_noted(*KNEE)
    assert [one.rating for one in person.state.body.sore] == [1], "said after the note"


async def test_pain_of_6_noted_on_another_day_of_the_last_7_is_remembered() -> None:
    person = await Person().open(minutes=60)
    await note_pain(person.context, kind="joint", joint="hip", side="left", rating=7)
    person.clock.ms += 3 * 86_400_000
    await person.do.setup.rate_sore(*KNEE, 6)
    assert person.state.fit.no_session.again


async def test_a_backup_is_offered_after_four_weeks_and_not_again_while_nothing_is_new() -> None:
    """4 weeks: † our judgement, no source."""
    weeks = 7 * 24 * 3_600_000
    person = await looking_back(await store_with(lifted(days=0)))
    assert not person.do.setup.backup_is_due()
    person.clock.ms += 5 * weeks
    assert person.do.setup.backup_is_due()
    await person.do.setup.save_backup()
    assert "1 session" in person.state.said
    assert len(person.files.saved) == 1
    assert not person.do.setup.backup_is_due()
    person.clock.ms += 5 * weeks
    assert not person.do.setup.backup_is_due(), "nothing new was done"
    again = Person(person.store, began=person.clock.now())
    await again.come_back()
    assert again.state.device.settings.backed_up_at is not None


@pytest.mark.parametrize("records", ["seven_days", "home_screen"])
async def test_a_backup_is_offered_after_three_days_where_the_browser_clears_the_records_after_seven(
    records: RecordsKept,
) -> None:
    """3 days: † our judgement, no source."""
    person = await looking_back(await store_with(lifted(days=0)))
    person.clock.ms += 4 * 24 * 3_600_000
    assert not person.do.setup.backup_is_due()
    person.state.device.records = records
    assert person.do.setup.backup_is_due()
