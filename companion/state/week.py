"""The week that is shown, what goes on its page, and a record that is opened."""

from __future__ import annotations

from dataclasses import dataclass, field

from engine.coach.page import CoachPage
from engine.coach.questions import About
from engine.coach.withheld import PageChoice
from engine.load.proposal import LoadProposal
from engine.movements.after_pain import AfterPain
from engine.record.amendment import Amendment
from engine.record.record import Record, SetAnswer


@dataclass(frozen=True)
class WeekShown:
    """A week with those before it. ``loads`` and ``lighter`` are for the next session: of the last week only.

    ``questions`` are texts as they are written, each with what it is about; an empty one is not saved.
    """

    page: CoachPage
    all_activity_logged: bool = False
    questions: tuple[tuple[str, About | None], ...] = ()
    after_pain: tuple[AfterPain, ...] = ()
    loads: tuple[LoadProposal, ...] = ()
    lighter: str | None = None


@dataclass(frozen=True)
class OpenedRecord:
    """A record as saved and as corrected so far, and the corrections that are being made, sets by key."""

    saved: Record
    corrected: Record
    amendments: tuple[Amendment, ...]
    sets: dict[str, SetAnswer]
    effort: float | None
    note: str


@dataclass
class Week:
    """``name`` is the ISO week, such as 2026-W11."""

    name: str = ""
    shown: WeekShown | None = None
    choice: PageChoice = field(default_factory=PageChoice)
    opened: OpenedRecord | None = None
