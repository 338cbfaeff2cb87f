"""The week that is shown, what goes on its page, and the record that is open."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from companion.state.required import required
from engine.coach.withheld import PageChoice

if TYPE_CHECKING:
    from engine.base.message import Said
    from engine.coach.page import CoachPage
    from engine.coach.question import About, Asked
    from engine.growth.free import FreeProposal
    from engine.load.proposal import LoadProposal
    from engine.movements.after_pain import AfterPain
    from engine.record.amendment import Amendment
    from engine.record.record import Record, SetAnswer


@dataclass(frozen=True)
class WeekShown:
    """A week beside those before it. Only the last one has what is for the next session: ``loads``,
    ``free`` for what takes no weight, and ``lighter``.

    ``questions`` are as the person writes them, each with what it is about; an empty one is None and is not
    saved.
    """

    page: CoachPage
    all_activity_logged: bool = False
    questions: tuple[tuple[Asked | None, About | None], ...] = ()
    after_pain: tuple[AfterPain, ...] = ()
    loads: tuple[LoadProposal, ...] = ()
    free: tuple[FreeProposal, ...] = ()
    lighter: Said = ()


@dataclass(frozen=True)
class OpenedRecord:
    """A record as saved and as corrected so far; ``sets``, by key, and the rest are being corrected now."""

    saved: Record
    corrected: Record
    amendments: tuple[Amendment, ...]
    sets: dict[str, SetAnswer]
    effort: float | None
    note: str


@dataclass
class Week:
    """``name`` is the ISO week, such as 2026-W11; ``handed_over`` says that its page was."""

    name: str = ""
    shown: WeekShown | None = None
    handed_over: str = ""
    choice: PageChoice = field(default_factory=PageChoice)
    opened: OpenedRecord | None = None

    @property
    def in_view(self) -> WeekShown:
        """The week that is shown. Raises LookupError where there is none."""
        return required(self.shown, "No week is shown.")

    @property
    def open_record(self) -> OpenedRecord:
        """The record that is open. Raises LookupError where there is none."""
        return required(self.opened, "No session is open.")
