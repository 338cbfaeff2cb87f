"""A backup that is being brought in, and what erasing would take away."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Mapping

    from engine.record.profile import Profile
    from storage.exchange.backup import Holdings
    from storage.exchange.merge import Conflict, Keep


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
class Copies:
    """The folder for copies as the page knows it: whether it offers one, its name, empty for none, and
    whether the page may write there now.

    ``said`` is what came of the last copy, ``busy`` what goes on now. ``strangers`` are people whose records
    lie there too, and who may be this person.
    """

    offered: bool = False
    name: str = ""
    allowed: bool = False
    said: str = ""
    busy: str = ""
    strangers: tuple[Profile, ...] = ()


@dataclass
class Backup:
    """``sessions`` is the number of sessions saved here, ``picked`` what the picked backup holds.

    ``differences`` are in two versions, here and in the folder for copies or in the picked backup, where
    ``in_backup`` says so; ``answers`` are what was decided of them, by the revision of the other version.
    """

    sessions: int = 0
    picked: Holdings | None = None
    asks: Asks = Asks.nothing
    copies: Copies = field(default_factory=Copies)
    differences: tuple[Conflict, ...] = ()
    in_backup: bool = False
    answers: Mapping[str, Keep] = field(default_factory=dict)
