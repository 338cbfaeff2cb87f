"""The fit spends levers only as far as needed, buys whole rounds, and says what it gave up."""

from __future__ import annotations

from itertools import pairwise

from builders import BOTH, FLOOR, HAND, LEG, cool_down, permitting, plan, practice, session, warm_up, work
from reasons_said import reasons_said

from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.problem import pose, shortest_possible_ms, solve
from engine.movements.movement import Kit, Side
from engine.movements.room import Room
from engine.plan.plan import (
    Allowance,
    Amount,
    Buys,
    GiveUp,
    PracticeKind,
    RoundsRange,
    SessionPlan,
    SideChangeMode,
    WorkMovement,
)
from engine.session.fitted import FittedSession
from engine.session.segment import Kind

WITHOUT_ALLOWANCES = plan(allowances=())
"""With one dumbbell: 310 s besides the work, and rounds of 290 s, the last without its rest of 30 s."""


def given_up(of: FittedSession) -> dict[str, float]:
    return {reason.code: reason.seconds for reason in of.reasons}


def fits(of: SessionPlan, minutes: float, kit: Kit = Kit.single, **asked: object) -> bool:
    problem = pose(of, Asked(minutes=minutes, room=Room(kit=kit), **asked))  # type: ignore[arg-type]
    return solve(problem, problem.asked.budget_ms) is not None


def test_spare_time_buys_whole_rounds_and_then_the_warm_up() -> None:
    found = {minutes: session(WITHOUT_ALLOWANCES, minutes=minutes) for minutes in range(16, 32)}
    counts = [(made.rounds(), made.warm_up_rounds()) for made in found.values()]
    assert counts == sorted(counts, key=lambda pair: pair[0])
    assert {(2, 1), (2, 2), (3, 1), (3, 2), (4, 1), (4, 2)} == set(counts)
    assert all(not made.reasons for made in found.values())


def test_the_minutes_are_never_exceeded_and_what_is_just_long_enough_is_taken() -> None:
    shortest_ms = shortest_possible_ms(pose(WITHOUT_ALLOWANCES, Asked(minutes=1, room=Room(kit=Kit.single))))
    assert session(WITHOUT_ALLOWANCES, minutes=shortest_ms / 60_000).total_ms == shortest_ms
    assert not fits(WITHOUT_ALLOWANCES, (shortest_ms - 1) / 60_000)


def test_nothing_is_given_up_to_buy_a_round_beyond_the_minimum() -> None:
    generous = plan(allowances=(Allowance(give_up=GiveUp.hand_change), Allowance(give_up=GiveUp.practice)))
    whole = session(generous, minutes=60, rounds=2)
    minutes = whole.total_ms / 60_000
    assert given_up(session(generous, minutes=minutes)) == {}
    assert given_up(session(generous, minutes=minutes + 3)) == {}


def test_the_first_allowance_is_spent_first_and_only_as_far_as_needed() -> None:
    trimmed = plan(
        work(rounds=RoundsRange(min=2, max=2)),
        cool_down(),
        allowances=(
            Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 120)),
            Allowance(give_up=GiveUp.hand_change),
        ),
    )
    full_ms = session(trimmed).total_ms
    assert given_up(session(trimmed, minutes=(full_ms - 1) / 60_000)) == {"cool_down": 60}
    assert given_up(session(trimmed, minutes=(full_ms - 61_000) / 60_000)) == {"cool_down": 120}
    assert given_up(session(trimmed, minutes=(full_ms - 181_000) / 60_000)) == {
        "cool_down": 180,
        "hand_change": 20,
    }


def test_a_cheap_allowance_is_taken_back_where_a_dear_one_gave_enough() -> None:
    saving = plan(
        practice(),
        work(rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.hand_change), Allowance(give_up=GiveUp.practice)),
    )
    full_ms = session(saving).total_ms
    assert given_up(session(saving, minutes=(full_ms - 20_000) / 60_000)) == {"hand_change": 20}
    assert set(given_up(session(saving, minutes=(full_ms - 21_000) / 60_000))) == {"practice"}


