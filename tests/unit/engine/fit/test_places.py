"""A movement with several places in a round: one choice for all of them, and each with its own words."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, LEG, STARTED_AT, plan, record, session, work
from reasons_said import reasons_said
from two_places import TWICE, in_two_places, two_places

from engine.fit.asked import Asked
from engine.fit.assemble import fitted
from engine.fit.choose import choose
from engine.fit.problem import pose, solve
from engine.load.rack import Rack
from engine.load.session_loads import as_proposed, proposals
from engine.movements.movement import Joint, Kit
from engine.movements.room import Room, SoreJoint
from engine.plan.check import check
from engine.plan.plan import Allowance, GiveUp, RoundsRange, WorkMovement
from engine.record.exposure import exposures_of, keys_by_place
from engine.session.segment import Kind

RACK = Rack.of_weights((4_000, 6_000, 8_000, 10_000, 12_000), dumbbells=1)


def test_a_round_may_have_a_movement_in_two_places() -> None:
    assert check(two_places()) == ()
    worked = [s.place for s in in_two_places().segments if s.kind is Kind.work and s.movement == BOTH.slug]
    assert worked == [1, 3, 1, 3]


def test_a_round_of_one_movement_and_one_round_that_ends_as_it_began_are_no_faults() -> None:
    assert check(plan(work(BOTH.slug))) == ()
    once = work(BOTH.slug, HAND.slug, BOTH.slug, rounds=RoundsRange(min=1, max=1))
    assert check(plan(once)) == ()


def test_what_stands_in_stands_in_every_place_and_is_said_once() -> None:
    """Never the same movement twice under two names: the places that the plan names alike get the same."""
    of, sore = two_places(), SoreJoint(joint=Joint.neck, rating=5)
    lame = of.movements[0].model_copy(update={"stress": {Joint.neck: 3}})
    of = of.model_copy(update={"movements": (lame, *of.movements[1:])})
    choice = choose(of, Room(kit=Kit.single, sore=(sore,)))
    told = [one for one in choice.swaps if one.movement == BOTH.slug]
    assert len(told) == 1
    stand_in = choice.by_block["circuit"][BOTH.slug]
    assert stand_in.movement not in (BOTH.slug, HAND.slug, FLOOR.slug)
    problem = pose(of, Asked(minutes=20, room=Room(kit=Kit.single, sore=(sore,))))
    solution = solve(problem, problem.asked.budget_ms)
    assert solution is not None
    worked = [s for s in fitted(problem, solution).segments if s.kind is Kind.work and s.round == 1]
    assert {s.place for s in worked if s.movement == stand_in.movement} == {1, 3}


def test_each_place_has_what_the_coach_wrote_about_it() -> None:
    of = two_places(
        {"end_point": "To the knees.", "tempo": "3-0-1-0", "goal": 8},
        {"end_point": "To the shins.", "tempo": "5-0-1-0", "cues": ("Slower now.",)},
    )
    first, second = (in_two_places(of).in_place("circuit", place, BOTH.slug) for place in TWICE)
    assert first is not None
    assert second is not None
    assert (first.chosen.end_point, first.tempo, first.goal) == ("To the knees.", "3-0-1-0", 8)
    assert (second.chosen.end_point, second.tempo, second.goal) == ("To the shins.", "5-0-1-0", None)
    assert second.chosen.cues == ("Slower now.",)
    assert first.chosen.cues == BOTH.cues


def test_an_optional_second_place_goes_alone_and_is_named() -> None:
    optional = two_places(second={"optional": True})
    optional = optional.model_copy(update={"allowances": (Allowance(give_up=GiveUp.optional_movements),)})
    full = in_two_places(optional)
    less = in_two_places(optional, minutes=(full.total_ms - 1) / 60_000)
    assert less.choices.without_optional == ("circuit:3:both-hands-lift",)
    assert reasons_said(less) == [
        "Left out, as the plan calls it optional: Both hands lift at place 3 of the round."
    ]
    assert {s.place for s in less.segments if s.kind is Kind.work} == {1, 2, 4}


def test_nothing_is_dropped_from_between_the_places_of_one_movement() -> None:
    items = tuple(
        WorkMovement(movement=slug, optional=slug in (LEG.slug, HAND.slug))
        for slug in (BOTH.slug, HAND.slug, BOTH.slug, LEG.slug)
    )
    of = plan(
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    full = session(of, minutes=20)
    assert not full.choices.without_optional
    problem = pose(of, Asked(minutes=(full.total_ms - 1) / 60_000, room=Room(kit=Kit.single)))
    assert solve(problem, problem.asked.budget_ms) is None


def test_one_amount_in_two_places_has_one_proposal_and_two_amounts_have_two() -> None:
    """Last loads are keyed by version, kit, interval and tempo, not by place."""
    alike = in_two_places()
    past = exposures_of(record(alike, started_at=STARTED_AT, loads_g={BOTH.slug: 8_000}, effort=6))
    day = STARTED_AT.date()
    assert [one.key.movement for one in proposals(alike, past, RACK, today=day)].count(BOTH.slug) == 1
    slower = in_two_places(two_places(second={"tempo": "6-0-1-0"}))
    keys = keys_by_place(slower)
    assert keys["circuit", 1] != keys["circuit", 3]
    done = record(slower, started_at=STARTED_AT)
    lifted = [
        one.model_copy(update={"load_g": 10_000 if one.place == 1 else 6_000})
        for one in done.sets
        if one.movement == BOTH.slug
    ]
    past = exposures_of(done.model_copy(update={"sets": tuple(lifted)}))
    told = as_proposed(slower, proposals(slower, past, RACK, today=day))
    loads_g = [told.in_place("circuit", place, BOTH.slug).to_lift.load_g for place in TWICE]
    assert loads_g == [10_000, 6_000]
    tempos = [told.in_place("circuit", place, BOTH.slug).tempo for place in TWICE]
    assert tempos == ["3-0-1-0", "6-0-1-0"]
