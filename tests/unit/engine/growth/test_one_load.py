"""One load for a round whose rests are too short to change weights in."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import BOTH, FLOOR, HAND, LEG, STARTED_AT, plan, record, session, work

from companion.words.words import ENGLISH
from engine.growth.one_load import change_s, one_load, with_one_load
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange
from engine.record.exposure import exposures_of
from engine.session.fitted import FittedSession
from engine.today.loads import loads_for

PLATES = (Plates(load_g=1_000, count=8), Plates(load_g=2_000, count=8))
BELL = Rack(adjustable=(AdjustableBell(bar_g=2_000, bars=2, plates=PLATES),))
FIXED = Rack.of_weights((4_000, 8_000, 12_000))


def made(
    rest_s: int, rack: Rack, *slugs: str, **loads_g: int
) -> tuple[FittedSession, tuple[LoadProposal, ...]]:
    """A session after one in which these loads were lifted, with what is proposed for it."""
    block = work(*slugs, rest_s=rest_s, rounds=RoundsRange(min=2, max=2))
    of = session(plan(block))
    done = record(of, loads_g={slug.replace("_", "-"): load_g for slug, load_g in loads_g.items()})
    today = STARTED_AT.date() + timedelta(days=2)
    return of, loads_for(of, exposures_of(done), rack, today=today)


def loads(made: tuple[LoadProposal, ...]) -> dict[str, int | None]:
    return {one.key.movement: one.load_g for one in made}


@pytest.mark.parametrize(
    "rack, dumbbells, from_g, to_g, seconds",
    [
        (FIXED, 1, 4_000, 8_000, 20),
        (BELL, 1, 4_000, 8_000, 60),
        (BELL, 2, 4_000, 8_000, 100),
        (BELL, 1, 8_000, 8_000, 0),
        (BELL, 1, 8_000, 0, 0),
        (Rack(fixed=(FixedWeight(load_g=5_000),), adjustable=BELL.adjustable), 1, 5_000, 8_000, 20),
        (
            Rack(adjustable=(*BELL.adjustable, AdjustableBell(bar_g=2_000, plates=PLATES))),
            1,
            4_000,
            8_000,
            20,
        ),
    ],
)
def test_changing_weights_takes_its_time(
    rack: Rack, dumbbells: int, from_g: int, to_g: int, seconds: int
) -> None:
    """20 s for another dumbbell, 60 s for collars, 100 s for those of a pair. † Our judgement, no source."""
    assert change_s(rack, dumbbells, from_g, to_g) == seconds


def test_rests_that_hold_the_change_leave_each_movement_its_load() -> None:
    _, known = made(30, FIXED, BOTH.slug, HAND.slug, both_hands_lift=12_000, one_hand_press=8_000)
    assert loads(known) == {BOTH.slug: 12_000, HAND.slug: 8_000}
    assert one_load(known) is None


@pytest.mark.parametrize("rest_s, rack", [(15, FIXED), (30, BELL)])
def test_where_they_cannot_the_lightest_serves_the_round_and_the_answer_says_so(
    rest_s: int, rack: Rack
) -> None:
    _, known = made(rest_s, rack, BOTH.slug, HAND.slug, both_hands_lift=12_000, one_hand_press=8_000)
    assert loads(known) == {BOTH.slug: 8_000, HAND.slug: 8_000}
    lift, press = known
    assert (lift.step, press.step) == (LoadStep.one_load, LoadStep.same)
    assert (lift.practice_g or 0) * 2 <= 8_000
    said = one_load(known)
    assert said is not None
    assert ENGLISH.say(said) == (
        "The rests are too short to change weights in, so one weight serves the round: 8 kg (Both hands lift "
        "and One hand press)."
    )


def test_what_is_lowered_twice_still_names_its_own_load() -> None:
    loads_g = {"both_hands_lift": 12_000, "one_hand_press": 8_000, "one_leg_stand": 4_000}
    _, known = made(15, FIXED, BOTH.slug, HAND.slug, LEG.slug, **loads_g)
    assert loads(known) == {BOTH.slug: 4_000, HAND.slug: 4_000, LEG.slug: 4_000}
    assert ENGLISH.sentences(known[0].reason).endswith("In place of 12 kg: 4 kg.")


def test_a_movement_without_a_weight_between_two_does_not_make_their_rests_longer() -> None:
    slugs = (BOTH.slug, FLOOR.slug, HAND.slug)
    of, known = made(60, BELL, *slugs, both_hands_lift=12_000, floor_roll=12_000, one_hand_press=8_000)
    own = {BOTH.slug: 12_000, FLOOR.slug: 12_000, HAND.slug: 8_000}
    assert loads(known) == own
    bare = tuple(one for one in known if one.key.movement != FLOOR.slug)
    assert loads(with_one_load(of, bare, BELL)) == {BOTH.slug: 12_000, HAND.slug: 8_000}
    of, known = made(30, BELL, *slugs, both_hands_lift=12_000, floor_roll=12_000, one_hand_press=12_000)
    bare = tuple(
        one.model_copy(update={"load_g": 8_000}) if one.key.movement == HAND.slug else one
        for one in known
        if one.key.movement != FLOOR.slug
    )
    assert set(loads(with_one_load(of, bare, BELL)).values()) == {8_000}


def test_what_is_new_goes_without_and_takes_no_weight_from_the_others() -> None:
    _, known = made(30, BELL, BOTH.slug, HAND.slug, both_hands_lift=12_000)
    assert loads(known) == {BOTH.slug: 12_000, HAND.slug: 0}


def test_a_heavier_weight_in_round_one_waits_where_it_cannot_be_put_down_in_time() -> None:
    of, known = made(15, FIXED, BOTH.slug, HAND.slug, both_hands_lift=8_000, one_hand_press=8_000)
    lift, press = known
    heavier = lift.model_copy(update={"heavier_g": 12_000, "heavier_rounds": 1})
    waits, _ = with_one_load(of, (heavier, press), FIXED)
    assert (waits.load_g, waits.heavier_g, waits.heavier_rounds) == (8_000, None, 0)


def test_a_pair_that_is_not_owned_at_the_lighter_load_goes_without() -> None:
    """One dumbbell of 4 kg and two of 8: the pair cannot weigh 4."""
    rack = Rack(fixed=(FixedWeight(load_g=4_000), FixedWeight(load_g=8_000, count=2)))
    of = session(plan(work(BOTH.slug, HAND.slug, rest_s=15, rounds=RoundsRange(min=2, max=2))), kit=Kit.pair)
    both, hand = loads_for(of, (), rack, today=STARTED_AT.date())
    hand = hand.model_copy(update={"load_g": 4_000})
    pair, _ = with_one_load(of, (both.model_copy(update={"load_g": 8_000}), hand), rack)
    assert pair.load_g == 0
