"""A person's own pace, and how the fit uses it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import BEND, BOTH, HAND, STARTED_AT, TURN, plan, practice, session, warm_up, work

from engine.plan.plan import Amount, AmountCount, AmountUnit, RoundsRange, WarmUpItem
from engine.session.pace import PersonalPace, TickedItem, item_key, personal_pace
from engine.session.segment import Pace

BEND_KEY, TURN_KEY = item_key(BEND.slug, Amount(low=10)), item_key(TURN.slug, Amount(low=10))
SLOW_TO_BEND = PersonalPace(usual=900, items=((BEND_KEY, 1_250),))


def ticked(*taken_s: float, item: str = BEND_KEY, stated_s: float = 60) -> list[TickedItem]:
    return [
        TickedItem(
            at=STARTED_AT + timedelta(days=number),
            item=item,
            stated_ms=round(stated_s * 1000),
            taken_ms=round(one_s * 1000),
        )
        for number, one_s in enumerate(taken_s)
    ]


def self_paced_ms(**asked: object) -> list[int]:
    return [s.planned_ms for s in session(**asked).segments if s.pace is Pace.self]


def test_without_records_the_stated_estimate_stands() -> None:
    assert personal_pace([]) == PersonalPace()
    assert PersonalPace().length_ms(BEND_KEY, 10_500) == 10_500


def test_who_always_takes_as_long_as_stated_keeps_the_stated_estimates() -> None:
    pace = personal_pace([*ticked(60, 60, 60), *ticked(90, 90, item=TURN_KEY, stated_s=90)])
    assert (pace.usual, dict(pace.items)) == (1_000, {BEND_KEY: 1_000, TURN_KEY: 1_000})


def test_few_ticks_move_the_estimate_a_little_and_many_almost_all_the_way() -> None:
    """By hand: the usual pace is ln 0.7 · n/(n+1) after n days; the item adds what is left of ln 0.7,
    · (n−1)/n."""
    learned = [personal_pace(ticked(*[42] * n)) for n in (1, 5, 50)]
    assert [pace.usual for pace in learned] == [837, 743, 705]
    assert [pace.permille(BEND_KEY) for pace in learned] == [837, 708, 700]


def test_a_movement_not_done_yet_goes_at_the_usual_pace() -> None:
    pace = personal_pace(ticked(*[48] * 30))
    assert pace.permille(TURN_KEY) == pace.usual == 806


def test_one_hurried_warm_up_does_not_halve_the_next() -> None:
    """Eight items at half their time on one evening; a quarter of the next warm-up goes, not half of it."""
    hurried = [one.model_copy(update={"at": STARTED_AT}) for one in ticked(*[30] * 8)]
    assert personal_pace(hurried).permille(BEND_KEY) == 707


def test_no_item_is_planned_below_what_its_amount_needs() -> None:
    """Ten repetitions a side need 40 s at 2 s each, however quick a person is."""
    amount = Amount(low=10, count=AmountCount.per_side)
    item = WarmUpItem(movement=BEND.slug, amount=amount)
    quick = PersonalPace(usual=500)
    made = session(plan(warm_up(items=(item,), rounds=RoundsRange(min=1, max=1)), work()), pace=quick)
    assert sum(s.planned_ms for s in made.segments if s.pace is Pace.self) == 40_000


def test_a_phone_call_and_a_double_tick_hardly_move_what_five_ordinary_ticks_say() -> None:
    ordinary = personal_pace(ticked(50, 51, 52, 53, 54))
    spoiled = personal_pace(ticked(50, 51, 52, 53, 54, 0.3, 600))
    assert abs(spoiled.permille(BEND_KEY) - ordinary.permille(BEND_KEY)) <= 10


def test_nothing_but_accidents_stays_within_the_bounds() -> None:
    assert personal_pace(ticked(*[3_600] * 500)).usual <= 2_000
    assert personal_pace(ticked(*[0.001] * 500)).usual >= 500
    mixed = [*ticked(*[3_600] * 500), *ticked(*[0.001] * 2_000, item=TURN_KEY)]
    assert all(333 <= permille <= 3_000 for _, permille in personal_pace(mixed).items)


def test_both_sides_of_an_item_share_what_is_learned() -> None:
    held = Amount(low=15, unit=AmountUnit.seconds, count=AmountCount.per_side)
    item = WarmUpItem(movement=BEND.slug, amount=held, estimate_s=40)
    own = PersonalPace(items=((item_key(BEND.slug, held), 875),))
    made = session(plan(warm_up(items=(item,), rounds=RoundsRange(min=1, max=1)), work()), pace=own)
    assert [(s.side, s.planned_ms) for s in made.segments[:2]] == [("left", 17_500), ("right", 17_500)]


def test_the_warm_up_is_planned_at_the_persons_own_pace_to_the_second() -> None:
    one_round = plan(warm_up(rounds=RoundsRange(min=1, max=1)), work())
    assert self_paced_ms(of=one_round) == [60_000, 90_000]
    assert self_paced_ms(of=one_round, pace=SLOW_TO_BEND) == [75_000, 81_000]


@pytest.mark.parametrize("coachs_s, planned_ms", [(None, [24_000, 42_000]), (100, [56_000, 50_000])])
def test_practice_by_repetitions_is_planned_at_the_persons_own_pace(
    coachs_s: int | None, planned_ms: list[int]
) -> None:
    """21 s are estimated with both hands, 42 s one after the other; or the coach's 100 s are shared."""
    amount = Amount(low=3, high=5)
    by_repetitions = practice(
        movements=(BOTH.slug, HAND.slug),
        timed=None,
        repetitions=amount,
        repetitions_estimate_s=coachs_s,
        usual="repetitions",
    )
    own = PersonalPace(items=((item_key(BOTH.slug, amount), 1_120),))
    assert self_paced_ms(of=plan(by_repetitions, work(BOTH.slug, HAND.slug)), pace=own) == planned_ms


def test_a_quick_person_gets_a_round_more_for_the_same_minutes() -> None:
    """A round takes 150 s with the warm-up as stated, 105 s at seven tenths of it."""
    of = plan(warm_up(rounds=RoundsRange(min=1, max=1)), work(BOTH.slug, rounds=RoundsRange(min=1, max=9)))
    rounds = [session(of, minutes=11, pace=PersonalPace(usual=p)).rounds() for p in (1_000, 700)]
    assert rounds == [5, 6]


def test_the_session_keeps_only_the_pace_of_its_own_movements() -> None:
    own = PersonalPace(usual=900, items=((BEND_KEY, 1_250), (item_key("never-asked", Amount(low=3)), 700)))
    assert session(pace=own).choices.pace == SLOW_TO_BEND


def test_a_session_without_a_learned_pace_says_nothing_of_it() -> None:
    assert "pace" not in session().choices.model_dump(mode="json")
    written = session(pace=SLOW_TO_BEND)
    assert type(written).model_validate_json(written.model_dump_json()) == written
