"""The history, folded once and kept beside the months, so that opening reads no records.

Two folds are kept: of the newest month, which every session changes, and of all months before it. So the file
stays as small as a history is, however many years there are. Each fold names the checksums of the months it
was made from; one that no longer fits is left, and its months are read again.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from functools import cached_property
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from engine.history import History, history_of, merged
from engine.model import Model
from storage.durable import Documents
from storage.months import MonthFiles, OpenFile, ReadMonth
from storage.problem import StorageProblem

FORMAT = "history-folds"
FOLDS, BEFORE, NEWEST = "folds", "before", "newest"
MADE_AS = 2
"""To be raised when a history is made otherwise: folds made in another way are left."""


class Fold(Model):
    """What months come to; ``months`` has their checksums at the time."""

    made_as: int = MADE_AS
    months: dict[str, str]
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

    def __init__(
        self,
        path: Path,
        months: MonthFiles,
        open_file: OpenFile,
        *,
        read: ReadMonth,
        may_write: bool,
    ) -> None:
        self._path, self._months, self._open_file = path, months, open_file
        self._read, self._may_write = read, may_write

    def history(self) -> History:
        folds = {name: self._fold(months) for name, months in self._wanted.items()}
        if folds != self._held and self._may_write:
            written = {name: fold.model_dump(mode="json") for name, fold in folds.items()}
            with suppress(StorageProblem):  # What cannot be saved now is folded again next time.
                self._documents.storage.write({FOLDS: written})
        return merged(fold.history for fold in folds.values())

    def refresh(self) -> None:
        """Folds now what the next reader would have to wait for, where one month at most has to be read."""
        if sum(len(self._unfolded(months)) for months in self._wanted.values()) <= 1:
            self.history()

    def forget_previous(self) -> None:
        """Folds what was changed, and keeps nothing from before it in the previous generation."""
        self.history()
        self._open().forget_previous()

    def _open(self) -> Documents:
        return self._open_file(self._path, FORMAT)

    @cached_property
    def _documents(self) -> Documents:
        return self._open()

    @cached_property
    def _held(self) -> dict[str, Fold]:
        held = self._documents.tables_read.get(FOLDS, {})
        return {name: fold for name, one in held.items() if (fold := _fold_of(one)) is not None}

    @cached_property
    def _wanted(self) -> dict[str, dict[str, str]]:
        """The months of each fold, with their checksums now."""
        months = self._months.checksums()
        newest = max(months, default=None)
        return {
            BEFORE: {month: sha256 for month, sha256 in months.items() if month != newest},
            NEWEST: {month: sha256 for month, sha256 in months.items() if month == newest},
        }

    def _usable(self, months: Mapping[str, str]) -> list[Fold]:
        """The held folds made from nothing but some of these months as they are now."""
        return [fold for fold in self._held.values() if fold.months.items() <= months.items()]

    def _unfolded(self, months: Mapping[str, str]) -> list[str]:
        folded = {month for fold in self._usable(months) for month in fold.months}
        return [month for month in months if month not in folded]

    def _fold(self, months: Mapping[str, str]) -> Fold:
        """From the folds held, and from the records of what they do not hold."""
        counted = [
            history_of(self._read(month), self._months.amendments(month)) for month in self._unfolded(months)
        ]
        history = merged([*(fold.history for fold in self._usable(months)), *counted])
        return Fold(months=dict(months), history=history)
