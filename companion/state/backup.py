"""A backup that is being brought in, and what erasing would take away."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from storage.exchange.backup import Holdings


class Asks(StrEnum):
    """What the person has to decide before a backup is brought in."""

    nothing = ""
    person = "person"
    """Whether the backup is the same person's."""
    erase = "erase"
    """Whether to erase here too what was erased where the backup was made."""
    keep = "keep"
    """Which of the two to keep where the backup differs from what is here."""


@dataclass
class Backup:
    """``sessions`` is the number of sessions saved here, ``picked`` what the picked backup holds."""

    sessions: int = 0
    picked: Holdings | None = None
    asks: Asks = Asks.nothing
