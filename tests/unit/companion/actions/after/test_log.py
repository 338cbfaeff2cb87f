"""The log: what is said of one round or one set holds for it alone."""

from __future__ import annotations

from builders import HAND
from somebody import started

from companion.state.screen import Screen
from engine.movements.movement import Side
from engine.record.record import set_key


async def test_what_was_left_in_the_last_round_is_said_of_each_side_and_of_no_other_round() -> None:
    person = await started()
    await person.later(900)
    assert person.state.screen is Screen.log
    person.do.log.reserve(HAND.slug, 2)
    person.do.log.set_load(HAND.slug, 9_000)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    sets = [done for done in record.sets if done.movement == HAND.slug]
    assert len({done.round for done in sets}) > 1
    assert [done.effort for done in sets] == [8 if done.round == sets[-1].round else None for done in sets]
    assert {done.load_g for done in sets} == {9_000}, "the load of the movement holds for that round too"


async def test_one_set_can_have_a_load_and_a_form_of_its_own() -> None:
    person = await started()
    await person.later(900)
    person.do.log.set_load(HAND.slug, 9_000)
    key = set_key("circuit", 1, 2, HAND.slug, Side.both)
    person.do.log.set(key, load_g=7_000, easier_variant=True, limited_by="grip")
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    by_key = {done.key: done for done in record.sets}
    assert (by_key[key].load_g, by_key[key].easier_variant, by_key[key].limited_by) == (7_000, True, "grip")
    assert by_key[set_key("circuit", 2, 2, HAND.slug, Side.both)].load_g == 9_000
