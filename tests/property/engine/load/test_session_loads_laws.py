"""Laws of what is told to be lifted in generated sessions of generated plans."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

from builders import STARTED_AT, record
from hypothesis import given
from hypothesis import strategies as st
from strategies import fits

from engine.base.units import MS_PER_S
from engine.growth.one_load import change_s
from engine.load.proposal import LoadProposal
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from engine.record.exposure import Exposure, exposures_of
from engine.record.profile import ProfileFlag
from engine.record.record import SetAnswer
from engine.session.fitted import FittedSession
from engine.session.segment import Kind
from engine.today.loads import free_for, loads_for

fixed = st.lists(
    st.builds(FixedWeight, load_g=st.integers(2, 40).map(lambda n: n * 500), count=st.integers(1, 2)),
    max_size=5,
    unique_by=lambda one: one.load_g,
)
bells = st.lists(
    st.builds(
        AdjustableBell,
        bar_g=st.just(2_000),
        bars=st.integers(1, 2),
        plates=st.just((Plates(load_g=500, count=8), Plates(load_g=1_000, count=8))),
    ),
    max_size=2,
)
racks = st.builds(lambda one, two: Rack(fixed=tuple(one), adjustable=tuple(two)), fixed, bells)


@st.composite
def told(draw: st.DrawFn) -> tuple[FittedSession, Rack, tuple[LoadProposal, ...], tuple[Exposure, ...]]:
    """A generated session, a rack, and what is told after up to three sessions done as they were told."""
    session, rack = draw(fits())[2], draw(racks)
    flags = draw(st.sampled_from(((), (ProfileFlag.novice,))))
    past: tuple[Exposure, ...] = ()
    for number in range(draw(st.integers(0, 3))):
        at = STARTED_AT + timedelta(days=draw(st.sampled_from((2, 3, 9))) + 10 * number)
        made = loads_for(session, past, rack, today=at.date(), flags=flags)
        effort = draw(st.sampled_from((5, 7, 9)))
        past = (*past, *_done(session, made, number, effort))
    today = STARTED_AT.date() + timedelta(days=33)
    return session, rack, loads_for(session, past, rack, today=today, flags=flags), past


def _done(
    session: FittedSession, made: tuple[LoadProposal, ...], number: int, effort: float
) -> tuple[Exposure, ...]:
    """The exposures of the session done as it was told, every set rated alike."""
    at = STARTED_AT + timedelta(days=10 * number)
    whole = record(session, started_at=at, record_id=f"record-{number}")
    by_movement = {one.key.movement: one for one in made}
    answers = {
        done.key: SetAnswer(
            load_g=_load(by_movement[done.movement], done.round) if done.movement in by_movement else None,
            effort=effort,
        )
        for done in whole.sets
    }
    return exposures_of(record(session, started_at=at, record_id=f"record-{number}", exceptions=answers))


def _load(one: LoadProposal, number: int) -> int:
    return (one.heavier_g if number <= one.heavier_rounds else one.load_g) or 0


@given(told())
def test_every_weight_told_is_owned_as_often_as_it_is_needed(case) -> None:
    _, rack, made, past = case
    for one in made:
        dumbbells = one.key.kit.dumbbells
        lifted = {done.load_g for exposure in past for done in exposure.sets}
        owned = rack.loads_g(dumbbells) or tuple(lifted)
        assert {one.load_g, one.heavier_g, one.practice_g} <= {None, 0, *owned}


@given(told())
def test_what_is_in_the_hand_changes_only_where_a_rest_is_long_enough(case) -> None:
    """20 s for another dumbbell, 60 s for collars, 100 s for those of a pair. † Our judgement, no source."""
    session, rack, made, _ = case
    by_movement = {one.key.movement: one for one in made}
    for block in session.blocks:
        if block.kind != "work":
            continue
        visits: list[tuple[int, int, int]] = []
        rest_ms = 0
        for segment in session.segments:
            if segment.block != block.id:
                continue
            if segment.kind is Kind.rest:
                rest_ms = max(rest_ms, segment.planned_ms)
            one = by_movement.get(segment.movement or "")
            if segment.kind is Kind.work and one is not None:
                visits.append((_load(one, segment.round or 1), one.key.kit.dumbbells, rest_ms))
                rest_ms = 0
        for (from_g, some, _), (to_g, others, between_ms) in pairwise(visits):
            assert change_s(rack, min(some, others), from_g, to_g) * MS_PER_S <= between_ms


@given(told())
def test_no_goal_is_above_the_ceiling_and_the_reserve_has_its_floor(case) -> None:
    session, _, made, past = case
    for one in (*made, *free_for(session, past, today=STARTED_AT.date() + timedelta(days=33))):
        assert one.reserve >= 2
    for one in made:
        ceiling = one.key.ceiling
        assert one.heavier_goal is None or (ceiling is not None and one.heavier_goal <= ceiling)
        assert not one.heavier_rounds or (one.heavier_g or 0) > (one.load_g or 0)