def test_a_change_given_up_in_one_block_stays_in_the_other() -> None:
    two = plan(
        work(HAND.slug, id="first", rounds=RoundsRange(min=2, max=2)),
        work(HAND.slug, id="second", rounds=RoundsRange(min=2, max=2)),
        allowances=(
            Allowance(give_up=GiveUp.hand_change, block="second"),
            Allowance(give_up=GiveUp.hand_change, block="first"),
        ),
    )
    full_ms = session(two).total_ms
    made = session(two, minutes=(full_ms - 20_000) / 60_000)
    changes = {(s.block, s.planned_ms) for s in made.segments if s.kind is Kind.side_change}
    assert changes == {("first", 10_000), ("second", 5_000)}
    assert [(reason.seconds, english(reason.said)) for reason in made.reasons] == [
        (20, "In block 2: You change hands inside the 60 s: 27.5 s a side.")
    ]
    both = session(two, minutes=(full_ms - 40_000) / 60_000)
    assert [reason.seconds for reason in both.reasons] == [20, 20]


def test_each_length_of_interval_is_said_with_what_it_leaves_a_side() -> None:
    items = (WorkMovement(movement=LEG.slug), WorkMovement(movement=LEG.slug, work_s=40))
    of = plan(
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.leg_change),),
    )
    made = session(of, minutes=(session(of).total_ms - 1) / 60_000)
    assert reasons_said(made) == ["You change sides inside the 40 s and 60 s: 15 s and 25 s a side."]


def test_a_side_change_asked_inside_needs_no_allowance() -> None:
    made = session(plan(work(), allowances=()), side_change=SideChangeMode.inside)
    assert {s.planned_ms for s in made.segments if s.kind is Kind.side_change} == {5_000, 10_000}
    assert {s.planned_ms for s in made.segments if s.kind is Kind.work and s.movement == HAND.slug} == {
        27_500
    }
    assert made.reasons == ()


def test_the_cheaper_form_of_practice_is_computed_and_not_assumed() -> None:
    # by repetitions three movements take 10 × 4 s a side here, far longer than 30 s each by the clock
    slow = practice(repetitions=Amount(low=10))
    made = plan(
        slow, work(rounds=RoundsRange(min=2, max=2)), allowances=(Allowance(give_up=GiveUp.practice_kind),)
    )
    full_ms = session(made).total_ms
    assert fits(made, full_ms / 60_000)
    assert not fits(made, (full_ms - 1) / 60_000)
    quick = made.model_copy(
        update={
            "blocks": (practice(repetitions=Amount(low=10), usual=PracticeKind.repetitions), made.blocks[1])
        }
    )
    longer_ms = session(quick).total_ms
    saved = session(quick, minutes=(longer_ms - 1) / 60_000)
    assert saved.choices.practice == {"practice": PracticeKind.timed}
    assert given_up(saved) == {"practice_kind": (longer_ms - full_ms) / 1000}
    assert reasons_said(saved) == ["Practice is by the clock."]
    short = practice(repetitions=Amount(low=3), repetitions_estimate_s=60)
    counted = made.model_copy(update={"blocks": (short, made.blocks[1])})
    (reason,) = session(counted, minutes=(full_ms - 1) / 60_000).reasons
    assert english(reason.said) == "Practice is by repetitions."


def test_a_movement_never_done_before_keeps_its_practice() -> None:
    skipping = plan(practice(), work(), allowances=(Allowance(give_up=GiveUp.practice),))
    shortest_ms = shortest_possible_ms(pose(skipping, Asked(minutes=1, room=Room(kit=Kit.single))))
    assert fits(skipping, shortest_ms / 60_000)
    assert not fits(skipping, shortest_ms / 60_000, first_time=True)
    assert not fits(skipping, shortest_ms / 60_000, practice_required=True)


def test_a_careful_profile_keeps_three_minutes_of_cool_down() -> None:
    trimmed = plan(
        work(), cool_down(), allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 120)),)
    )
    shortest = {
        careful: shortest_possible_ms(
            pose(trimmed, Asked(minutes=1, room=Room(kit=Kit.pair), careful_cool_down=careful))
        )
        for careful in (False, True)
    }
    assert shortest[True] - shortest[False] == 60_000
    jumping = plan(work(), cool_down(), allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(240, 120)),))
    asked = Asked(minutes=1, room=Room(kit=Kit.pair), careful_cool_down=True)
    assert shortest_possible_ms(pose(jumping, asked)) == shortest[True]


