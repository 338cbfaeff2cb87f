"""A round more as a step of the whole session."""

from __future__ import annotations

from accounts import TODAY, account, loaded

from companion.words.words import ENGLISH
from engine.growth.round_more import round_more
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.propose import propose

COARSE = (10_000, 12_000)


def told(*days: int) -> LoadProposal:
    return propose(loaded(), [account(one) for one in days], COARSE, today=TODAY)


READY, NOT_YET = told(6, 3), told(3)


def test_a_round_is_a_step_once_half_of_the_loaded_movements_are_clear() -> None:
    """Before a pause or a jump. † Our judgement, no source."""
    assert READY.step is LoadStep.pause
    said = round_more((READY, NOT_YET), 366_000)
    assert said is not None
    assert ENGLISH.say(said) == (
        "One round more would be the next step for 1 of 2 movements and takes 6:06 more. Without it, take "
        "the step told with each weight."
    )
    assert round_more((READY, NOT_YET, NOT_YET), 366_000) is None


def test_no_round_is_named_where_none_is_wanted_or_nothing_is_ready() -> None:
    assert round_more((READY,), None) is None
    assert round_more((NOT_YET,), 366_000) is None
    assert round_more((), 366_000) is None
