"""The history and the last loads, kept as folds beside the records in the browser, so that opening reads no
records. Pure.

A new record is merged into its fold. After a correction or an erasing only what it affects is derived again:
its week, and the fold of either the newest month or all months before it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from functools import reduce
from operator import xor

from engine.base.model import Model
from engine.base.periods import month_of
from engine.record.amendment import Amendment
from engine.record.history import History, merged
from engine.record.record import Record
from storage import schema
from storage.derived import Fold, fold_of, latest, merged_folds
from storage.models import LastLoad


def seal_of(records: Iterable[str] = (), amendments: Iterable[str] = ()) -> str:
    """A text that tells one set of ids from another, in any order: their hashes, each bit added without
    carry."""
    named = (*(f"record {one}" for one in records), *(f"amendment {one}" for one in amendments))
    sums = (
        int.from_bytes(hashlib.sha256(one.encode("utf-8", "surrogatepass")).digest()[:8]) for one in named
    )
    return f"{reduce(xor, sums, 0):016x}"


def joint_seal(one: str, other: str) -> str:
    """The seal of the ids that are in one of two sets, not in both."""
    return f"{int(one, 16) ^ int(other, 16):016x}"


class TwoFolds(Model):
    """All records in two folds: those of the newest month, and those before it.

    ``made_as`` is the DERIVED_VERSION that made them, ``seal`` the ``seal_of`` the ids of the records and
    amendments in them. ``month`` is the newest month, "" without any records.
    """

    made_as: int
    seal: str = seal_of()
    month: str = ""
    newest: Fold = Fold()
    before: Fold = Fold()

    def history(self) -> History:
        return merged((self.before.history, self.newest.history))

    def loads(self) -> tuple[LastLoad, ...]:
        return latest((*self.before.loads, *self.newest.loads))

    def is_current(self) -> bool:
        """False where another version made the folds."""
        return self.made_as == schema.DERIVED_VERSION

    def with_record(self, record: Record) -> TwoFolds:
        """Adds a record that is not in the folds yet."""
        seal = joint_seal(self.seal, seal_of([record.id]))
        return self._with_record(record).model_copy(update={"seal": seal})

    def _with_record(self, record: Record) -> TwoFolds:
        month, one = month_of(record.local_date), fold_of((record,))
        if month < self.month:
            return self.model_copy(update={"before": merged_folds((self.before, one))})
        if month == self.month:
            return self.model_copy(update={"newest": merged_folds((self.newest, one))})
        return _made_now(month, newest=one, before=merged_folds((self.before, self.newest)))


def two_folds(records: Iterable[Record], amendments: Iterable[Amendment]) -> TwoFolds:
    """Folds all records, given as amended, and their amendments."""
    records, amendments = tuple(records), tuple(amendments)
    month = max((month_of(record.local_date) for record in records), default="")
    newest = [record for record in records if month_of(record.local_date) == month]
    before = [record for record in records if month_of(record.local_date) != month]
    made = _made_now(month, newest=fold_of(newest, amendments), before=fold_of(before, amendments))
    seal = seal_of((one.id for one in records), (one.id for one in amendments))
    return made.model_copy(update={"seal": seal})


def _made_now(month: str, *, newest: Fold, before: Fold) -> TwoFolds:
    return TwoFolds(made_as=schema.DERIVED_VERSION, month=month, newest=newest, before=before)
