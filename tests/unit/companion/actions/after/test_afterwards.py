"""What is asked after a session is over: the next morning, and the effort once more."""

from __future__ import annotations

from somebody import started

from companion.state.screen import Screen
from companion.words.words import ENGLISH
from engine.movements.movement import Joint, Side

KNEE_2 = {"joint": "knee", "side": "left", "rating": 2}


async def test_the_next_morning_is_asked_about_once_and_changes_today() -> None:
    person = await started()
    await person.later(900)
    await person.do.log.save()
    person.clock.ms += 14 * 3_600_000
    await person.do.setup.show()
    assert person.state.afterwards.asked is not None
    await person.do.afterwards.show()
    person.do.afterwards.say_soreness(4)
    person.do.afterwards.say_morning_pain(Joint.knee, Side.left, 2)
    await person.do.afterwards.save()
    assert person.state.screen is Screen.setup
    assert person.state.afterwards.asked is None
    assert person.state.body.sore_muscles == 4
    (record,) = await person.store.sessions.records()
    kept = {one.field: one.value for one in await person.store.sessions.amendments(record.id)}
    assert kept == {"soreness": 4, "next_morning_pain": KNEE_2}
    assert person.state.fit.care.practice_required
    assert [(one.joint, one.rating) for one in person.state.body.sore] == [(Joint.knee, 2)]
    said = ENGLISH.say(person.state.fit.care.pain[0])
    assert said.startswith("The morning after Monday 2 March: left knee, pain 2 of 10.")


async def test_effort_can_be_said_again_half_an_hour_later_and_the_first_answer_stays() -> None:
    person = await started()
    await person.later(900)
    person.do.log.effort(8)
    await person.do.log.save()
    person.clock.ms += 40 * 60_000
    await person.do.setup.show()
    await person.do.afterwards.show()
    assert person.state.afterwards.answers.effort == 8
    person.do.afterwards.say_effort(6)
    await person.do.afterwards.save()
    (record,) = await person.store.sessions.records()
    assert record.effort == 8
    await person.do.week.show()
    assert person.state.week.shown is not None
    assert person.state.week.shown.page.sessions[0].effort == 6
