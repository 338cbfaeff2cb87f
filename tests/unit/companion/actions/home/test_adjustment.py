"""What the coach asks of a person: shown before it is taken, and over after its last day."""

from __future__ import annotations

from datetime import timedelta

from builders import adjustment
from somebody import BEGAN, Person

from companion.services.files import PickedFile
from companion.state.screen import Screen
from companion.words.faults import fault_words
from companion.words.words import english
from engine.movements.movement import Joint, library
from engine.plan.adjustment import describe
from engine.plan.link import fragment


async def test_what_the_coach_asks_is_shown_before_it_is_taken_and_shapes_the_fit() -> None:
    person = await Person().open(minutes=60)
    asked = adjustment(until=BEGAN.date() + timedelta(days=7), changes=({"kind": "rounds", "rounds": 2},))
    person.files.to_pick.append(PickedFile("from-odd.json", asked.model_dump_json().encode()))
    assert person.state.fit.offer.session.rounds() == 4
    await person.do.plans.open_file()
    assert (person.state.screen, person.state.plans.adjustment_shown) == (Screen.adjustment, asked)
    assert person.state.fit.offer.session.rounds() == 4
    await person.do.adjustment.take()
    assert person.state.fit.offer.session.rounds() == 2
    again = Person(person.store)
    await again.come_back()
    assert again.do.setup.asked_by_coach() == (asked,)


async def test_an_adjustment_is_over_after_its_last_day() -> None:
    person = await Person().open(minutes=60)
    asked = adjustment(until=BEGAN.date(), changes=({"kind": "spare", "joint": "knee", "side": "left"},))
    person.do.plans.open_link(fragment(asked))
    assert person.state.plans.adjustment_shown == asked
    await person.do.adjustment.take()
    assert [one.joint for one in person.state.fit.offer.session.room.sore] == [Joint.knee]
    person.clock.ms += 24 * 3_600_000
    person.do.setup.set_minutes(60)
    assert person.state.fit.offer.session.room.sore == ()


async def test_the_minutes_that_the_coach_hints_at_are_those_of_the_next_session() -> None:
    person = await Person().open(minutes=60)
    hint = {"kind": "minutes", "minutes": 20}
    asked = adjustment(until=BEGAN.date() + timedelta(days=7), changes=(hint,))
    person.do.plans.open_link(fragment(asked))
    await person.do.adjustment.take()
    assert person.state.fit.minutes == 20
    assert any("20 min" in english(said) for said in describe(asked, library()))
    again = Person(person.store)
    await again.come_back()
    assert (again.state.fit.minutes, again.do.setup.asked_by_coach()) == (20, (asked,))


async def test_an_adjustment_of_the_future_is_refused_from_a_file_and_from_a_link() -> None:
    person = await Person().open(minutes=60)
    ahead = adjustment(made_at=BEGAN.replace(year=2099), until=BEGAN.date().replace(year=2099))
    person.files.to_pick.append(PickedFile("from-odd.json", ahead.model_dump_json().encode()))
    await person.do.plans.open_file()
    (fault,) = person.state.plans.faults
    assert "which is still to come" in fault_words(fault)
    person.state.plans.faults = ()
    person.do.plans.open_link(fragment(ahead))
    assert len(person.state.plans.faults) == 1
    assert person.state.plans.adjustment_shown is None


async def test_an_adjustment_that_was_taken_can_be_removed_and_brought_back() -> None:
    person = await Person().open(minutes=60)
    asked = adjustment(until=BEGAN.date() + timedelta(days=7), changes=({"kind": "rounds", "rounds": 2},))
    person.do.plans.open_link(fragment(asked))
    await person.do.adjustment.take()
    assert person.state.fit.offer.session.rounds() == 2
    await person.do.plans.remove_adjustment(asked)
    assert person.state.fit.offer.session.rounds() == 4
    assert await person.store.person.adjustments() == ()
    await person.undo()
    assert person.state.fit.offer.session.rounds() == 2
