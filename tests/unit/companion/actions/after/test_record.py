"""A saved session is corrected by amendments; the record stays as it was saved."""

from __future__ import annotations

from builders import HAND
from somebody import lifted, looking_back, store_with

from companion.state.screen import Screen
from engine.movements.movement import Side
from engine.record.amendment import AmendedField
from engine.record.record import set_key

LEFT, RIGHT = (set_key("circuit", 2, 1, HAND.slug, side) for side in (Side.left, Side.right))


async def test_a_correction_is_an_amendment_and_the_record_stays_as_it_was_saved() -> None:
    saved = lifted(note="Fine.")
    store = await store_with(saved)
    person = await looking_back(store)
    await person.do.record.open(saved.id)
    assert person.state.screen is Screen.record
    person.do.record.correct_set(LEFT, repetitions=5, load_g=7_000)
    person.do.record.correct_set(RIGHT, form_held=True)
    person.do.record.correct_effort(8)
    person.do.record.correct_note("Hard.")
    await person.do.record.save()
    assert person.state.screen is Screen.week
    assert await store.sessions.record(saved.id) == saved
    fields = [one.field for one in await store.sessions.amendments(saved.id)]
    assert fields.count(AmendedField.set) == 1, "a set that says the same is no correction"
    assert {AmendedField.effort, AmendedField.note} <= set(fields)
    (session,) = person.state.week.shown.page.sessions
    assert (session.effort, session.note) == (8, "Hard.")
    sets = {(one.round, one.side): one for movement in session.movements for one in movement.sets}
    assert (sets[2, Side.left].repetitions, sets[2, Side.left].load_g) == (5, 7_000)
    assert sets[2, Side.right].repetitions is None


async def test_a_record_that_is_left_as_it_is_has_no_amendment() -> None:
    store = await store_with(lifted())
    person = await looking_back(store)
    await person.do.record.open("day-0")
    person.do.record.correct_effort(9)
    await person.do.record.close()
    assert await store.sessions.amendments("day-0") == ()


async def test_a_later_correction_counts_even_where_the_clock_went_back() -> None:
    """Corrections in order of the wall clock alone: the later one was lost after the clock was set back."""
    store = await store_with(lifted())
    person = await looking_back(store)

    async def correct(effort: int, *, days: int) -> None:
        person.clock.ms += days * 24 * 3_600_000
        await person.do.record.open("day-0")
        person.do.record.correct_effort(effort)
        await person.do.record.save()

    await correct(9, days=40)
    await correct(4, days=-40)
    for effort in (5, 6, 7, 8, 3):  # within one tick of the clock the ids, which are random, would decide
        await correct(effort, days=0)
    await person.do.record.open("day-0")
    assert person.state.week.open_record.corrected.effort == 3
    moments = [one.at for one in await store.sessions.amendments("day-0")]
    assert moments == sorted(set(moments))
