"""The predicted finish holds for people whose pace is not the stated one."""

from __future__ import annotations

from pace_simulation import finish_within_60s_share


def test_after_five_sessions_the_finish_is_predicted_within_a_minute() -> None:
    """At least 95 of 100 sessions of people within ±30 %; fewer than 80 without learning."""
    assert finish_within_60s_share(seed=1) >= 0.95
    assert finish_within_60s_share(seed=1, learned_from=0) < 0.80


def test_one_seed_is_one_story() -> None:
    few = {finish_within_60s_share(seed=3, people=4) for _ in range(2)}
    assert len(few) == 1
