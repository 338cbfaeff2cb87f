"""Other honest ways to spend the minutes, and what they cost."""

from __future__ import annotations

from builders import HAND, cool_down, permitting, plan, practice, session, work

from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.offer import Offer, offer
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, Buys, GiveUp, RoundsRange, SessionPlan


def offered(of: SessionPlan | None = None, *, minutes: float, **asked: object) -> Offer:
    room = Room(kit=Kit.single)
    return offer(of or plan(allowances=()), Asked(minutes=minutes, room=room, **asked))  # type: ignore[arg-type]


def test_one_round_more_for_levers_is_an_alternative_and_its_label_says_which() -> None:
    trimmed = plan(
        work(HAND.slug), cool_down(), allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(180, 120)),)
    )
    minutes = session(trimmed, minutes=60, rounds=3).total_ms / 60_000 - 0.5
    found = offered(trimmed, minutes=minutes)
    assert [english(one.label) for one in found.alternatives] == ["1 round more, but a shorter cool-down"]
    richer = found.alternatives[0].session
    assert (richer.rounds(), richer.total_ms <= minutes * 60_000) == (3, True)


def test_nobody_new_to_a_movement_is_offered_rounds_for_levers() -> None:
    trimmed = plan(
        work(HAND.slug), cool_down(), allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(180, 120)),)
    )
    minutes = session(trimmed, minutes=60, rounds=3).total_ms / 60_000 - 0.5
    assert offered(trimmed, minutes=minutes, first_time=True).alternatives == ()


def test_everything_kept_is_offered_below_the_minimum_where_the_plan_permits_it() -> None:
    permitted = permitting(plan(practice(), work(), allowances=(Allowance(give_up=GiveUp.practice),)))
    minutes = session(permitted, minutes=60, rounds=2).total_ms / 60_000 - 0.1
    found = offered(permitted, minutes=minutes)
    assert [english(one.label) for one in found.alternatives] == [
        "Everything kept, but 0:06 short of the coach's minimum of rounds"
    ]
    assert found.alternatives[0].session.reasons == ()


def test_everything_kept_is_offered_in_fewer_rounds_where_rounds_are_worth_more() -> None:
    eager = plan(
        practice(),
        work(),
        allowances=(Allowance(give_up=GiveUp.practice),),
        buys=(Buys.rounds, Buys.allowances, Buys.warm_up),
    )
    minutes = session(eager, minutes=60).total_ms / 60_000 - 0.1
    (kept,) = offered(eager, minutes=minutes).alternatives
    assert (english(kept.label), kept.session.rounds()) == ("Everything kept, but 1 round less", 3)
    assert kept.session.reasons == ()


def test_a_round_out_of_turn_is_offered_where_the_block_whose_turn_it_is_has_no_room() -> None:
    quick = work(HAND.slug, id="quick", rounds=RoundsRange(min=1, max=3), work_s=30)
    slow = work(HAND.slug, id="slow", rounds=RoundsRange(min=1, max=3), work_s=90)
    two = plan(slow, quick, allowances=())
    one_each_ms = session(two, minutes=60, rounds=1).total_ms
    found = offered(two, minutes=(one_each_ms + 100_000) / 60_000)
    assert found.session is not None
    assert found.session.choices.rounds == {"slow": 1, "quick": 1}
    assert [english(one.label) for one in found.alternatives] == ["1 round more in block 2 alone"]
    assert found.alternatives[0].session.choices.rounds == {"slow": 1, "quick": 2}


def test_no_round_out_of_turn_is_offered_where_the_rounds_are_asked_for_or_below_the_minimum() -> None:
    """A session below the minimum says what is missing; a round of one block alone would not make it good."""

    def two(least: int) -> SessionPlan:
        rounds = RoundsRange(min=least, max=3)
        slow = work(HAND.slug, id="slow", rounds=rounds, work_s=90)
        return plan(slow, work(HAND.slug, id="quick", rounds=rounds, work_s=30), allowances=())

    minutes = (session(two(1), minutes=60, rounds=1).total_ms + 100_000) / 60_000
    assert len(offered(two(1), minutes=minutes).alternatives) == 1
    assert offered(two(1), minutes=minutes, rounds=1).alternatives == ()
    below = offered(permitting(two(2)), minutes=minutes)
    assert below.session is not None
    assert (below.session.choices.rounds, below.alternatives) == ({"slow": 1, "quick": 1}, ())


def test_a_round_that_costs_the_warm_up_says_so() -> None:
    calm = plan(allowances=(), buys=(Buys.allowances, Buys.warm_up, Buys.rounds))
    minutes = session(calm, minutes=60, rounds=3).total_ms / 60_000 - 0.1
    labels = [english(one.label) for one in offered(calm, minutes=minutes).alternatives]
    assert labels == ["1 round more, but 1 warm-up round less"]


def test_a_longer_warm_up_is_offered_for_one_round_less() -> None:
    one_round_ms = session(plan(allowances=()), minutes=60, rounds=3).total_ms
    warm_up_ms = 150_000
    found = offered(minutes=(one_round_ms - warm_up_ms) / 60_000)
    assert [english(one.label) for one in found.alternatives] == ["A longer warm-up, but 1 round less"]
