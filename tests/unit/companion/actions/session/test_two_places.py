"""A round A-B-A-C from the start to the page for the coach: the lift keeps its two places all the way."""

from __future__ import annotations

import json
import re

from builders import BOTH
from somebody import Person, started
from two_places import two_places

from companion.state.screen import Screen
from engine.live.loads import load_of
from engine.record.record import SetDone, set_key
from engine.session.segment import Kind


def lifts(sets: tuple[SetDone, ...]) -> list[tuple[int, int, int | None]]:
    return [(one.round, one.place, one.load_g) for one in sets if one.movement == BOTH.slug]


async def to_the_rest_before(person: Person, place: int) -> None:
    """Waits for the rest that leads to a place of the first round."""
    while not (person.run.current.kind is Kind.rest and person.run.current.place == place):
        await person.later(5)


async def test_from_the_start_to_the_page_each_place_keeps_its_load_and_its_sets() -> None:
    person = await started(two_places())
    await person.do.session.set_load(BOTH.slug, 10_000)
    assert {load_of(person.run, s) for s in person.run.segments if s.movement == BOTH.slug} == {10_000}
    await to_the_rest_before(person, 3)
    await person.do.session.set_load(BOTH.slug, 8_000)
    await person.later(900)
    assert person.state.screen is Screen.log
    person.do.log.reserve(BOTH.slug, 3, turn=1)
    person.do.log.set_load(BOTH.slug, 6_000, turn=2)
    await person.do.log.save()

    (record,) = await person.store.sessions.records()
    assert lifts(record.sets) == [(1, 1, 10_000), (1, 3, 6_000), (2, 1, 10_000), (2, 3, 6_000)]
    rated = [(one.round, one.place) for one in record.sets if one.effort is not None]
    assert rated == [(2, 1)]

    await person.do.record.open(record.id)
    key = set_key("circuit", 1, 3, BOTH.slug, record.sets[0].side)
    person.do.record.correct_set(key, load_g=4_000)
    await person.do.record.save()
    corrected = person.state.week.in_view.page.sessions[0]
    (lift,) = [one for one in corrected.movements if one.movement == BOTH.slug]
    assert [(one.round, one.place, one.load_g) for one in lift.sets] == [
        (1, 1, 10_000),
        (1, 3, 4_000),
        (2, 1, 10_000),
        (2, 3, 6_000),
    ]
    (hinge,) = [one for one in person.state.week.in_view.page.reviews[-1].patterns if one.pattern == "hinge"]
    assert hinge.sets == 4

    await person.do.week.save_page()
    page = person.files.saved[-1][1].decode()
    embedded = json.loads(re.search(r"<script[^>]*application/json[^>]*>(.*?)</script>", page, re.DOTALL)[1])
    sets = [one["sets"] for one in embedded["sessions"][0]["movements"] if one["movement"] == BOTH.slug]
    assert [(one["round"], one["place"]) for one in sets[0]] == [(1, 1), (1, 3), (2, 1), (2, 3)]


async def test_the_next_session_proposes_the_lighter_of_the_two_for_both() -> None:
    """Last loads are keyed by version, kit, interval and tempo, whatever the place."""
    person = await started(two_places())
    await person.do.session.set_load(BOTH.slug, 10_000)
    await to_the_rest_before(person, 3)
    await person.do.session.set_load(BOTH.slug, 8_000)
    await person.later(900)
    await person.do.log.save()
    await person.later(60)
    proposed = person.do.session.propose(person.state.fit.session)
    assert [one.load_g for one in proposed if one.key.movement == BOTH.slug] == [8_000]
