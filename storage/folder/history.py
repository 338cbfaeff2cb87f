"""The history and the last loads, folded once and kept beside the sessions, so that opening reads no records.

Two folds are kept: of the newest block of weeks, which every session changes, and of all blocks before it. So
the file stays as small as a history is, however many years there are. Each names the pieces it was made of,
the sessions of the newest block and the blocks before it, with their seals: a new piece is added to a fold,
and one with a piece that is gone or changed is made again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from engine.base.model import Model
from engine.record.history import History, merged
from storage.counting import Fold, fold_of, latest
from storage.files.derived import CopyFile, Seen
from storage.folder.weeks import ReadSession, WeekIndex
from storage.models import LastLoad
from storage.schema import Tables

FORMAT = "history-folds"
FOLDS, BEFORE, NEWEST = "folds", "before", "newest"
MADE_AS = 3
"""To be raised when a history is made otherwise: folds made in another way are left."""


class KeptFold(Model):
    """What pieces come to; ``pieces`` has their seals at the time."""

    made_as: int = MADE_AS
    pieces: dict[str, str] = {}
    fold: Fold = Fold()


def _kept(held: Mapping[str, Any]) -> KeptFold | None:
    """The fold as it was kept; None where it was made in another way."""
    try:
        fold = KeptFold.model_validate(held)
    except ValidationError:
        return None
    return fold if fold.made_as == MADE_AS else None


class HistoryFolds:
    """The folds as they stand at their first use: made anew for each call on the store."""

    def __init__(
        self, path: Path, index: WeekIndex, *, read: ReadSession, may_write: bool, seen: Seen
    ) -> None:
        self._file, self._index = CopyFile(path, FORMAT, seen), index
        self._read, self._may_write = read, may_write

    def history(self) -> History:
        return self.all.history

    def loads(self) -> tuple[LastLoad, ...]:
        return self.all.loads

    @cached_property
    def all(self) -> Fold:
        """Everything in one fold; what is new is kept for the next time."""
        if self._folds != self._held and self._may_write:
            self._file.write(_tables(self._folds))
        return both_folds(kept.fold for kept in self._folds.values())

    def forget(self) -> None:
        """Folds what is left, and returns once nothing of what was erased is on the disk."""
        self._file.replace_for_good(_tables(self._folds))

    @cached_property
    def _held(self) -> dict[str, KeptFold]:
        held = self._file.read().get(FOLDS, {})
        return {name: fold for name, one in held.items() if (fold := _kept(one)) is not None}

    @cached_property
    def _folds(self) -> dict[str, KeptFold]:
        blocks = self._index.blocks()
        newest = max(blocks, default=None)
        sessions = self._sessions(blocks.pop(newest)) if newest else {}
        seals = {block: self._index.seal(names) for block, names in blocks.items()}
        return {BEFORE: self._before(seals), NEWEST: self._newest(sessions)}

    def _sessions(self, names: Iterable[str]) -> dict[str, str]:
        return {name: self._index.entries[name].stamp for name in names}

    def _newest(self, sessions: Mapping[str, str]) -> KeptFold:
        held = self._usable(NEWEST, sessions)
        fresh = self._fold_of(name for name in sessions if name not in held.pieces)
        return KeptFold(pieces=dict(sessions), fold=both_folds((held.fold, fresh)))

    def _before(self, seals: Mapping[str, str]) -> KeptFold:
        held = self._usable(BEFORE, seals)
        fresh = [self._block(block) for block in seals if block not in held.pieces]
        return KeptFold(pieces=dict(seals), fold=both_folds((held.fold, *fresh)) if fresh else held.fold)

    def _block(self, block: str) -> Fold:
        """One block: as it was kept where it was the newest until now."""
        names = self._index.blocks()[block]
        newest = self._held.get(NEWEST, KeptFold())
        return newest.fold if newest.pieces == self._sessions(names) else self._fold_of(names)

    def _usable(self, name: str, pieces: Mapping[str, str]) -> KeptFold:
        """The held fold where it was made of nothing but some of these pieces, else an empty one."""
        held = self._held.get(name, KeptFold())
        return held if held.pieces.items() <= pieces.items() else KeptFold()

    def _fold_of(self, names: Iterable[str]) -> Fold:
        sessions = [one for name in names if (one := self._read(name))]
        amendments = [amendment for one in sessions for amendment in one.amendments]
        return fold_of((one.corrected for one in sessions if one.corrected), amendments)


def both_folds(folds: Iterable[Fold]) -> Fold:
    held = tuple(folds)
    return Fold(
        history=merged(fold.history for fold in held),
        loads=latest(load for fold in held for load in fold.loads),
    )


def _tables(folds: Mapping[str, KeptFold]) -> Tables:
    return {FOLDS: {name: fold.model_dump(mode="json") for name, fold in folds.items()}}
