"""What a person has and says on the day of a session."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from engine.base.message import Message
from engine.movements.after_pain import AfterPain, room_after_pain
from engine.movements.limits import Limit
from engine.movements.movement import Equipment, JointPoint, Kit
from engine.movements.room import Room, SoreJoint
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.today.limits import limits_for


@dataclass(frozen=True)
class Today:
    """What a person has and says on one day.

    ``day`` is the local date, ``without`` the equipment that is missing. ``rated`` are the joints that the
    person rated today, at 0 too; ``sore`` those that hurt, ``spared`` those with a sign of injury today.
    ``noted_days`` are the dates of notes of a joint at 6 or more without a session. ``sore_muscles`` is a
    number from 0 to 10. ``pressure_high`` says that the blood pressure is too high for a session,
    ``not_yet`` why an illness leaves none, ``easy_session`` which of the easy ones after it today's is.
    ``flags``, ``pregnancy`` and ``birth`` are those of the profile.
    """

    day: date
    minutes: float
    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    rated: frozenset[JointPoint] = frozenset()
    spared: tuple[JointPoint, ...] = ()
    noted_days: tuple[date, ...] = ()
    sore_muscles: int = 0
    pressure_high: bool = False
    not_yet: Message | None = None
    easy_session: int = 0
    flags: tuple[ProfileFlag, ...] = ()
    pregnancy: WeekSaid | None = None
    birth: Birth | None = None

    @property
    def limits(self) -> tuple[Limit, ...]:
        """What the profile means for positions and movements today."""
        return limits_for(
            self.flags,
            self.day,
            pregnancy=self.pregnancy,
            birth=self.birth,
            pressure_high=self.pressure_high,
        )

    def room(self, after_pain: Iterable[AfterPain]) -> Room:
        """The room for a fit, with left-out movements applied."""
        own = Room(
            kit=self.kit,
            without=self.without,
            sore=self.sore,
            limits=self.limits,
        )
        return room_after_pain(own, after_pain, self.rated, self.day)
