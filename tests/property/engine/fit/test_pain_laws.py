"""Laws of pain before a session: it buys no volume, no load and no stress for the joint that hurts."""

from __future__ import annotations

from dataclasses import replace

from accounts import TODAY, account
from builders import TEST_MOVEMENTS
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import plans, questions

from engine.base.units import MS_PER_MIN
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.fit.problem import Problem, Solution, pose, shortest_possible_ms, solve
from engine.load.rack import Rack
from engine.movements.movement import Joint, Kit
from engine.movements.room import SoreJoint, allowed_stress
from engine.plan.plan import GiveUp, SessionPlan
from engine.record.exposure import planned_rounds
from engine.session.block_parts import kept_movements
from engine.session.fitted import FittedSession
from engine.today.loads import loads_for

JOINTS = (Joint.shoulder, Joint.knee, Joint.low_back)
MILD, STRONG = st.integers(1, 2), st.integers(3, 5)


@st.composite
def stressing_plans(draw: st.DrawFn) -> SessionPlan:
    """Plans whose movements work the joints, each as it comes."""
    grades = st.dictionaries(st.sampled_from(JOINTS), st.integers(1, 3), max_size=2)
    movements = tuple(one.model_copy(update={"stress": draw(grades)}) for one in TEST_MOVEMENTS)
    return draw(plans()).model_copy(update={"movements": movements})


@st.composite
def pained(draw: st.DrawFn) -> tuple[SessionPlan, Asked, tuple[SoreJoint, ...]]:
    """A plan, a question in which nothing hurts and that often has hardly a second to spare, and what could
    hurt."""
    plan, asked = draw(stressing_plans()), draw(questions())
    asked = replace(asked, room=asked.room.model_copy(update={"sore": ()}))
    shortest_ms = shortest_possible_ms(pose(plan, asked))
    spare_ms = draw(st.just(0) | st.integers(0, 15 * MS_PER_MIN))
    asked = replace(asked, minutes=(shortest_ms + spare_ms) / MS_PER_MIN + 1e-6)
    joints = draw(st.lists(st.sampled_from(JOINTS), min_size=1, max_size=2, unique=True))
    return plan, asked, tuple(SoreJoint(joint=one, rating=draw(STRONG | MILD)) for one in joints)


def with_pain(asked: Asked, sore: tuple[SoreJoint, ...]) -> Asked:
    return replace(asked, room=asked.room.model_copy(update={"sore": sore}))


def rounds_of(problem: Problem, solution: Solution | None) -> dict[str, int]:
    """The rounds of every block that there is anything of."""
    if solution is None:
        return {}
    return {block: n for block, n in solution.draft.rounds.items() if problem.choice.by_block[block]}


def solved(plan: SessionPlan, asked: Asked) -> tuple[Problem, Solution | None]:
    problem = pose(plan, asked)
    return problem, solve(problem, asked.budget_ms)


def no_more(less: dict[str, int], more: dict[str, int]) -> bool:
    """Whether the second has nowhere more than the first."""
    return all(number <= less.get(name, 0) for name, number in more.items())


@given(pained())
def test_no_block_and_no_alternative_has_more_rounds_than_without_pain(pain) -> None:
    """Warm-up and work, block by block, in the same minutes, kit and room (trade.md, Pain)."""
    plan, asked, sore = pain
    without = rounds_of(*solved(plan, asked))
    assert no_more(without, rounds_of(*solved(plan, with_pain(asked, sore))))
    assume(without)
    best_without, found = offer(plan, asked), offer(plan, with_pain(asked, sore))
    others = [one.session for one in best_without.alternatives]
    most = max(_rounds(one) for one in (best_without.session, *others) if one is not None)
    assert all(_rounds(one.session) <= most for one in found.alternatives)


def _rounds(session: FittedSession) -> int:
    return session.rounds() + session.warm_up_rounds()


@given(pained())
def test_no_movement_that_the_minutes_cost_comes_back_through_pain(pain) -> None:
    """An optional movement left out to save time without pain stays out with it."""
    plan, asked, sore = pain
    (free, less), (hurt, more) = solved(plan, asked), solved(plan, with_pain(asked, sore))
    assume(less is not None and more is not None)
    assume(all(one.shortens for one in hurt.levers if one.code is GiveUp.optional_movements))
    for block in plan.work_blocks():
        kept = [
            {
                place
                for place, _, _ in kept_movements(
                    block, one.choices(found.draft), one.choice.by_block[block.id]
                )
            }
            for one, found in ((free, less), (hurt, more))
        ]
        assert kept[1] <= kept[0]


@given(pained(), st.sampled_from(JOINTS), MILD, STRONG)
def test_the_higher_the_number_the_fewer_the_rounds(pain, joint, mild, strong) -> None:
    """Of one joint that hurts: no block has more rounds at a higher number."""
    plan, asked, _ = pain
    given = [
        rounds_of(*solved(plan, with_pain(asked, (SoreJoint(joint=joint, rating=n),))))
        for n in (mild, strong)
    ]
    assert no_more(given[0], given[1])


def highest_grade(problem: Problem, joint: Joint) -> int:
    """The highest stress that any movement of the session puts on a joint."""
    known = problem.plan.known_movements()
    return max(
        (
            known[one.movement].stress_on(
                joint, next(f for f in known[one.movement].variants if f.id == one.variant)
            )
            for chosen in problem.choice.by_block.values()
            for one in chosen.values()
        ),
        default=0,
    )


@given(pained(), st.sampled_from(JOINTS), st.integers(0, 5), st.integers(1, 5))
def test_more_pain_never_brings_more_stress_for_the_joint(pain, joint, number, more) -> None:
    plan, asked, others = pain
    others = tuple(one for one in others if one.joint is not joint)
    less_sore = (SoreJoint(joint=joint, rating=number),) if number else ()
    more_sore = (SoreJoint(joint=joint, rating=min(5, number + more)),)
    less, worse = (pose(plan, with_pain(asked, (*others, *sore))) for sore in (less_sore, more_sore))
    assert highest_grade(worse, joint) <= highest_grade(less, joint)
    for one in (*others, *more_sore):
        assert highest_grade(worse, one.joint) <= allowed_stress(one.rating)


@given(pained(), st.integers(1, 3), st.integers(4, 8))
def test_pain_never_gives_more_load(pain, rounds, effort) -> None:
    """A movement done both with pain and without it, in one variant, is lifted with no more weight, whatever
    the last two sessions have earned."""
    plan, asked, sore = pain
    free = offer(plan, asked).session
    assume(free is not None)
    past = [
        account(days_ago, key=key, rounds=rounds, repetitions=key.ceiling, effort=effort)
        for key in planned_rounds(free)
        for days_ago in (6, 3)
        if key.kit is not Kit.none
    ]
    rack = Rack.of_weights((8_000, 10_000, 11_000, 12_000), dumbbells=2)
    loads = []
    for question in (asked, with_pain(asked, sore)):
        session = offer(plan, question).session
        made = () if session is None else loads_for(session, past, rack, today=TODAY)
        loads.append({one.key: max(one.load_g or 0, one.heavier_g or 0) for one in made})
    assert all(load_g <= loads[0].get(key, load_g) for key, load_g in loads[1].items())