def test_a_rest_is_brought_down_but_never_below_what_floor_work_needs() -> None:
    resting = plan(
        work(BOTH.slug, FLOOR.slug, rounds=RoundsRange(min=2, max=2), rest_s=45),
        allowances=(Allowance(give_up=GiveUp.rest, to_s=(30, 15)),),
    )
    shortest_ms = shortest_possible_ms(pose(resting, Asked(minutes=1, room=Room(kit=Kit.pair))))
    made = session(resting, minutes=shortest_ms / 60_000, kit=Kit.pair)
    rests = [(s.movement, s.planned_ms) for s in made.segments if s.kind is Kind.rest]
    assert rests == [(FLOOR.slug, 30_000), (BOTH.slug, 15_000), (FLOOR.slug, 30_000)]


def test_a_rest_keeps_thirty_seconds_where_the_load_changes() -> None:
    one_weight = BOTH.model_copy(update={"slug": "one-weight-lift", "variants": BOTH.variants[:2]})
    resting = plan(
        work(BOTH.slug, HAND.slug, one_weight.slug, rounds=RoundsRange(min=1, max=1), rest_s=45),
        movements=(BOTH, HAND, one_weight),
        allowances=(Allowance(give_up=GiveUp.rest, to_s=(15,)),),
    )
    shortest_ms = shortest_possible_ms(pose(resting, Asked(minutes=1, room=Room(kit=Kit.pair))))
    made = session(resting, minutes=shortest_ms / 60_000, kit=Kit.pair)
    rests = [(s.movement, s.planned_ms) for s in made.segments if s.kind is Kind.rest]
    assert rests == [(HAND.slug, 15_000), (one_weight.slug, 30_000)]


def test_two_levers_on_one_rest_leave_it_at_the_shorter_length() -> None:
    first = work(BOTH.slug, HAND.slug, id="first", rounds=RoundsRange(min=1, max=1), rest_s=60)
    resting = plan(
        first,
        work(HAND.slug, BOTH.slug, id="second", rounds=RoundsRange(min=1, max=1), rest_s=60),
        allowances=(
            Allowance(give_up=GiveUp.rest, to_s=(45,)),
            Allowance(give_up=GiveUp.rest, to_s=(20,), block="first"),
        ),
    )
    shortest_ms = shortest_possible_ms(pose(resting, Asked(minutes=1, room=Room(kit=Kit.pair))))
    assert session(resting, kit=Kit.pair).total_ms - shortest_ms == 40_000 + 15_000
    made = session(resting, minutes=shortest_ms / 60_000, kit=Kit.pair)
    assert made.choices.rest_s == {"first": 20, "second": 45}


def test_one_lever_on_two_practices_is_weighed_as_a_whole() -> None:
    """The other kind takes 20 s from the first practice and adds 40 s to the second: it never helps."""
    estimates = {"first": 100, "second": 160}
    practices = [
        practice(id=id, repetitions=Amount(low=3), repetitions_estimate_s=estimate_s)
        for id, estimate_s in estimates.items()
    ]
    twice = plan(*practices, work(), allowances=(Allowance(give_up=GiveUp.practice_kind),))
    full_ms = session(twice, rounds=2).total_ms
    assert fits(twice, full_ms / 60_000, rounds=2)
    assert not fits(twice, (full_ms - 1_000) / 60_000, rounds=2)


def test_extra_rounds_among_the_allowances_are_bought_with_what_stands_before_them() -> None:
    fields = {"to_s": (240, 180, 120)}
    spending = plan(
        work(rounds=RoundsRange(min=2, max=3), rest_s=45),
        cool_down(),
        allowances=(
            Allowance(give_up=GiveUp.cool_down, **fields),
            Allowance(give_up=GiveUp.extra_rounds),
            Allowance(give_up=GiveUp.rest, to_s=(30,)),
        ),
    )
    full_ms = session(spending, minutes=60).total_ms
    spent = session(spending, minutes=(full_ms - 180_000) / 60_000)
    assert (spent.rounds(), given_up(spent)) == (3, {"cool_down": 180})
    kept = session(spending, minutes=(full_ms - 181_000) / 60_000)
    assert (kept.rounds(), given_up(kept)) == (2, {})


