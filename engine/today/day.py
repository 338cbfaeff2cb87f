"""What a person has and says on the day of a session."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from engine.movements.after_pain import AfterPain, room_after_pain
from engine.movements.movement import Equipment, JointPoint, Kit
from engine.movements.room import Room, SoreJoint
from engine.record.profile import ProfileFlag


@dataclass(frozen=True)
class Today:
    """What a person has and says on one day.

    ``day`` is the local date, ``without`` the equipment that is missing. ``rated`` are the joints that the
    person rated today, at 0 too; ``sore`` those that hurt. ``sore_muscles`` is a number from 0 to 10.
    ``flags`` are those of the profile.
    """

    day: date
    minutes: float
    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    rated: frozenset[JointPoint] = frozenset()
    sore_muscles: int = 0
    flags: tuple[ProfileFlag, ...] = ()

    def room(self, after_pain: Iterable[AfterPain]) -> Room:
        """The room for a fit, with left-out movements applied."""
        own = Room(
            kit=self.kit,
            without=self.without,
            sore=self.sore,
            lies_flat=ProfileFlag.pregnant not in self.flags,
        )
        return room_after_pain(own, after_pain, self.rated)
