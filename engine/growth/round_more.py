"""A round more as a step: before a pause or a jump, once half of the loaded movements are clear."""

from __future__ import annotations

from collections.abc import Collection

from engine.base.message import Count, Message, Seconds, message
from engine.base.units import seconds
from engine.load.proposal import LoadProposal, LoadStep

INSTEAD_OF_A_WEIGHT = frozenset({LoadStep.pause, LoadStep.heavier_first_rounds})
"""The steps of those that are clear twice and have no weight near enough."""
SHARE_PERCENT = 50
"""Of the loaded movements, which have to be clear before a round counts as a step. † Our judgement, no
source."""


def round_more(made: Collection[LoadProposal], missing_ms: int | None) -> Message | None:
    """That a round more would be the next step; None where it would not, or where no more rounds are wanted.

    ``missing_ms`` is the time that one more round lacks. A round is a step of the whole session, so that it
    is named once half of its loaded movements are ready for one.
    """
    ready = [one for one in made if one.step in INSTEAD_OF_A_WEIGHT and one.heavier_rounds <= 1]
    if missing_ms is None or not ready or len(ready) * 100 < len(made) * SHARE_PERCENT:
        return None
    return message(
        "round_more_would_be_the_step",
        ready=Count(count=len(ready)),
        lifts=Count(count=len(made)),
        missing=Seconds(seconds=seconds(missing_ms)),
    )
