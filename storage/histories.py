"""The history, folded once and kept beside the sessions, so that opening reads no records.

Two folds are kept: of the newest block of weeks, which every session changes, and of all blocks before it. So
the file stays as small as a history is, however many years there are. Each fold names the seals of the blocks
it was made from; one that no longer fits is left, and its blocks are read again.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from engine.history import History, history_of, merged
from engine.model import Model
from storage.copies import CopyFile
from storage.schema import Tables
from storage.weeks import ReadSession, WeekIndex

FORMAT = "history-folds"
FOLDS, BEFORE, NEWEST = "folds", "before", "newest"
MADE_AS = 2
"""To be raised when a history is made otherwise: folds made in another way are left."""


class Fold(Model):
    """What blocks come to; ``blocks`` has their seals at the time."""

    made_as: int = MADE_AS
    blocks: dict[str, str]
    history: History


def _fold_of(held: Mapping[str, Any]) -> Fold | None:
    """The fold as it was kept; None where it was made in another way."""
    try:
        fold = Fold.model_validate(held)
    except ValidationError:
        return None
    return fold if fold.made_as == MADE_AS else None


class HistoryFolds:
    """The folds as they stand at their first use: made anew for each call on the store."""

    def __init__(self, path: Path, index: WeekIndex, *, read: ReadSession, may_write: bool) -> None:
        self._file, self._index = CopyFile(path, FORMAT), index
        self._read, self._may_write = read, may_write

    def history(self) -> History:
        folds = self._folds
        if folds != self._held and self._may_write:
            self._file.write(_tables(folds))
        return merged(fold.history for fold in folds.values())

    def forget(self) -> None:
        """Folds what is left, and returns once nothing of what was erased is on the disk."""
        self._file.replace_for_good(_tables(self._folds))

    @cached_property
    def _folds(self) -> dict[str, Fold]:
        seals = {block: self._index.seal(names) for block, names in self._index.blocks().items()}
        newest = max(seals, default=None)
        return {
            BEFORE: self._fold({block: seal for block, seal in seals.items() if block != newest}),
            NEWEST: self._fold({block: seal for block, seal in seals.items() if block == newest}),
        }

    @cached_property
    def _held(self) -> dict[str, Fold]:
        held = self._file.read().get(FOLDS, {})
        return {name: fold for name, one in held.items() if (fold := _fold_of(one)) is not None}

    def _fold(self, seals: Mapping[str, str]) -> Fold:
        """From the held folds made of nothing but some of these blocks as they are now, and from the sessions
        of what those do not hold."""
        usable = [fold for fold in self._held.values() if fold.blocks.items() <= seals.items()]
        folded = {block for fold in usable for block in fold.blocks}
        counted = [self._history_of(block) for block in seals if block not in folded]
        history = merged([*(fold.history for fold in usable), *counted])
        return Fold(blocks=dict(seals), history=history)

    def _history_of(self, block: str) -> History:
        sessions = [one for name in self._index.blocks()[block] if (one := self._read(name))]
        amendments = [amendment for one in sessions for amendment in one.amendments]
        return history_of((one.corrected for one in sessions if one.corrected), amendments)


def _tables(folds: Mapping[str, Fold]) -> Tables:
    return {FOLDS: {name: fold.model_dump(mode="json") for name, fold in folds.items()}}
