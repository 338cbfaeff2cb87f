"""When a lighter week is proposed."""

from __future__ import annotations

from datetime import timedelta

from accounts import TODAY, account

from engine.growth.lighter_week import lighter_week
from engine.record.exposure import Exposure


def week_of(weeks_ago: int, sets: int = 9) -> Exposure:
    return account(7 * weeks_ago, rounds=sets)


def test_a_lighter_week_is_proposed_after_four_weeks_in_a_row() -> None:
    four = [week_of(n) for n in (4, 3, 2, 1)]
    assert lighter_week(four[1:], TODAY) is None
    assert "The choice is yours" in (lighter_week(four, TODAY) or "")
    assert lighter_week(four, TODAY + timedelta(days=6)) is not None
    assert lighter_week(four, TODAY + timedelta(days=7)) is None, "the week that has passed was free"


def test_a_free_or_lighter_week_starts_the_count_anew() -> None:
    six = [week_of(n) for n in (6, 5, 4, 3, 2, 1)]
    assert "6 weeks" in (lighter_week(six, TODAY) or "")
    assert lighter_week([*six[:2], *six[3:]], TODAY) is None
    assert lighter_week([*six[:2], week_of(4, sets=6), *six[3:]], TODAY) is None
    assert lighter_week([*six[:2], week_of(4, sets=7), *six[3:]], TODAY) is not None
