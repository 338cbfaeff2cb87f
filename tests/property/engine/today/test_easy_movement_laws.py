"""Laws of easy movement, whatever hurts, whoever it is and whatever is at hand."""

from __future__ import annotations

from datetime import date, timedelta

from builders import Journal, pain
from hypothesis import given
from hypothesis import strategies as st

from engine.base.units import MS_PER_MIN
from engine.live.run import at as run_at
from engine.live.swap import swap_after_pain, swap_without
from engine.movements.easy import NEIGHBOURS, easy_movements
from engine.movements.limits import barring
from engine.movements.movement import (
    JOINT_POINTS,
    PAIRED_JOINTS,
    Equipment,
    JointPoint,
    Kit,
    library,
)
from engine.movements.pain import END_FROM
from engine.movements.room import SoreJoint, allowed_stress
from engine.record.history import History
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, starts_ms
from engine.today.day import Today
from engine.today.easy_movement import FEWEST_MOVEMENTS, LONGEST_MIN, SHORTEST_MIN, easy_movement
from engine.today.learned import Learned
from engine.today.no_session import AboutPain, no_session

DAY = date(2026, 3, 2)
NOBODY = Learned.from_history(History())
NONE_OF_THEM = dict.fromkeys(AboutPain, False)


@st.composite
def sore_joints(draw: st.DrawFn) -> tuple[SoreJoint, ...]:
    """One joint point at 6 or more, mostly, and up to two others at any number."""
    points = draw(st.lists(st.sampled_from(JOINT_POINTS), min_size=1, max_size=3, unique=True))
    worst, *others = points
    ratings = [draw(st.integers(END_FROM, 10)), *(draw(st.integers(1, 7)) for _ in others)]
    return tuple(
        SoreJoint(joint=joint, side=side, rating=rating)
        for (joint, side), rating in zip((worst, *others), ratings, strict=True)
    )


@st.composite
def days(draw: st.DrawFn) -> Today:
    weeks = st.builds(WeekSaid, week=st.integers(1, 41), said_on=st.just(DAY - timedelta(days=3)))
    births = st.builds(
        Birth, on=st.dates(DAY - timedelta(weeks=30), DAY - timedelta(days=1)), caesarean=st.booleans()
    )
    return Today(
        day=DAY,
        minutes=draw(st.integers(5, 120)),
        kit=draw(st.sampled_from(Kit)),
        without=tuple(sorted(draw(st.sets(st.sampled_from(Equipment))))),
        sore=draw(sore_joints()),
        flags=tuple(sorted(draw(st.sets(st.sampled_from(ProfileFlag))))),
        pregnancy=draw(st.none() | weeks),
        birth=draw(st.none() | births),
    )


def severe(today: Today) -> list[SoreJoint]:
    return [one for one in today.sore if one.rating >= END_FROM]


def session_of(today: Today, answers: dict[AboutPain, bool] | None = None) -> FittedSession | None:
    why = no_session(today.sore)
    assert why is not None
    found = easy_movement(why, NONE_OF_THEM if answers is None else answers, today, NOBODY)
    return found.session if found else None


@given(days())
def test_no_movement_of_it_stresses_the_joint_its_neighbours_or_any_other_joint_beyond_its_number(
    today: Today,
) -> None:
    """Law: grade 0 for a joint at 6 or more and for its neighbours, on both sides, and for every other joint
    what its number allows; no weight, not on the floor, and nothing that a limit bars."""
    session, known = session_of(today), library()
    if session is None:
        return
    for chosen in (item.chosen for block in session.blocks for item in block.items):
        movement = known[chosen.movement]
        variant = next(one for one in movement.variants if one.id == chosen.variant)
        for worst in severe(today):
            for joint in (worst.joint, *NEIGHBOURS[worst.joint]):
                assert movement.stress_on(joint, variant) == 0
        for one in today.sore:
            assert movement.stress_on(one.joint, variant) <= allowed_stress(one.rating)
        assert (variant.kit, chosen.dumbbells, variant.on_floor, chosen.on_floor) == (
            Kit.none,
            0,
            False,
            False,
        )
        assert not barring(today.limits, movement, variant)
        assert not set(variant.needs) & {*today.without, Equipment.floor}


