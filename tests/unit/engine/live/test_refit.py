"""Keeping a promised finish: what a re-fit gives up, in which order, and what it never touches."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

from builders import BOTH, HAND, LEG, Journal, cool_down, journal, permitting, plan, session, warm_up, work

from companion.words.words import ENGLISH
from engine.base.message import Count, message
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.live.events import RunningRecord
from engine.live.refit import (
    Refit,
    cuts_too_much,
    end_with_both_sides,
    keep_everything,
    keep_finish,
    keeping,
    later,
)
from engine.live.run import at, replay
from engine.live.timing import remaining_session_at
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, Buys, GiveUp, RoundsRange
from engine.session.segment import Kind, total_ms

THREE_ROUNDS = plan(work(BOTH.slug, HAND.slug, rounds=RoundsRange(min=2, max=4)))
"""In seconds: lead-in 10; each round with one weight 60, rest 30, 30 + 10 + 30, rest 30."""


def run_to(at_s: int, **asked: object) -> Journal:
    made = session(THREE_ROUNDS, minutes=13, **asked)
    assert made.rounds() == 4
    return Journal(made).write("started", 0).write("paused", at_s * 1000).write("resumed", at_s * 1000)


def rounds_in(refit: Refit) -> int:
    return max(segment.round or 0 for segment in refit.segments)


def test_nothing_is_given_up_while_the_finish_is_missed_by_less_than_a_minute() -> None:
    run = run_to(30)
    left_ms = remaining_session_at(run.state, run.state.at_ms)
    assert keep_finish(run.state, left_ms - 60_000) is None
    assert keep_finish(run.state, left_ms - 60_001) is not None


def test_whole_rounds_are_given_up_and_no_more_than_needed() -> None:
    run = run_to(30)
    left_ms = remaining_session_at(run.state, run.state.at_ms)
    refit = keep_finish(run.state, left_ms - 90_000)
    assert refit is not None
    assert rounds_in(refit) == 3
    assert ENGLISH.sentences(refit.said) == "One round dropped."
    assert refit.segments == run.state.coming[: len(refit.segments)]


def test_the_last_interval_of_a_block_keeps_no_rest_behind_it() -> None:
    run = run_to(30)
    refit = keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 90_000)
    assert refit is not None
    assert refit.segments[-1].kind is Kind.work


def test_below_the_coachs_minimum_nothing_can_be_given_up_unless_the_plan_permits_it() -> None:
    run = run_to(30)
    assert keep_finish(run.state, 100_000) is None
    free = session(permitting(THREE_ROUNDS), minutes=13)
    again = Journal(free).write("started", 0).write("paused", 30_000).write("resumed", 30_000)
    refit = keep_finish(again.state, 180_000)
    assert refit is not None
    assert rounds_in(refit) == 1


def test_what_was_given_up_for_the_finish_can_be_taken_back_until_something_else_changes() -> None:
    run = run_to(30)
    planned = run.state.segments
    refit = keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 90_000)
    assert refit is not None
    fields = {"segments": refit.segments, "said": refit.said}
    run.write("refitted", 31_000, **fields, can_be_taken_back=True)
    back = keep_everything(run.state)
    assert back is not None
    run.write("refitted", 90_000, segments=keep_everything(at(run.state, 90_000)).segments, said=back.said)
    assert run.state.segments == planned
    assert keep_everything(run.state) is None


def test_whoever_ends_between_the_sides_can_give_the_other_side_the_same_first() -> None:
    run = journal().write("paused", 30_000)
    refit = end_with_both_sides(run.state)
    assert refit is not None
    assert [(s.kind, s.side) for s in refit.segments] == [(Kind.side_change, "right"), (Kind.work, "right")]
    run.write("refitted", 31_000, segments=refit.segments, said=refit.said).write("resumed", 40_000)
    assert at(run.state, 40_000 + 10_000 + 10_000 + 10_000 + 30_000).ending == "finished"
    assert end_with_both_sides(journal().write("paused", 60_000).state) is None


def test_the_round_that_has_begun_stays() -> None:
    run = run_to(600)
    assert run.state.current is not None
    assert run.state.current.round == 4
    assert keep_finish(run.state, 10_000) is None


def test_extra_rounds_of_the_warm_up_go_before_rounds_of_work() -> None:
    made = session(plan(warm_up(), work(BOTH.slug, rounds=RoundsRange(min=1, max=3))), minutes=15)
    assert (made.warm_up_rounds(), made.rounds()) == (2, 3)
    run = Journal(made).write("started", 0).write("ticked", 120_000)
    refit = keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 61_000)
    assert refit is not None
    assert ENGLISH.sentences(refit.said) == "One warm-up round dropped."


def test_a_plan_that_holds_its_rounds_dearest_gives_up_the_cool_down_first() -> None:
    dear = plan(
        work(BOTH.slug, rounds=RoundsRange(min=1, max=3)),
        cool_down(),
        allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 120)),),
        buys=(Buys.rounds, Buys.allowances, Buys.warm_up),
    )
    made = session(dear, minutes=12)
    run = Journal(made).write("started", 0)
    refit = keep_finish(run.state, remaining_session_at(run.state, 0) - 100_000)
    assert refit is not None
    assert total_ms(s for s in refit.segments if s.kind is Kind.cool_down) == 180_000
    assert rounds_in(refit) == 3
    assert ENGLISH.sentences(refit.said) == "Cool-down cut to 3:00."


def test_below_the_coachs_minimum_nothing_goes_while_a_shorter_cool_down_keeps_the_finish() -> None:
    """Levers are spent to reach the minimum of rounds; less is for where the minutes leave nothing else."""
    permitted = permitting(
        plan(
            work(BOTH.slug, rounds=RoundsRange(min=2, max=3)),
            cool_down(),
            allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(240, 180, 120)),),
        )
    )
    run = Journal(session(permitted, minutes=12)).write("started", 0)
    refit = keep_finish(run.state, remaining_session_at(run.state, 0) - 180_000)
    assert refit is not None
    assert rounds_in(refit) == 2
    assert total_ms(s for s in refit.segments if s.kind is Kind.cool_down) == 180_000


def test_whoever_is_on_the_first_side_keeps_the_change_and_the_other_side() -> None:
    """Sides are always equal in time."""
    run = run_to(110)
    refit = keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 90_000)
    assert refit is not None
    assert (run.state.current.side, run.state.current.kind) == ("left", Kind.work)
    assert [(s.kind, s.side) for s in refit.segments[:2]] == [
        (Kind.side_change, "right"),
        (Kind.work, "right"),
    ]


OPTIONAL = plan(
    work(
        movements=(
            work(BOTH.slug).movements[0],
            work(HAND.slug).movements[0].model_copy(update={"optional": True}),
        ),
        rounds=RoundsRange(min=2, max=4),
    ),
    allowances=(Allowance(give_up=GiveUp.optional_movements),),
)


def test_the_smallest_cut_is_the_optional_movement_of_the_last_round() -> None:
    """In seconds: a round of 60, rest 30, 30 + 10 + 30, rest 30. 75 missing cost 100, not a round of 190."""
    made = session(OPTIONAL, minutes=13)
    run = Journal(made).write("started", 0).write("mark", 30_000, segment_id="here")
    left_ms = remaining_session_at(run.state, 30_000) - 75_000
    refit = keep_finish(run.state, left_ms)
    assert refit is not None
    assert ENGLISH.sentences(refit.cut) == "Left out of the last round: One hand press"
    assert total_ms(run.state.coming) - total_ms(refit.segments) == 100_000
    assert not cuts_too_much(run.state, refit, left_ms)


def test_a_movement_that_the_coach_lets_go_goes_only_while_the_session_runs() -> None:
    block = OPTIONAL.work_blocks()[0]
    items = (block.movements[0], block.movements[1].model_copy(update={"optional": False, "may_go": True}))
    block = block.model_copy(update={"movements": items, "rounds": RoundsRange(min=4, max=4)})
    assert offer(plan(block, allowances=()), Asked(minutes=12, room=Room(kit=Kit.single))).session is None
    run = Journal(session(plan(block, allowances=()), minutes=13)).write("started", 0)
    run.write("mark", 30_000, segment_id="here")
    refit = keep_finish(run.state, remaining_session_at(run.state, 30_000) - 75_000)
    assert refit is not None
    assert ENGLISH.sentences(refit.cut) == "Left out of the last round: One hand press"


def test_one_movement_after_the_other_goes_before_a_round() -> None:
    made = session(OPTIONAL, minutes=13)
    run = Journal(made).write("started", 0).write("mark", 30_000, segment_id="here")
    for missing_s, words in (
        (150, "Left out of the last 2 rounds: One hand press"),
        (250, "Left out of the last 3 rounds: One hand press"),
    ):
        refit = keep_finish(run.state, remaining_session_at(run.state, 30_000) - missing_s * 1000)
        assert refit is not None
        assert (ENGLISH.sentences(refit.cut), rounds_in(refit)) == (words, 4)


def test_a_cut_that_costs_more_than_twice_what_is_missing_is_only_offered() -> None:
    run = run_to(30)
    for missing_ms, too_much in ((75_000, True), (94_999, True), (95_000, False), (130_000, False)):
        left_ms = remaining_session_at(run.state, run.state.at_ms) - missing_ms
        cut = keep_finish(run.state, left_ms)
        assert cut is not None
        assert total_ms(run.state.coming) - total_ms(cut.segments) == 190_000
        assert cuts_too_much(run.state, cut, left_ms) is too_much


def test_a_cut_below_the_coachs_minimum_is_only_offered() -> None:
    free = session(permitting(THREE_ROUNDS), minutes=13)
    run = Journal(free).write("started", 0).write("mark", 30_000, segment_id="here")
    below = keep_finish(run.state, 180_000)
    assert below is not None
    assert rounds_in(below) == 1
    assert cuts_too_much(run.state, below, 180_000)


def test_a_rest_that_has_begun_leads_to_what_follows_and_no_other_rest_comes_after_it() -> None:
    """In seconds: lead-in 10, 60, then the rest of 30 before the optional movement."""
    items = work(BOTH.slug, HAND.slug, LEG.slug).movements
    block = work(
        movements=(items[0], items[1].model_copy(update={"optional": True}), items[2]),
        rounds=RoundsRange(min=1, max=1),
    )
    made = session(plan(block, allowances=(Allowance(give_up=GiveUp.optional_movements),)), minutes=20)
    run = Journal(made).write("started", 0).write("mark", 75_000, segment_id="here")
    refit = keep_finish(run.state, remaining_session_at(run.state, 75_000) - 75_000)
    assert refit is not None
    assert (run.state.current.kind, run.state.current.movement) == (Kind.rest, HAND.slug)
    assert [(s.kind, s.movement) for s in refit.segments] == [
        (Kind.work, LEG.slug),
        (Kind.side_change, LEG.slug),
        (Kind.work, LEG.slug),
    ]


def test_the_round_that_has_just_begun_counts_towards_the_coachs_minimum() -> None:
    """In seconds: lead-in 10, 60, rest 30, then the work of round 2 of at least 2."""
    made = session(plan(work(BOTH.slug, rounds=RoundsRange(min=2, max=4))), minutes=7)
    run = Journal(made).write("started", 0).write("mark", 110_000, segment_id="here")
    left_ms = remaining_session_at(run.state, 110_000) - 170_000
    cut = keep_finish(run.state, left_ms)
    assert (run.state.current.round, run.state.current.kind) == (2, Kind.work)
    assert cut is not None
    assert cut.segments == ()
    assert not cuts_too_much(run.state, cut, left_ms)


def test_an_optional_movement_leaves_the_rounds_to_come_and_the_longer_rest_stays() -> None:
    items = work(BOTH.slug, HAND.slug, LEG.slug).movements
    block = work(
        movements=(items[0], items[1].model_copy(update={"optional": True}), items[2]),
        rounds=RoundsRange(min=3, max=3),
        round_rest_s=60,
    )
    made = session(plan(block, allowances=(Allowance(give_up=GiveUp.optional_movements),)), minutes=20)
    run = Journal(made).write("started", 0).write("paused", 30_000).write("resumed", 30_000)
    refit = keep_finish(run.state, remaining_session_at(run.state, 30_000) - 150_000)
    assert refit is not None
    second = [(s.kind, s.movement, s.planned_ms // 1000) for s in refit.segments if s.round == 2]
    assert second == [
        (Kind.work, BOTH.slug, 60),
        (Kind.rest, LEG.slug, 30),
        (Kind.work, LEG.slug, 30),
        (Kind.side_change, LEG.slug, 10),
        (Kind.work, LEG.slug, 30),
        (Kind.rest, BOTH.slug, 60),
    ]
    assert any(s.movement == HAND.slug for s in refit.segments if s.round == 1)


def test_a_cut_tells_the_finish_that_it_keeps_and_a_finish_that_moves_by_how_much() -> None:
    run = run_to(30)
    left_ms = remaining_session_at(run.state, run.state.at_ms) - 90_000
    cut = keep_finish(run.state, left_ms)
    assert cut is not None
    finish_at = datetime(2026, 3, 2, 15, 41, tzinfo=timezone(timedelta(hours=2)))
    assert ENGLISH.sentences(keeping(cut, finish_at).said) == "One round dropped; you still finish at 15:41."
    two = cut.model_copy(update={"cut": (*cut.cut, message("warm_up_rounds_dropped", rounds=Count(count=2)))})
    assert ENGLISH.sentences(keeping(two, finish_at).said) == (
        "One round dropped. 2 warm-up rounds dropped; you still finish at 15:41."
    )
    assert ENGLISH.sentences(later(run.state, left_ms, cut).said) == "Nothing was cut; you finish 1:30 later."


def test_what_was_told_of_a_refit_is_still_told_when_the_running_record_is_read_again() -> None:
    run = run_to(30)
    cut = keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 90_000)
    assert cut is not None
    told = keeping(cut, datetime(2026, 3, 2, 15, 41, tzinfo=UTC)).said
    run.write("refitted", 31_000, segments=cut.segments, said=told, can_be_taken_back=True)
    again = RunningRecord.model_validate_json(run.record().model_dump_json())
    assert replay(again) == run.state
    assert [change.said for change in replay(again).changes] == [told]
