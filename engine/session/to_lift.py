"""What a person was told to lift in a movement of a session."""

from __future__ import annotations

from engine.base.model import Model
from engine.base.units import Grams


class ToLift(Model):
    """The loads told for one movement, in grams of one dumbbell: 0 is no weight, None that none was told.

    The first ``heavier_rounds`` rounds take ``heavier_g``, all others ``load_g``; practice takes
    ``practice_g``. ``next_g`` is offered after a round that left 5 or more repetitions.
    """

    load_g: Grams | None = None
    heavier_g: Grams | None = None
    heavier_rounds: int = 0
    practice_g: Grams | None = None
    next_g: Grams | None = None

    def in_round(self, number: int) -> int | None:
        """The load of a round of the work, counted from 1."""
        return self.heavier_g if number <= self.heavier_rounds else self.load_g