@given(days())
def test_it_lasts_five_to_ten_minutes_of_at_least_two_movements_with_equal_sides(today: Today) -> None:
    """Law: 5 to 10 minutes, no more than are asked for unless those are fewer than it can do."""
    session = session_of(today)
    if session is None:
        return
    assert SHORTEST_MIN * MS_PER_MIN <= session.total_ms <= LONGEST_MIN * MS_PER_MIN
    assert session.total_ms <= max(today.minutes, SHORTEST_MIN + 1) * MS_PER_MIN
    assert session.total_ms <= session.minutes * MS_PER_MIN
    assert len({item.chosen.movement for block in session.blocks for item in block.items}) >= FEWEST_MOVEMENTS
    for side in ("left", "right"):
        assert sum(s.planned_ms for s in session.segments if s.side == side and s.kind == "work") == sum(
            s.planned_ms for s in session.segments if s.side not in (side, "both", None) and s.kind == "work"
        )


@given(days(), st.dictionaries(st.sampled_from(AboutPain), st.booleans()), st.booleans())
def test_it_is_offered_only_for_one_joint_after_four_times_no(
    today: Today, answers: dict[AboutPain, bool], again: bool
) -> None:
    """Law: never with two joints at 6 or more, never for neck or low back, never after a yes or an open
    question, never on a second such day of seven."""
    why = no_session(today.sore, again=again)
    assert why is not None
    found = easy_movement(why, answers, today, NOBODY)
    worst = severe(today)
    may = len(worst) == 1 and worst[0].joint in PAIRED_JOINTS and not again and answers == NONE_OF_THEM
    assert (found is not None) is may


@given(st.sampled_from([point for point in JOINT_POINTS if point[0] in PAIRED_JOINTS]), st.sampled_from(Kit))
def test_somebody_without_limits_always_finds_some(point: JointPoint, kit: Kit) -> None:
    """Law: the library has enough for every joint, in a room with nothing in it."""
    joint, side = point
    sore = (SoreJoint(joint=joint, side=side, rating=8),)
    assert session_of(Today(day=DAY, minutes=20, kit=kit, without=tuple(Equipment), sore=sore)) is not None


@given(days(), st.sampled_from(JOINT_POINTS), st.integers(3, 5), st.integers(0, 7))
def test_nothing_but_easy_movement_comes_into_it_on_the_run(
    today: Today, point: JointPoint, rating: int, interval: int
) -> None:
    """Law: whatever hurts on the way, and whatever is missing after all, what comes still spares the joint
    and its neighbours, needs no weight and no floor, and spares the new joint too."""
    session = session_of(today)
    if session is None:
        return
    work = [index for index, one in enumerate(session.segments) if one.kind is Kind.work]
    at = work[interval % len(work)]
    at_ms = starts_ms(session.segments)[at] + 5_000
    state = run_at(Journal(session).write("started", 0).state, at_ms)
    assert state.current is not None
    note = pain(joint=point[0], side=point[1], rating=rating, movement=state.current.movement)
    rest = easy_movements(library(), session.room)
    for refit in (swap_after_pain(state, note, library()), swap_without(state, Equipment.wall, library())):
        for added in (one.item.chosen for one in refit.items):
            movement = library()[added.movement]
            variant = next(one for one in movement.variants if one.id == added.variant)
            assert variant in rest[added.movement].variants
        for segment in refit.segments:
            assert segment.movement is None or segment.movement in rest
    for added in (one.item.chosen for one in swap_after_pain(state, note, library()).items):
        movement = library()[added.movement]
        variant = next(one for one in movement.variants if one.id == added.variant)
        assert movement.stress_on(point[0], variant) == 0
