"""What the application knows at one moment. Views read it; only actions change it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from enum import StrEnum

from companion.state.desk import Desk
from companion.state.live import Live
from companion.state.pages import ReadingCorner
from companion.state.week import Afterwards, Opened, WeekShown
from engine.base.issue import Issue
from engine.base.units import LoadUnit
from engine.coach.session_report import PageChoice
from engine.fit.offer import Offer
from engine.load.proposal import LoadProposal
from engine.load.rack import Rack
from engine.movements.after_pain import AfterPain, JointPoint
from engine.movements.movement import Equipment, Kit
from engine.movements.pain import PainNote
from engine.movements.room import SoreJoint
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.follow_up import FollowUp
from engine.record.record import LogAnswers, Profile
from engine.session.fitted import FittedSession
from engine.today.care import Care
from storage.models import LastLoad, Settings


class Screen(StrEnum):
    cautions = "cautions"
    setup = "setup"
    running = "running"
    hurt = "hurt"
    log = "log"
    week = "week"
    record = "record"
    afterwards = "afterwards"
    kit = "kit"
    plans = "plans"
    plan = "plan"
    adjustment = "adjustment"
    cues = "cues"
    settings = "settings"
    desk = "desk"
    pages = "pages"


@dataclass(frozen=True)
class Undo:
    """What was just done, in a sentence, and the way back."""

    said: str
    back: Callable[[], Awaitable[None]]


@dataclass
class State:
    screen: Screen = Screen.setup
    profile: Profile | None = None
    plans: tuple[SessionPlan, ...] = ()
    plan_id: str = ""
    minutes: int = 25
    plan_shown: SessionPlan | None = None
    """The plan that is looked at: one of ``plans``, or one from outside that is not kept yet."""
    faults: tuple[Issue, ...] = ()
    """Why the file or link named ``faulty`` is no plan to keep."""
    faulty: str = ""
    corner: ReadingCorner = field(default_factory=ReadingCorner)
    desk: Desk | None = None
    """The plan that is being written."""
    desks: dict[str, Desk] = field(default_factory=dict)
    """Every plan that is written and not kept, by its id."""
    settings: Settings = field(default_factory=Settings)
    nothing_felt: bool = False
    """The device gives no vibration, and tones and words stand in: said until the first session starts."""
    kit: Kit = Kit.none
    rack: Rack = field(default_factory=Rack)
    last_loads: tuple[LastLoad, ...] = ()
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    said_today: frozenset[JointPoint] = frozenset()
    sore_muscles: int = 0
    after_pain: tuple[AfterPain, ...] = ()
    adjustments: tuple[Adjustment, ...] = ()
    adjustment_shown: Adjustment | None = None
    care: Care = field(default_factory=Care)
    offer: Offer | None = None
    picked: FittedSession | None = None
    live: Live | None = None
    proposals: dict[str, LoadProposal] = field(default_factory=dict)
    answers: LogAnswers = field(default_factory=LogAnswers)
    pain: PainNote | None = None
    follow_up: FollowUp | None = None
    afterwards: Afterwards = field(default_factory=Afterwards)
    week: str = ""
    week_shown: WeekShown | None = None
    choice: PageChoice = field(default_factory=PageChoice)
    opened: Opened | None = None
    said: str = ""
    undo: Undo | None = None
    sessions_kept: int = 0
    backup_asks: str = ""
    """What a backup waits for: whether it is the same ``person``, or what to ``keep`` where both differ."""
    problem: str = ""
    read_only: str = ""
    less_motion: bool = False
    """The device asks for less motion."""
    on_change: Callable[[], None] = lambda: None

    @property
    def plan(self) -> SessionPlan:
        """The plan to fit; the first one where none was chosen."""
        return next((plan for plan in self.plans if plan.id == self.plan_id), self.plans[0])

    @property
    def unit(self) -> LoadUnit:
        """What loads are shown in."""
        return self.profile.unit if self.profile else LoadUnit.kg

    @property
    def moves(self) -> bool:
        """Whether shapes may move: the person and the device both have a say."""
        return self.settings.motion and not self.less_motion

    @property
    def session(self) -> FittedSession | None:
        """What the start button starts: the alternative that was picked, else the best fit."""
        if self.picked is not None:
            return self.picked
        return self.offer.session if self.offer else None
