"""Easy movement from the last “no” to the next morning, as somebody goes through it."""

from __future__ import annotations

from datetime import timedelta

from builders import adjustment
from somebody import BEGAN, PLAN, Person, hurts

from companion.state.screen import Screen
from engine.base.periods import iso_week
from engine.movements.easy import easy_movements
from engine.movements.movement import Equipment, Joint, Kit, Side, library
from engine.movements.pain import Advice
from engine.today.no_session import AboutPain

KNEE = (Joint.knee, Side.left)


async def answered(person: Person | None = None, *, rating: int = 7) -> Person:
    """Somebody whose knee hurts too much for a session, and who has said no four times."""
    person = person or await Person().open(minutes=60)
    await person.do.setup.rate_sore(*KNEE, rating)
    for about in AboutPain:
        assert person.state.fit.easy is None
        await person.do.setup.answer_about_pain(about, False)
    return person


async def moving() -> Person:
    person = await answered()
    await person.do.setup.start_easy()
    return person


async def test_it_runs_by_itself_and_is_kept_as_what_it_is() -> None:
    person = await moving()
    assert person.state.screen is Screen.running
    await person.later(480)
    assert person.state.screen is Screen.log
    person.do.log.effort(2)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    assert (record.session.easy_movement, record.sets, record.effort) == (True, (), 2)
    assert [(one.joint, one.rating) for one in record.session.room.sore] == [(Joint.knee, 7)]


async def test_it_is_no_session_of_the_week_and_no_day_of_the_history() -> None:
    person = await moving()
    await person.later(480)
    await person.do.log.save()
    (review,) = await person.store.sessions.week_index()
    assert (review.sessions, review.easy_movements, review.rounds_planned) == (0, 1, 0)
    assert person.state.learned.history.days == ()
    assert await person.store.sessions.last_loads() == ()
    shown = person.state.week.shown
    assert shown.page.reviews[-1].easy_movements == 1
    assert (shown.loads, shown.lighter) == ((), ())


async def test_the_morning_after_is_asked_for_the_joint_that_hurt() -> None:
    person = await moving()
    await person.later(480)
    await person.do.log.save()
    person.clock.ms += 14 * 3_600_000
    await person.do.setup.show()
    asked = person.state.afterwards.asked
    assert asked.easy_movement
    assert asked.asks_joints
    assert asked.joints == (KNEE,)
    assert not asked.asks_effort
    assert not asked.asks_soreness
    await person.do.afterwards.show()
    person.do.afterwards.say_morning_pain(*KNEE, 2)
    await person.do.afterwards.save()
    assert [one.rating for one in person.state.learned.history.mornings] == [2]
    assert person.state.fit.no_session is None


async def test_a_yes_and_another_number_take_it_away_again() -> None:
    person = await answered()
    assert person.state.fit.easy is not None
    await person.do.setup.answer_about_pain(AboutPain.swelling, True)
    assert person.state.fit.easy is None
    await person.do.setup.start_easy()
    assert person.state.run.live is None
    await person.do.setup.answer_about_pain(AboutPain.swelling, False)
    assert person.state.fit.easy is not None
    await person.do.setup.rate_sore(*KNEE, 8)
    assert person.state.fit.easy is None, "another number is asked about again"


async def test_a_second_joint_at_six_takes_it_away() -> None:
    person = await answered()
    await person.do.setup.rate_sore(Joint.hip, Side.right, 6)
    for about in AboutPain:
        await person.do.setup.answer_about_pain(about, False)
    assert person.state.fit.easy is None


async def test_what_the_room_lacks_and_the_minutes_are_heeded_at_once() -> None:
    person = await Person().open(minutes=60)
    await person.do.setup.rate_sore(Joint.hip, Side.left, 6)
    for about in AboutPain:
        await person.do.setup.answer_about_pain(about, False)
    session = person.state.fit.easy.session
    assert "heel-and-toe-rock" in {one.chosen.movement for b in session.blocks for one in b.items}
    for one in (Equipment.wall, Equipment.chair):
        await person.do.setup.toggle_absent(one)
    without = person.state.fit.easy.session
    assert "heel-and-toe-rock" not in {one.chosen.movement for b in without.blocks for one in b.items}
    person.do.setup.set_minutes(6)
    assert person.state.fit.easy.session.total_ms == 350_000


async def test_the_coach_s_word_is_heeded() -> None:
    person = await Person().open(minutes=60)
    leaves_out = adjustment(changes=({"kind": "leave_out", "movement": "arm-circles"},))
    person.state.plans.adjustments = (leaves_out,)
    await answered(person)
    session = person.state.fit.easy.session
    assert "arm-circles" not in {one.chosen.movement for b in session.blocks for one in b.items}


async def test_a_swap_on_the_way_brings_in_nothing_but_easy_movement() -> None:
    """The joint's neighbours stay spared, and neither a weight nor the floor comes in."""
    person = await moving()
    assert person.state.home.kit is Kit.pair
    await person.later(30)
    await hurts(person, rating=4, joint=Joint.shoulder)
    assert person.do.hurt.advice() is Advice.swap_and_leave_out
    easy = easy_movements(library(), person.run.session.room)
    await person.do.hurt.answer("without")
    to_come = person.movements_to_come()
    assert to_come <= set(easy)
    assert "arm-circles" not in to_come
    await person.later(600)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    assert [one.movement for one in record.pains] == ["arm-circles"]
    assert [one.movement for one in person.state.learned.after_pain] == ["arm-circles"]


async def test_a_joint_at_six_ends_it() -> None:
    person = await moving()
    await person.later(30)
    await hurts(person, rating=6, joint=Joint.shoulder)
    assert person.do.hurt.advice() is Advice.end_session
    await person.do.hurt.answer("end")
    assert person.state.screen is Screen.log


async def test_whoever_comes_back_after_a_cut_goes_on_with_it() -> None:
    person = await moving()
    await person.later(100)
    again = Person(person.store, began=person.clock.now())
    await again.come_back()
    assert again.state.screen is Screen.running
    assert again.run.session.easy_movement
    await again.do.session.resume()
    await again.later(500)
    await again.do.log.save()
    (record,) = await again.store.sessions.records()
    assert record.session.easy_movement


async def test_after_it_the_pain_of_today_still_counts() -> None:
    person = await moving()
    await person.later(480)
    await person.do.log.save()
    await person.do.setup.show()
    assert person.state.fit.no_session is not None
    assert person.state.fit.session is None
    assert person.state.week.name == iso_week(person.context.now().date())
    assert PLAN.id == person.state.plans.chosen.id, "the plan of the next session stays"


async def test_a_session_of_the_week_before_is_asked_about_on_the_day_of_easy_movement() -> None:
    """A session on Sunday, easy movement on Monday: two ISO weeks."""
    person = await Person(began=BEGAN - timedelta(days=1)).open(minutes=14)
    await person.do.session.start()
    await person.later(900)
    await person.do.log.save()
    trained = (await person.store.sessions.records())[0]
    person.clock.ms += 14 * 3_600_000
    await answered(person)
    await person.do.setup.start_easy()
    await person.later(480)
    await person.do.log.save()
    await person.do.setup.show()
    asked = person.state.afterwards.asked
    assert (asked.record_id, asked.easy_movement, asked.asks_joints) == (trained.id, False, True)
