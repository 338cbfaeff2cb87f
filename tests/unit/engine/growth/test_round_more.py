"""A round more as a step of the whole session."""

from __future__ import annotations

from accounts import TODAY, account, loaded

from engine.growth.round_more import round_sentence
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.propose import propose

COARSE = (10_000, 12_000)


def told(*days: int) -> LoadProposal:
    return propose(loaded(), [account(one) for one in days], COARSE, today=TODAY)


READY, NOT_YET = told(6, 3), told(3)


def test_a_round_is_a_step_once_half_of_the_loaded_movements_are_clear() -> None:
    """Before a pause or a jump. † Our judgement, no source."""
    assert READY.step is LoadStep.pause
    said = round_sentence((READY, NOT_YET), 366_000)
    assert said == (
        "A round more would be the next step for 1 of 2 lifts, and takes 6:06 more. Without it the step is "
        "the one told with each weight."
    )
    assert round_sentence((READY, NOT_YET, NOT_YET), 366_000) is None


def test_no_round_is_named_where_none_is_wanted_or_nothing_is_ready() -> None:
    assert round_sentence((READY,), None) is None
    assert round_sentence((NOT_YET,), 366_000) is None
    assert round_sentence((), 366_000) is None
