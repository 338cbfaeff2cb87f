"""Before a session: weeks away and sore muscles mean fewer rounds."""

from __future__ import annotations

from somebody import Person, started


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
