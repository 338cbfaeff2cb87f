"""What is asked of the fit."""

from __future__ import annotations

from builders import permitting, plan, session

from companion.words.words import english
from engine.fit.asked import Asked, rounds_fault


def test_rounds_that_were_asked_for_are_kept_or_refused() -> None:
    assert session(minutes=60, rounds=3).rounds() == 3
    assert rounds_fault(plan(), 3) is None
    for asked, said in ((5, "Block 3 has 2 to 4 rounds, not 5."), (1, "Block 3 has 2 to 4 rounds, not 1.")):
        fault = rounds_fault(plan(), asked)
        assert fault is not None
        assert english(fault) == said
    assert rounds_fault(permitting(plan()), 1) is None


def test_whole_seconds_of_minutes_are_whole_milliseconds() -> None:
    """In floating point 4.35 min are 260999.99999999997 ms."""
    assert {s for s in range(1, 36_000) if Asked(minutes=s / 60).budget_ms != s * 1_000} == set()
    assert Asked(minutes=4.35).budget_ms == 261_000
