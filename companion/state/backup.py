"""A backup that is being brought in, and what erasing would take away."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from storage.exchange.backup import Holdings


class Asks(StrEnum):
    """What a backup waits for."""

    nothing = ""
    person = "person"
    """Whether it is the same person's."""
    keep = "keep"
    """What to keep where both differ."""


@dataclass
class Backup:
    sessions: int = 0
    """How many sessions are saved here."""
    picked: Holdings = field(default_factory=Holdings)
    asks: Asks = Asks.nothing
