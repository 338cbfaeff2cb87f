"""Who trains here, with what and on which device, and what hurts today."""

from __future__ import annotations

from dataclasses import dataclass, field

from companion.services.page_messages import RecordsKept
from engine.base.message import Message
from engine.base.units import LoadUnit
from engine.load.rack import Rack
from engine.movements.movement import Equipment, JointPoint, Kit
from engine.movements.room import SoreJoint
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile
from engine.today.said import SaidToday
from storage.models import LastLoad, Settings


@dataclass
class Device:
    """What this device should do, and what it can do."""

    settings: Settings = field(default_factory=Settings)
    nothing_felt: bool = False
    """It does not vibrate, and tones and spoken words stand in. Shown until the first session starts."""
    less_motion: bool = False
    """It asks for less motion."""
    remark: str = ""
    """What this window always says about itself."""
    is_shared: bool = False
    """Others train here too, with records of their own."""
    records: RecordsKept = "elsewhere"
    """How long the browser keeps the records."""
    languages: tuple[str, ...] = ()
    """The languages that the device asks for, as tags such as ``en-GB``, the one it likes best first."""
    report: str = ""
    """The problem report that is shown, empty for none."""

    @property
    def moves(self) -> bool:
        """Whether shapes may move: only where both the person and the device allow it."""
        return self.settings.motion and not self.less_motion

    @property
    def is_cleared_soon(self) -> bool:
        """Whether its browser clears the records after seven days without a visit."""
        return self.records in ("seven_days", "home_screen")


@dataclass
class Home:
    """The person, the weights they own and the room they have."""

    profile: Profile | None = None
    kit: Kit = Kit.none
    rack: Rack = field(default_factory=Rack)
    without: tuple[Equipment, ...] = ()
    last_loads: tuple[LastLoad, ...] = ()

    @property
    def unit(self) -> LoadUnit:
        """What loads are shown in."""
        return self.profile.unit if self.profile else LoadUnit.kg


@dataclass
class Body:
    """What hurts today. ``rated`` are the joint points for which the person gave today's number, 0 included.

    ``sore_muscles`` is a number from 0 to 10. ``spared`` are the joint points with a sign of injury today.
    These are what counts now of ``said``, which is as it was said, and of ``noted``, the pain notes without a
    session. ``pointed_at`` is the joint point that was tapped last.
    """

    said: SaidToday | None = None
    pointed_at: JointPoint | None = None
    noted: tuple[NotedPain, ...] = ()
    spared: tuple[JointPoint, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    rated: frozenset[JointPoint] = frozenset()
    sore_muscles: int = 0
    pressure_high: bool | None = None
    """Whether the blood pressure is too high for a session; None where nobody said."""
    not_yet: Message | None = None
    """Why an illness leaves no session."""
    easy_session: int = 0
    """Which of the easy sessions after an illness the next one is; 0 where there is none."""

    @property
    def unrated(self) -> JointPoint | None:
        """The joint point that was tapped and has no number yet: pain, for all that is known."""
        rated = self.rated | {(sore.joint, sore.side) for sore in self.sore}
        return None if self.pointed_at in rated else self.pointed_at
