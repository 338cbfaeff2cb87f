"""Before a session: weeks away and sore muscles mean fewer rounds."""

from __future__ import annotations

from somebody import Person, started

from engine.movements.movement import Joint, Side
from engine.today.no_session import AboutPain


async def test_after_three_weeks_away_the_fewest_rounds_are_enough_and_it_is_said() -> None:
    person = await started()
    await person.later(900)
    await person.do.log.save()
    person.clock.ms += 21 * 86_400_000
    person.do.setup.set_minutes(60)
    assert person.state.fit.offer.session.rounds() == 2
    assert person.state.fit.care.said[0].startswith("21 days since the last session")


async def test_sore_muscles_mean_fewer_rounds_and_the_same_movements() -> None:
    person = await Person().open(minutes=60)
    fresh = person.state.fit.offer.session
    person.do.setup.rate_sore_muscles(5)
    sore = person.state.fit.offer.session
    assert sore.rounds() < fresh.rounds()
    assert {i.chosen for b in sore.blocks for i in b.items} == {
        i.chosen for b in fresh.blocks for i in b.items
    }


async def test_a_joint_at_six_leaves_nothing_to_start_until_it_is_said_otherwise() -> None:
    person = await Person().open(minutes=60)
    person.do.setup.rate_sore(Joint.knee, Side.left, 6)
    fit = person.state.fit
    assert (fit.session, fit.offer) == (None, None)
    assert [one.joint for one in fit.no_session.joints] == [Joint.knee]
    await person.do.session.start()
    assert person.state.run.live is None
    person.do.setup.answer_about_pain(AboutPain.urgent_signs, False)
    person.do.setup.set_minutes(30)
    assert fit.answers == {AboutPain.urgent_signs: False}
    person.do.setup.rate_sore(Joint.knee, Side.left, 7)
    assert fit.answers == {}
    person.do.setup.rate_sore(Joint.knee, Side.left, 3)
    assert fit.no_session is None
    await person.do.session.start()
    assert person.state.run.live is not None
