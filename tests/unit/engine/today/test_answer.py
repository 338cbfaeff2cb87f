"""The whole answer for today."""

from __future__ import annotations

from datetime import timedelta

from accounts import account
from builders import BOTH, HAND, STARTED_AT, plan, practice, record, session, work

from companion.words.words import ENGLISH
from engine.load.rack import Rack
from engine.movements.movement import Joint, Kit, Side
from engine.movements.room import SoreJoint
from engine.plan.plan import RoundsRange
from engine.record.exposure import planned_rounds
from engine.record.history import History, history_of
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.no_session import NoSession
from engine.today.question import Answer, answer

DAY = STARTED_AT.date() + timedelta(days=5)
PLAN = plan(
    practice(movements=(BOTH.slug,)), work(BOTH.slug, rounds=RoundsRange(min=2, max=2)), allowances=None
)


def answered(history: History, *, minutes: float = 20, rest: Rack | None = None) -> Answer:
    today = Today(day=DAY, minutes=minutes, kit=Kit.single)
    made = answer(PLAN, today, Learned.from_history(history), rest or Rack.of_weights((10_000, 11_000)))
    assert isinstance(made, Answer)
    return made


def clear_twice() -> History:
    ((key, rounds),) = planned_rounds(session(PLAN, minutes=20)).items()
    pasts = [account(days, key=key, rounds=rounds, movement=BOTH.slug, block="circuit") for days in (6, 3)]
    days = [DAY - timedelta(days=days) for days in (6, 3)]
    moved = [one.model_copy(update={"local_date": day}) for one, day in zip(pasts, days, strict=True)]
    return History(days=tuple(days), exposures=tuple(moved))


def test_a_weight_that_goes_up_keeps_its_practice() -> None:
    """Practice may be skipped only where the load is no higher. † Our judgement, no source."""
    up, same = answered(clear_twice()), answered(clear_twice(), rest=Rack.of_weights((10_000,)))
    assert (up.care.practice_required, same.care.practice_required) == (True, False)
    assert "Heavier than last time" in " ".join(map(ENGLISH.say, up.care.said))


def test_the_answer_says_that_one_weight_serves_the_round() -> None:
    short = plan(work(BOTH.slug, HAND.slug, rest_s=15, rounds=RoundsRange(min=2, max=2)))
    history = history_of([record(session(short), loads_g={BOTH.slug: 12_000, HAND.slug: 8_000})])
    made = answer(
        short,
        Today(day=DAY, minutes=20, kit=Kit.single),
        Learned.from_history(history),
        Rack.of_weights((8_000, 12_000)),
    )
    assert isinstance(made, Answer)
    assert any("one weight serves the round" in ENGLISH.say(said) for said in made.care.said)


def test_a_joint_that_hurts_too_much_has_no_answer_but_why() -> None:
    sore = (SoreJoint(joint=Joint.knee, side=Side.left, rating=6),)
    today = Today(day=DAY, minutes=20, kit=Kit.single, sore=sore)
    assert isinstance(answer(PLAN, today, Learned.from_history(History()), Rack()), NoSession)
