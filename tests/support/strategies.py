"""Plans, questions and runs for the laws: anything a coach could write and a person could do, kept small."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from builders import (
    BEND,
    BOTH,
    FLOOR,
    HAND,
    LEG,
    TURN,
    Journal,
    cool_down,
    pain,
    permitting,
    plan,
    practice,
    work,
)
from hypothesis import assume
from hypothesis import strategies as st

from engine.base.units import MS_PER_MIN
from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.problem import pose, shortest_possible_ms, solve
from engine.live.refit import CUT_UNDONE
from engine.live.remainder import without
from engine.movements.movement import Joint, Kit, Side
from engine.movements.own_choice import Occasion, OwnSubstitute
from engine.movements.room import Room, SoreJoint
from engine.plan.check import check
from engine.plan.plan import (
    Allowance,
    Amount,
    AmountCount,
    AmountUnit,
    Buys,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    RoundsRange,
    SessionPlan,
    SideChange,
    SideChangeMode,
    TimedPractice,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
)
from engine.session.fitted import FittedSession
from engine.session.pace import PersonalPace
from engine.session.segment import BETWEEN, Segment

WORKED = (BOTH.slug, HAND.slug, LEG.slug, FLOOR.slug)


def ranges(most: int) -> st.SearchStrategy[RoundsRange]:
    return st.tuples(st.integers(1, most), st.integers(1, most)).map(
        lambda pair: RoundsRange(min=min(pair), max=max(pair))
    )


@st.composite
def amounts(draw: st.DrawFn) -> Amount:
    low = draw(st.integers(1, 15))
    count = draw(st.sampled_from(AmountCount))
    if count is AmountCount.alternating:
        return Amount(low=2 * low, count=count)
    high = draw(st.none() | st.integers(low, low + 5))
    return Amount(low=low, high=high, unit=draw(st.sampled_from(AmountUnit)), count=count)


@st.composite
def warm_ups(draw: st.DrawFn) -> WarmUpBlock:
    slugs = draw(st.lists(st.sampled_from([BEND.slug, TURN.slug, FLOOR.slug]), min_size=1, unique=True))
    estimates = st.none() | st.integers(1, 90)
    items = tuple(WarmUpItem(movement=s, amount=draw(amounts()), estimate_s=draw(estimates)) for s in slugs)
    return WarmUpBlock(id="warm-up", items=items, rounds=draw(ranges(2)))


@st.composite
def practices(draw: st.DrawFn) -> PracticeBlock:
    timed = TimedPractice(work_s=draw(st.integers(10, 45)), rest_s=draw(st.integers(5, 20)))
    usual = draw(st.sampled_from([PracticeKind.timed, PracticeKind.repetitions]))
    both = draw(st.booleans())
    return practice(
        movements=tuple(draw(st.lists(st.sampled_from(WORKED), min_size=1, unique=True))),
        timed=timed if both or usual is PracticeKind.timed else None,
        repetitions=draw(amounts()) if both or usual is PracticeKind.repetitions else None,
        repetitions_estimate_s=draw(st.none() | st.integers(10, 200)),
        usual=usual,
    )


def with_a_second_place(slugs: list[str]) -> list[str]:
    """A-B as A-B-A-B, A-B-C as A-B-A-C: the first movement once more, next to neither of its places."""
    one, *others = slugs
    return [one, others[0], one, others[-1]] if others else slugs


@st.composite
def substitutes(draw: st.DrawFn, named: Sequence[str]) -> tuple[OwnSubstitute, ...]:
    """The coach's own substitutes for a movement of a block that names these, for kits and sore joints."""
    free = [slug for slug in WORKED if slug not in named]
    occasions = st.sampled_from((Occasion.no_dumbbells, Occasion.one_dumbbell, Occasion.knee))
    wanted = draw(st.lists(occasions, max_size=2, unique=True)) if draw(st.integers(0, 3)) == 0 else []
    return tuple(OwnSubstitute(when=one, movement=draw(st.sampled_from(free))) for one in wanted)


@st.composite
def works(draw: st.DrawFn, id: str) -> WorkBlock:
    slugs = draw(st.lists(st.sampled_from(WORKED), min_size=1, max_size=3, unique=True))
    slugs = draw(st.sampled_from([slugs, with_a_second_place(slugs)]))
    items = tuple(
        WorkMovement(
            movement=slug,
            work_s=draw(st.none() | st.integers(10, 70)),
            optional=index > 0 and draw(st.booleans()),
            may_go=index > 0 and draw(st.integers(0, 3)) == 0,
            substitutes=draw(substitutes(slugs)),
        )
        for index, slug in enumerate(slugs)
    )
    return work(
        id=id,
        movements=items,
        rounds=draw(ranges(3)),
        work_s=draw(st.integers(20, 70)),
        rest_s=draw(st.integers(30, 60)),
        round_rest_s=draw(st.none() | st.integers(30, 60)),
    )


def cool_downs() -> st.SearchStrategy[CoolDownBlock]:
    return st.builds(
        lambda movements, duration_s: cool_down(movements=tuple(movements), duration_s=duration_s),
        st.lists(st.sampled_from([BEND.slug, TURN.slug, LEG.slug]), min_size=1, unique=True),
        st.integers(120, 400),
    )


LENGTHS = {GiveUp.cool_down: (240, 180, 120), GiveUp.rest: (45, 30, 15), GiveUp.work: (50, 35, 20)}


