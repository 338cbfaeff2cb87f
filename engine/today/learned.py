"""What earlier sessions say about the next one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from engine.movements.after_pain import AfterPain, after_pain
from engine.movements.movement import Side
from engine.record.history import History
from engine.session.pace import PersonalPace, personal_pace
from engine.session.timed_hold import sound_holds
from engine.today.first_side import first_side


@dataclass(frozen=True)
class Learned:
    """A history, and what follows from it alone: worked out once and used for many fits.

    ``pace`` is the person's own where no clock runs, ``sound_holds`` on how many of the last days in a row
    each ticked item was sound, ``first_side`` the side that starts, ``after_pain`` the movements left out
    after pain.
    """

    history: History
    pace: PersonalPace
    sound_holds: Mapping[str, int]
    first_side: Side
    after_pain: tuple[AfterPain, ...]

    @classmethod
    def from_history(cls, history: History) -> Learned:
        return cls(
            history=history,
            pace=personal_pace(history.ticked),
            sound_holds=sound_holds(history.ticked),
            first_side=first_side(history.exposures),
            after_pain=after_pain(history.flagged, history.tried),
        )
