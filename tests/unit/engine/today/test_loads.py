"""What to lift today: which weights can be had, and the coach's word on the next one."""

from __future__ import annotations

import pytest
from accounts import TODAY, account
from builders import BOTH, adjustment, plan, session, work

from engine.growth.free import FreeStep
from engine.load.proposal import LoadStep
from engine.load.rack import Rack
from engine.movements.movement import Joint, Kit, Side
from engine.movements.room import SoreJoint
from engine.plan.adjustment import NextWeight
from engine.record.exposure import Exposure, planned_rounds
from engine.session.fitted import FittedSession
from engine.today.loads import free_for, loads_for

MADE = session(plan(work(BOTH.slug)), minutes=9)
NO_WEIGHTS = Rack()
EVENS = Rack.of_weights((8_000, 10_000, 12_000))


def lifted(days_ago: int, load_g: int, of: FittedSession = MADE) -> Exposure:
    (key, rounds), *_ = planned_rounds(of).items()
    return account(days_ago, load_g, key=key, rounds=rounds)


def test_the_weights_of_the_rack_are_those_that_can_be_had() -> None:
    (only,) = loads_for(MADE, [], EVENS, today=TODAY)
    assert (only.step, only.load_g) == (LoadStep.first_time, 8_000)


def test_without_a_rack_what_was_lifted_before_can_be_had() -> None:
    (unknown,) = loads_for(MADE, [], NO_WEIGHTS, today=TODAY)
    assert (unknown.step, unknown.load_g) == (LoadStep.first_time, None)
    (known,) = loads_for(MADE, [lifted(3, 10_000)], NO_WEIGHTS, today=TODAY)
    assert (known.step, known.load_g) == (LoadStep.same, 10_000)


def test_what_was_lifted_before_can_be_had_as_often_as_the_kit_needs_it() -> None:
    pair = session(plan(work(BOTH.slug)), minutes=9, kit=Kit.pair)
    (known,) = loads_for(pair, [lifted(3, 10_000, pair)], NO_WEIGHTS, today=TODAY)
    assert known.load_g == 10_000


def test_the_coachs_leave_brings_the_next_weight_sooner() -> None:
    past = [lifted(3, 10_000)]
    leave = adjustment(changes=(NextWeight(movement=BOTH.slug, after_one=True),))
    (again,) = loads_for(MADE, past, EVENS, today=TODAY)
    (next_up,) = loads_for(MADE, past, EVENS, adjustments=[leave], today=TODAY)
    assert (again.load_g, next_up.step, next_up.load_g) == (10_000, LoadStep.heavier, 12_000)


@pytest.mark.parametrize(
    "sore_muscles, knee, load_g", [(0, 0, 12_000), (5, 0, 12_000), (6, 0, 10_000), (0, 1, 10_000)]
)
def test_nothing_grows_on_a_day_that_hurts(sore_muscles: int, knee: int, load_g: int) -> None:
    """Sore muscles of 6 and more: no growth; growth needs a joint pain of 0. † Our judgement, no source."""
    sore = (SoreJoint(joint=Joint.knee, side=Side.left, rating=knee),) if knee else ()
    made = MADE.model_copy(update={"room": MADE.room.model_copy(update={"sore": sore})})
    past = [lifted(3, 10_000)]
    leave = adjustment(changes=(NextWeight(movement=BOTH.slug, after_one=True),))
    (only,) = loads_for(made, past, EVENS, adjustments=[leave], today=TODAY, sore_muscles=sore_muscles)
    assert only.load_g == load_g


def test_an_easy_session_takes_half_the_load() -> None:
    (only,) = loads_for(
        MADE, [lifted(3, 16_000)], Rack.of_weights((8_000, 16_000)), today=TODAY, easy_session=1
    )
    assert (only.step, only.load_g, only.reserve) == (LoadStep.after_illness, 8_000, 5)


def test_what_takes_no_weight_has_a_way_to_grow_of_its_own() -> None:
    bare = session(plan(work(BOTH.slug)), minutes=9, kit=Kit.none)
    (only,) = free_for(bare, [], today=TODAY)
    assert (only.name, only.step) == ("Both hands lift", FreeStep.first_time)
    assert free_for(MADE, [], today=TODAY) == ()
    past = [lifted(3, None, bare)]
    steps = [free_for(bare, past, today=TODAY, **more)[0].step for more in ({}, {"easy_session": 1})]
    assert steps == [FreeStep.same, FreeStep.returning]
