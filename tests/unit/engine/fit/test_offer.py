"""What a person is shown for their minutes."""

from __future__ import annotations

from builders import permitting, plan, practice, session, work

from companion.words.words import english
from engine.fit.asked import Asked
from engine.fit.offer import Offer, offer, shortest_message
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, GiveUp, RoundsRange, SessionPlan


def offered(of: SessionPlan | None = None, *, minutes: float, **asked: object) -> Offer:
    room = Room(kit=Kit.single)
    return offer(of or plan(allowances=()), Asked(minutes=minutes, room=room, **asked))  # type: ignore[arg-type]


def test_no_session_still_tells_the_shortest_possible_time() -> None:
    nothing = offered(minutes=5)
    assert nothing.session is None
    assert nothing.missing_to_minimum_ms == 0, "that is told only of a session below the minimum"
    assert offered(minutes=nothing.shortest_ms / 60_000).session is not None
    assert english(shortest_message(nothing.shortest_ms)).endswith("takes 14:20.")


def test_what_one_round_more_needs_is_exactly_enough() -> None:
    now = offered(minutes=20)
    assert now.session is not None
    assert now.missing_ms is not None
    short = offered(minutes=20 + (now.missing_ms - 1) / 60_000)
    assert short.session is not None
    assert short.session.rounds() == now.session.rounds()
    more = offered(minutes=20 + now.missing_ms / 60_000)
    assert more.session is not None
    assert more.session.rounds() == now.session.rounds() + 1


def test_at_the_most_rounds_nothing_is_missing() -> None:
    assert offered(minutes=60).missing_ms is None
    assert {one.buys for one in offered(minutes=60).more_minutes} == {None}


def test_more_minutes_say_what_each_minute_buys_over_the_one_before() -> None:
    minutes = 17
    found = offered(minutes=minutes)
    for one in found.more_minutes:
        before = session(plan(allowances=()), minutes=minutes + one.minutes - 1)
        after = session(plan(allowances=()), minutes=minutes + one.minutes)
        assert (one.buys is None) == (before.choices == after.choices)
    said = {english(one.buys) for one in found.more_minutes if one.buys}
    assert "1 warm-up round more" in said


def test_a_minute_that_buys_a_round_and_gives_something_up_says_both() -> None:
    below = plan(
        practice(),
        work(rounds=RoundsRange(fewest=1, min=3, max=3)),
        allowances=(Allowance(give_up=GiveUp.practice),),
    )
    whole_ms = session(below).total_ms
    bare_ms = session(below, minutes=(whole_ms - 1) / 60_000).total_ms
    found = offered(below, minutes=bare_ms / 60_000 - 1)
    buys = found.more_minutes[0].buys
    assert buys is not None
    assert english(buys) == "a third round, but without practice"
    assert found.a_round_more is not None
    assert english(found.a_round_more) == "One round more needs 1:00 more."


def test_a_session_below_the_minimum_says_what_the_minimum_needs() -> None:
    below = permitting(plan(allowances=()))
    whole_ms = session(plan(allowances=()), minutes=60, rounds=2).total_ms - 150_000  # one warm-up round
    found = offered(below, minutes=(whole_ms - 61_000) / 60_000)
    assert found.session is not None
    assert found.session.below_minimum
    assert found.missing_to_minimum_ms == found.missing_ms == 61_000
    assert [(r.code, r.seconds) for r in found.session.reasons] == [("below_minimum", 61)]
    assert found.a_round_more is not None
    assert english(found.a_round_more) == "One round more with nothing cut needs 1:01 more."


def test_the_same_question_has_the_same_answer() -> None:
    assert offered(minutes=23) == offered(minutes=23)