def test_a_coach_may_say_which_blocks_extra_rounds_come_first() -> None:
    one, two = (work(HAND.slug, id=id, rounds=RoundsRange(min=1, max=3), rest_s=30) for id in ("one", "two"))
    dear = plan(one, two, allowances=(Allowance(give_up=GiveUp.extra_rounds, block="two"),))
    minutes = session(dear, minutes=60).total_ms / 60_000
    found = [session(dear, minutes=minutes - less * 100 / 60).choices.rounds for less in range(5)]
    assert found == [{"one": a, "two": b} for a, b in ((3, 3), (2, 3), (1, 3), (1, 2), (1, 1))]


def test_an_optional_movement_goes_only_where_the_minutes_need_it() -> None:
    items = (WorkMovement(movement=BOTH.slug), WorkMovement(movement=FLOOR.slug, optional=True))
    optional = plan(
        work(movements=items, rounds=RoundsRange(min=2, max=2)),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    full_ms = session(optional).total_ms
    made = session(optional, minutes=(full_ms - 1) / 60_000)
    assert {s.movement for s in made.segments if s.kind is Kind.work} == {BOTH.slug}
    assert given_up(made) == {"optional_movements": 180}


def test_below_the_minimum_only_where_the_plan_permits_it() -> None:
    minutes = 11
    assert not fits(plan(allowances=()), minutes)
    below = session(permitting(plan(allowances=())), minutes=minutes)
    assert below.below_minimum
    assert below.rounds() == 1


def test_a_coach_may_prefer_rounds_to_everything_else() -> None:
    eager = plan(
        practice(),
        work(),
        allowances=(Allowance(give_up=GiveUp.practice),),
        buys=(Buys.rounds, Buys.allowances, Buys.warm_up),
    )
    full_ms = session(eager, minutes=60).total_ms
    made = session(eager, minutes=(full_ms - 1) / 60_000)
    assert (made.rounds(), made.choices.practice["practice"]) == (4, PracticeKind.skipped)


def test_more_minutes_never_take_a_round_from_a_block() -> None:
    quick = work(HAND.slug, id="quick", rounds=RoundsRange(min=1, max=3), work_s=30)
    slow = work(HAND.slug, id="slow", rounds=RoundsRange(min=1, max=3), work_s=90)
    for two in (plan(slow, quick, allowances=()), plan(quick, slow, allowances=())):
        found = [session(two, minutes=minutes).choices.rounds for minutes in range(8, 30)]
        assert found[0] != found[-1]
        assert all(now[b] <= later[b] for now, later in pairwise(found) for b in now)


def test_a_session_knows_its_plan_and_the_same_fit_has_the_same_id() -> None:
    assert session().id == session().id
    assert session().id != session(minutes=31).id


def test_nothing_to_do_is_no_session_whatever_the_minutes() -> None:
    without_variant = LEG.model_copy(update={"variants": (LEG.variants[2],), "slug": "only-two"})
    of = plan(work("only-two"), movements=(without_variant,))
    problem = pose(of, Asked(minutes=60, room=Room(kit=Kit.none)))
    nothing = problem.choice.__class__({block.id: {} for block in of.blocks}, ())
    assert solve(problem.__class__(**(problem.__dict__ | {"choice": nothing})), 3_600_000) is None


def test_the_first_side_is_the_persons() -> None:
    assert session(first_side=Side.right).choices.first_side is Side.right


def test_a_warm_up_has_one_round_at_least() -> None:
    assert session(plan(warm_up(), work(), allowances=()), minutes=13).warm_up_rounds() == 1


def test_names_of_any_length_make_a_reason_that_names_them_all() -> None:
    named = [
        BOTH.model_copy(update={"slug": f"move-{number}", "name": f"{number} {'long ' * 23}name"})
        for number in range(6)
    ]
    items = tuple(WorkMovement(movement=one.slug, optional=one is not named[0]) for one in named)
    crowded = plan(
        work(movements=items, rounds=RoundsRange(min=1, max=1)),
        movements=tuple(named),
        allowances=(Allowance(give_up=GiveUp.optional_movements),),
    )
    shortest_ms = shortest_possible_ms(pose(crowded, Asked(minutes=1)))
    (reason,) = session(crowded, minutes=shortest_ms / 60_000, kit=Kit.none).reasons
    assert english(reason.said).count("long name") == 5
