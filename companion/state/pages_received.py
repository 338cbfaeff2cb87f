"""The pages that people sent to the coach, and the answer to one person."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from engine.base.message import Message

if TYPE_CHECKING:
    from engine.coach.page import CoachPage
    from engine.coach.roster import Person
    from engine.plan.adjustment import Adjustment, Change


@dataclass(frozen=True)
class Answer:
    """An adjustment that is being written for one person."""

    author: str = ""
    days: int = 7
    changes: tuple[Change, ...] = ()
    made: Adjustment | None = None


@dataclass
class PagesReceived:
    """``pages`` are other people's: they are shown and never saved here.

    ``refused`` are the files that were no page, each with the reason; ``opened`` is the id of the person who
    is shown.
    """

    pages: tuple[CoachPage, ...] = ()
    people: tuple[Person, ...] = ()
    refused: tuple[tuple[str, Message], ...] = ()
    opened: str = ""
    answer: Answer = field(default_factory=Answer)

    @property
    def person(self) -> Person | None:
        return next((one for one in self.people if one.trainee_id == self.opened), None)
