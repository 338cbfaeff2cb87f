"""The session that fits, the one in progress, and the late answers about the last one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from companion.state.live import Live
from companion.state.required import required
from engine.base.message import Message
from engine.fit.offer import Offer
from engine.load.proposal import LoadProposal
from engine.movements.movement import JointPoint
from engine.movements.pain import PainNote
from engine.record.follow_up import FollowUp
from engine.record.record import LogAnswers
from engine.session.fitted import FittedSession
from engine.today.care import Care
from engine.today.easy_movement import EasyMovement
from engine.today.no_session import AboutPain, NoSession

USUAL_MINUTES = 25


@dataclass
class Fit:
    """What the minutes, the kit and the body of today allow.

    ``unfolded`` is what the reasons are about that are not folded. ``no_session`` says why there is nothing
    to start, ``answers`` what the person was asked about the pain, ``easy`` what may be done instead.
    """

    minutes: int = USUAL_MINUTES
    care: Care = field(default_factory=Care)
    offer: Offer | None = None
    picked: FittedSession | None = None
    unfolded: Message | None = None
    no_session: NoSession | None = None
    answers: Mapping[AboutPain, bool] = field(default_factory=dict)
    easy: EasyMovement | None = None

    @property
    def is_known(self) -> bool:
        """Whether the plan was fitted since the window was opened."""
        return self.offer is not None or self.no_session is not None

    @property
    def session(self) -> FittedSession | None:
        """What the start button starts: the alternative the person picked, else the best fit."""
        if self.picked is not None:
            return self.picked
        return self.offer.session if self.offer else None


@dataclass
class Run:
    """The session in progress, the loads proposed for it by movement, and its log.

    ``pain_unrated`` says that the person gives the open pain note no number. ``elsewhere`` names the session
    in progress where this window may only read.
    """

    live: Live | None = None
    proposals: dict[str, LoadProposal] = field(default_factory=dict)
    answers: LogAnswers = field(default_factory=LogAnswers)
    pain_unrated: bool = False
    elsewhere: str = ""

    @property
    def in_progress(self) -> Live:
        """The session in progress. Raises LookupError where there is none."""
        return required(self.live, "No session is in progress.")

    @property
    def pain(self) -> PainNote | None:
        """The pain note that is still being answered."""
        return self.live.state.telling if self.live else None

    @property
    def pain_note(self) -> PainNote:
        """The open pain note. Raises LookupError where there is none."""
        return required(self.pain, "No pain note is open.")


@dataclass(frozen=True)
class LateAnswers:
    """What the person says some time after a session, each from 0 to 10; None is no answer.

    ``soreness`` and ``pains``, by joint point, are those of the next morning.
    """

    effort: float | None = None
    soreness: int | None = None
    pains: Mapping[JointPoint, int] = field(default_factory=dict)


@dataclass
class Afterwards:
    """What the last session still asks, and the answers as they are given."""

    asked: FollowUp | None = None
    answers: LateAnswers = field(default_factory=LateAnswers)
