"""Plans from a file or of the person's own: shown first, then kept; what goes can be brought back."""

from __future__ import annotations

import builders
from somebody import PLAN, Person

from companion.services.files import PickedFile
from companion.state.screen import Screen

OTHER = builders.plan(id="another-plan", name="Another plan", author="Ines Okonjo")


async def test_a_plan_from_a_file_is_kept_beside_the_samples_and_stays_chosen() -> None:
    person = await Person().open()
    person.files.to_pick.append(PickedFile("other.json", OTHER.model_dump_json().encode()))
    await person.do.plans.open_file()
    assert person.state.plans.shown == OTHER
    assert await person.store.plans.all() == ()
    await person.do.plans.save(OTHER)
    assert {plan.id for plan in await person.store.plans.all()} == {OTHER.id, PLAN.id}
    again = await Person(person.store).open()
    assert again.state.plans.chosen == OTHER
    await person.undo()
    assert await person.store.plans.all() == (PLAN,)


async def test_a_newer_version_of_a_plan_can_be_taken_back() -> None:
    person = await Person().open()
    await person.do.plans.save(OTHER)
    await person.do.plans.save(OTHER.model_copy(update={"note": "Slower."}))
    await person.undo()
    assert await person.store.plans.one(OTHER.id) == OTHER


async def test_where_no_plan_is_left_the_samples_are_there_again() -> None:
    person = await Person().open()
    await person.do.plans.remove(PLAN)
    assert person.state.plans.all == (PLAN,)
    assert await person.store.plans.all() == ()


async def test_a_file_with_faults_changes_nothing_and_says_where_they_are() -> None:
    person = await Person().open()
    for content in (b"", b"\xff", b"[]", b'{"format": "profile"}', OTHER.model_dump_json().encode()[:-9]):
        person.files.to_pick.append(PickedFile("broken\u202e.json", content))
        await person.do.plans.open_file()
        assert person.state.screen is Screen.plans
        assert person.state.plans.faults
        assert person.state.plans.faulty == "broken .json"
    assert await person.store.plans.all() == ()