ABOUT_WORK = frozenset(GiveUp) - {
    *(GiveUp.cool_down, GiveUp.practice, GiveUp.practice_kind, GiveUp.extra_warm_up)
}


@st.composite
def allowances(draw: st.DrawFn) -> tuple[Allowance, ...] | None:
    if draw(st.booleans()):
        return draw(st.sampled_from([None, ()]))
    kinds = draw(st.lists(st.sampled_from(GiveUp), unique=True, max_size=6))
    return tuple(
        Allowance(
            give_up=kind,
            to_s=LENGTHS.get(kind, ())[draw(st.integers(0, 2)) :],
            block=draw(st.sampled_from([None, "first"])) if kind in ABOUT_WORK else None,
        )
        for kind in kinds
    )


@st.composite
def plans(draw: st.DrawFn) -> SessionPlan:
    """Plans free of faults with up to two work blocks."""
    parts = [
        draw(st.none() | warm_ups()),
        draw(st.none() | practices()),
        draw(works("first")),
        draw(st.none() | works("second")),
        draw(st.none() | cool_downs()),
    ]
    made = plan(
        *(part for part in parts if part is not None),
        transition_s=draw(st.sampled_from([0, 20, 45])),
        side_change=SideChange(mode=draw(st.sampled_from(SideChangeMode)), change_s=draw(st.integers(5, 12))),
        allowances=draw(allowances()),
        buys=tuple(draw(st.permutations(list(Buys)))),
    )
    if draw(st.booleans()):
        made = permitting(made, draw(st.integers(1, 2)))
    assert check(made) == ()
    return made


def rooms() -> st.SearchStrategy[Room]:
    sore = st.builds(SoreJoint, joint=st.sampled_from([Joint.neck, Joint.knee]), rating=st.integers(1, 10))
    return st.builds(
        lambda kit, joints: Room(kit=kit, sore=tuple(joints)),
        st.sampled_from(Kit),
        st.lists(sore, max_size=1),
    )


def questions(shortest_min: int = 1, longest_min: int = 60) -> st.SearchStrategy[Asked]:
    return st.builds(
        Asked,
        minutes=st.integers(shortest_min, longest_min),
        room=rooms(),
        first_time=st.booleans(),
        side_change=st.none() | st.sampled_from(SideChangeMode),
        careful_cool_down=st.booleans(),
        careful_to_floor=st.booleans(),
        first_side=st.sampled_from([Side.left, Side.right]),
        extra_rounds_percent=st.sampled_from([0, 50, 100]),
        pace=st.builds(PersonalPace, usual=st.integers(500, 2_000)),
    )


@st.composite
def fits(draw: st.DrawFn, most_spare_min: int = 15) -> tuple[SessionPlan, Asked, FittedSession]:
    """A plan, a question that has a session, and that session, often with hardly a second to spare."""
    made, asked = draw(plans()), draw(questions())
    problem = pose(made, asked)
    assume(any(problem.choice.by_block[block.id] for block in made.work_blocks()))
    spare_ms = draw(st.just(0) | st.integers(0, most_spare_min * MS_PER_MIN))
    minutes = -(-(shortest_possible_ms(problem) + spare_ms) // 100) * 100 / MS_PER_MIN
    problem = pose(made, replace(asked, minutes=minutes + 1e-6))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None
    return made, problem.asked, fitted(problem, solution)


def _without_the_last(run: Journal) -> tuple[Segment, ...]:
    """What is to come without its last interval, unless that one is on."""
    state = run.state
    if state.current is None:
        return state.coming
    behind = [s for s in state.segments[state.interval.stop :] if s.kind not in BETWEEN]
    begun = {_place(s) for s in state.segments[: state.index + 1]}
    if not behind or _place(behind[-1]) in begun:
        return state.coming
    both_sides = {s.id for s in behind if _place(s) == _place(behind[-1])}
    return without(state.current, state.coming, lambda s: s.id in both_sides)


def _place(segment: Segment) -> tuple[object, ...]:
    return segment.block, segment.round, segment.place


EVENTS = (
    *("paused", "resumed", "ticked", "hold_started", "hold_stopped", "skipped", "went_back", "redone"),
    *("more_rest", "form_slipped", "telling", "hurt", "returned", "refitted"),
)


@st.composite
def journals(draw: st.DrawFn, of: FittedSession, *, ends: bool = True) -> Journal:
    """A run of a session in which anything can happen in any order; sometimes it ends early."""
    run = Journal(of).write("started", draw(st.integers(0, 5_000)))
    for kind in draw(st.lists(st.sampled_from(EVENTS), max_size=12)):
        at_ms = run.state.at_ms + draw(st.integers(0, 90_000))
        more = {
            "more_rest": {"added_ms": 15_000},
            "telling": {"pain": draw(st.none() | st.just(pain(session_ms=at_ms)))},
            "hurt": {"pain": pain(session_ms=at_ms)},
            "returned": {"away_ms": 60_000},
            "refitted": {"segments": _without_the_last(run), "said": (CUT_UNDONE,)},
        }
        run.write(kind, at_ms, **more.get(kind, {}))
    if ends and draw(st.booleans()):
        run.write("ended", run.state.at_ms + draw(st.integers(0, 90_000)), ending="early")
    return run
