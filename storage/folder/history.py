"""The history and the last loads, kept as folds beside the sessions, so that opening reads no records.

Two folds are kept: one of the newest block of weeks, which every session changes, and one of all blocks
before it. So the file stays as small as a history is, however many years there are. Each fold names the
pieces it was made of, with their seals: the sessions of the newest block, or the blocks before it. A new
piece is merged into its fold. A fold with a piece that is gone or changed is made again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from engine.base.model import Model
from engine.record.history import History
from storage.derived import Fold, fold_of, merged_folds
from storage.files.derived_file import DerivedFile, FileCache
from storage.folder.weeks import ReadSession, WeekIndex
from storage.models import LastLoad
from storage.schema import Tables

FORMAT = "history-folds"
FOLDS, BEFORE, NEWEST = "folds", "before", "newest"


class FoldOfPieces(Model):
    """The fold of some pieces, with the seal that each piece had at the time."""

    pieces: dict[str, str] = {}
    fold: Fold = Fold()


class HistoryFile:
    """The folds as they are at their first use. Each call on the store makes a new object."""

    def __init__(
        self, path: Path, index: WeekIndex, *, read: ReadSession, may_write: bool, cache: FileCache
    ) -> None:
        self._file, self._index = DerivedFile(path, FORMAT, cache), index
        self._read, self._may_write = read, may_write

    def history(self) -> History:
        return self.all.history

    def loads(self) -> tuple[LastLoad, ...]:
        return self.all.loads

    @cached_property
    def all(self) -> Fold:
        """The fold of all sessions. Folds that changed are saved for the next time."""
        if self._folds != self._held and self._may_write:
            self._file.save(_tables(self._folds))
        return merged_folds(one.fold for one in self._folds.values())

    def forget(self) -> None:
        """Returns once nothing of what was erased is left in the file."""
        self._file.save_for_good(_tables(self._folds))

    @cached_property
    def _held(self) -> dict[str, FoldOfPieces]:
        held = self._file.read().get(FOLDS, {})
        return {name: fold for name, one in held.items() if (fold := _fold_in(one)) is not None}

    @cached_property
    def _folds(self) -> dict[str, FoldOfPieces]:
        blocks = self._index.blocks()
        newest = max(blocks, default=None)
        sessions = self._sealed(blocks.pop(newest)) if newest else {}
        seals = {block: self._index.seal(names) for block, names in blocks.items()}
        return {BEFORE: self._before(seals), NEWEST: self._newest(sessions)}

    def _sealed(self, names: Iterable[str]) -> dict[str, str]:
        """Sessions as pieces: the seal of a session is the stamp of its file."""
        return {name: self._index.entries[name].stamp for name in names}

    def _newest(self, sessions: Mapping[str, str]) -> FoldOfPieces:
        held = self._usable(NEWEST, sessions)
        fresh = self._fold_of(name for name in sessions if name not in held.pieces)
        return FoldOfPieces(pieces=dict(sessions), fold=merged_folds((held.fold, fresh)))

    def _before(self, seals: Mapping[str, str]) -> FoldOfPieces:
        held = self._usable(BEFORE, seals)
        fresh = [self._block(block) for block in seals if block not in held.pieces]
        fold = merged_folds((held.fold, *fresh)) if fresh else held.fold
        return FoldOfPieces(pieces=dict(seals), fold=fold)

    def _block(self, block: str) -> Fold:
        """The fold of one block: the held one where the block was the newest until now."""
        names = self._index.blocks()[block]
        newest = self._held.get(NEWEST, FoldOfPieces())
        return newest.fold if newest.pieces == self._sealed(names) else self._fold_of(names)

    def _usable(self, name: str, pieces: Mapping[str, str]) -> FoldOfPieces:
        """The held fold where all of its pieces are still among these, else an empty one."""
        held = self._held.get(name, FoldOfPieces())
        return held if held.pieces.items() <= pieces.items() else FoldOfPieces()

    def _fold_of(self, names: Iterable[str]) -> Fold:
        sessions = [one for name in names if (one := self._read(name))]
        amendments = [amendment for one in sessions for amendment in one.amendments]
        return fold_of((one.corrected for one in sessions if one.corrected), amendments)


def _fold_in(held: Mapping[str, Any]) -> FoldOfPieces | None:
    """The fold in a file; None where it makes no sense."""
    try:
        return FoldOfPieces.model_validate(held)
    except ValidationError:
        return None


def _tables(folds: Mapping[str, FoldOfPieces]) -> Tables:
    return {FOLDS: {name: fold.model_dump(mode="json") for name, fold in folds.items()}}
