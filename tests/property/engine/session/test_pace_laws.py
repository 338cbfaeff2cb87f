"""Laws of the pace learned from ticked items."""

from __future__ import annotations

from datetime import timedelta
from math import log

import pytest
from builders import STARTED_AT
from hypothesis import given
from hypothesis import strategies as st

from engine.session.pace import PRIOR_DAYS, USUAL_BOUND, PersonalPace, TickedItem, personal_pace

ITEMS = ("bend:10-10:repetitions:total", "turn:8-10:repetitions:per_side", "hold:20-20:seconds:total")
FINE_MS = 10_000_000
"""A stated length long enough that rounding to milliseconds does not show in a ratio."""


def ticked(item: str, stated_ms: int, taken_ms: int, days: int = 0) -> TickedItem:
    at = STARTED_AT + timedelta(days=days)
    return TickedItem(at=at, item=item, stated_ms=stated_ms, taken_ms=taken_ms)


def of_one_item(ratios: list[float]) -> list[TickedItem]:
    """One tick of an item on each day."""
    return [ticked(ITEMS[0], FINE_MS, round(FINE_MS * ratio), days) for days, ratio in enumerate(ratios)]


any_ticks = st.lists(
    st.builds(
        ticked,
        st.sampled_from(ITEMS),
        st.integers(1_000, 300_000),
        st.integers(1, 10_000_000),
        st.integers(0, 9),
    ),
    max_size=40,
)
ordinary = st.floats(0.75, 1.3)
accidents = st.sampled_from([0.0001, 0.01, 4.0, 1_000.0]) | st.floats(0.0001, 1_000)


@given(any_ticks, st.randoms(use_true_random=False))
def test_the_order_of_the_ticks_does_not_matter(ticks, order) -> None:
    shuffled = list(ticks)
    order.shuffle(shuffled)
    assert personal_pace(shuffled) == personal_pace(ticks)


@given(any_ticks, st.integers(2, 50))
def test_the_unit_of_time_does_not_matter(ticks, factor) -> None:
    """With stated and taken lengths both times c, the pace is the same."""
    scaled = [
        one.model_copy(update={"stated_ms": one.stated_ms * factor, "taken_ms": one.taken_ms * factor})
        for one in ticks
    ]
    assert personal_pace(scaled) == personal_pace(ticks)


@given(st.lists(ordinary, min_size=1, max_size=30), st.floats(0.8, 1.25))
def test_who_takes_c_times_as_long_has_a_pace_that_moves_by_c(ratios, factor) -> None:
    """Equivariance within the bounds: every time taken times c makes usual times c to the n/(n+prior)."""
    before, after = (personal_pace(of_one_item([r * by for r in ratios])) for by in (1.0, factor))
    weight = len(ratios) / (len(ratios) + PRIOR_DAYS)
    assert after.usual == pytest.approx(before.usual * factor**weight, abs=1.5)


@given(st.lists(ordinary, min_size=1, max_size=30))
def test_quick_and_slow_weigh_the_same(ratios) -> None:
    """Taking 1/r of the stated time instead of r gives the inverse pace."""
    quick, slow = (personal_pace(of_one_item(ones)) for ones in (ratios, [1 / r for r in ratios]))
    assert quick.usual * slow.usual / 1_000 == pytest.approx(1_000, abs=1.5)


@given(st.integers(1, 6), st.data())
def test_a_fifth_of_accidents_moves_the_pace_no_further_than_the_middle_quarter_of_the_rest(m, data) -> None:
    """Whatever they are, m accidents among 5m ticks shift the median's rank among the sound ones by at most
    m."""
    sound = sorted(data.draw(st.lists(ordinary, min_size=4 * m, max_size=4 * m)))
    spoiled = data.draw(st.lists(accidents, min_size=m, max_size=m))
    low, high = sound[(5 * m + 1) // 2 - m - 1], sound[5 * m // 2]
    weight = 5 * m / (5 * m + PRIOR_DAYS)
    usual = personal_pace(of_one_item(sound + spoiled)).usual
    assert 1_000 * low**weight - 1 <= usual <= 1_000 * high**weight + 1


@given(st.lists(ordinary, min_size=1, max_size=9), st.integers(1, 9), st.floats(0.2, 1))
def test_a_day_is_one_observation_however_much_was_ticked_on_it(ratios, times, hurried) -> None:
    """Every tick k times on its own day changes nothing, and a first day moves no item further than the root
    of its ratio."""
    once, often = of_one_item(ratios), of_one_item(ratios) * times
    assert personal_pace(once) == personal_pace(often)
    first = personal_pace(of_one_item([hurried]) * times)
    assert first.permille(ITEMS[0]) == first.usual >= 1_000 * hurried**0.5 - 1


@given(any_ticks, st.sampled_from(ITEMS), st.integers(1_000, 400_000), st.integers(0, 400_000))
def test_no_length_is_below_what_the_amount_needs(ticks, item, stated_ms, least_ms) -> None:
    length_ms = personal_pace(ticks).length_ms(item, stated_ms, least_ms=least_ms)
    assert length_ms >= min(stated_ms, least_ms)


@given(any_ticks)
def test_no_pace_leaves_its_bounds(ticks) -> None:
    pace = personal_pace(ticks)
    assert abs(log(pace.usual / 1_000)) <= USUAL_BOUND + 0.001
    assert all(1_000 / 3 - 1 <= pace.permille(item) <= 3_001 for item in ITEMS)


@given(any_ticks, st.sampled_from(ITEMS), st.integers(1, 400_000).map(lambda half: 2 * half))
def test_a_planned_length_is_even_and_no_further_than_half_a_second_from_the_pace(
    ticks, item, stated_ms
) -> None:
    """It is even, so that two sides can share it; without a pace it is the stated one."""
    pace = personal_pace(ticks)
    length_ms = pace.length_ms(item, stated_ms)
    assert length_ms % 2 == 0
    assert length_ms > 0
    assert (
        abs(length_ms - max(1_000, stated_ms * pace.permille(item) / 1_000)) <= 500 or length_ms == stated_ms
    )
    assert PersonalPace().length_ms(item, stated_ms) == stated_ms


@given(st.lists(ordinary, min_size=1, max_size=30))
def test_the_pace_lies_between_the_stated_one_and_what_was_taken(ratios) -> None:
    usual = personal_pace(of_one_item(ratios)).usual
    assert 1_000 * min(1.0, *ratios) - 1 <= usual <= 1_000 * max(1.0, *ratios) + 1
