"""A person who decides between two versions sees all of what they decide about."""

from __future__ import annotations

from typing import Any

import builders
from builders import BOTH, HAND
from hypothesis import given
from hypothesis import strategies as st

from companion.samples import sample_plans
from companion.words.differing import Differing, differing
from engine.base.message import Own
from engine.base.model import Model
from engine.base.units import LoadUnit
from engine.coach.question import Question
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from engine.movements.movement import Equipment, Kit
from engine.plan.plan import RoundsRange
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from storage.models import KitOwned, WeekNote

RECORDS = (
    builders.record(),
    builders.record(note="Slept badly.", effort=7),
    builders.record(loads_g={HAND.slug: 8_000}),
)
grams = st.sampled_from((2_000, 4_000, 12_500))
weights = st.lists(st.builds(FixedWeight, load_g=grams, count=st.integers(1, 4)), max_size=3)
plates = st.lists(st.builds(Plates, load_g=grams, count=st.integers(1, 8)), max_size=2).map(tuple)
bells = st.lists(st.builds(AdjustableBell, bar_g=grams, bars=st.integers(1, 2), plates=plates), max_size=2)
kits = st.builds(
    KitOwned,
    dumbbells=st.sampled_from(Kit),
    rack=st.builds(Rack, fixed=weights.map(tuple), adjustable=bells.map(tuple)),
    absent=st.lists(st.sampled_from(Equipment), max_size=3, unique=True).map(tuple),
)
profiles = st.builds(
    builders.profile,
    name=st.sampled_from(("Runa", "Odile")),
    unit=st.sampled_from(LoadUnit),
    flags=st.lists(st.sampled_from(ProfileFlag), max_size=3, unique=True).map(tuple),
    pregnancy=st.none() | st.builds(WeekSaid, week=st.integers(1, 42), said_on=st.dates()),
    birth=st.none() | st.builds(Birth, on=st.dates(), caesarean=st.booleans()),
)
rounds = st.integers(1, 4).flatmap(
    lambda least: st.builds(
        RoundsRange, min=st.just(least), max=st.integers(least, 6), fewest=st.none() | st.just(1)
    )
)
slugs = st.lists(st.sampled_from((HAND.slug, BOTH.slug)), min_size=1, max_size=4)
plans = st.sampled_from(sample_plans()) | st.builds(
    lambda several, more: builders.plan(
        *(builders.work(*one, rounds=of) for one, of in several), movements=(HAND, BOTH), **more
    ),
    st.lists(st.tuples(slugs, rounds), min_size=1, max_size=3),
    st.fixed_dictionaries(
        {"name": st.sampled_from(("One", "Two")), "transition_s": st.sampled_from((20, 75))}
    ),
)
questions = st.sampled_from((None, (), (Question(said=Own(own="Slower?")),)))
notes = st.builds(
    WeekNote, iso_week=st.just("2026-W10"), all_activity_logged=st.booleans(), questions=questions
)
versions = st.one_of(
    *(st.tuples(one, one) for one in (kits, profiles, plans, notes, st.sampled_from(RECORDS)))
)


@given(versions)
def test_two_versions_differ_in_words_exactly_where_they_differ(pair: tuple[Model, Model]) -> None:
    """Law: differing(a, b) is empty if and only if a = b, and no line says the same of both."""
    here, there = pair
    lines = differing(here, there)
    assert (lines == ()) == (here == there)
    assert all(line.what and line.here and line.there for line in lines)
    assert [line for line in lines if line.here == line.there] == []


@given(versions)
def test_it_does_not_matter_who_looks(pair: tuple[Any, Any]) -> None:
    """Law: differing(b, a) says of each field what differing(a, b) says, with both sides exchanged."""
    here, there = pair
    mirrored = {Differing(one.what, one.there, one.here) for one in differing(there, here)}
    assert set(differing(here, there)) == mirrored
