"""What is counted over records and kept beside them in the browser, so that opening reads no records. Pure.

A new record is added to what was counted before. After a correction or an erasing only what it touches is
counted again: its week, and either the newest month or all months before it.
"""

from __future__ import annotations

from collections.abc import Iterable

from engine.history import History, history_of, merged
from engine.model import Model
from engine.record import Amendment, Record
from storage.count import last_loads, latest
from storage.models import LastLoad
from storage.periods import month_of

MADE_AS = 1
"""To be raised when anything is counted otherwise: what was counted in another way is counted again."""


class Fold(Model):
    """What some records come to."""

    history: History = History()
    loads: tuple[LastLoad, ...] = ()


class Counted(Model):
    """All records: those of the newest month, ``month``, and those before it. ``month`` is "" without any."""

    made_as: int = MADE_AS
    month: str = ""
    newest: Fold = Fold()
    before: Fold = Fold()

    def history(self) -> History:
        return merged((self.before.history, self.newest.history))

    def loads(self) -> tuple[LastLoad, ...]:
        return latest((*self.before.loads, *self.newest.loads))

    def with_record(self, record: Record) -> Counted:
        """Adds a record that is not counted yet."""
        month, one = month_of(record.local_date), fold_of((record,))
        if month < self.month:
            return self.model_copy(update={"before": _both(self.before, one)})
        if month == self.month:
            return self.model_copy(update={"newest": _both(self.newest, one)})
        return Counted(month=month, newest=one, before=_both(self.before, self.newest))


def fold_of(records: Iterable[Record], amendments: Iterable[Amendment] = ()) -> Fold:
    """From records as amended, and their amendments."""
    held = tuple(records)
    return Fold(history=history_of(held, amendments), loads=last_loads(held))


def counted_of(records: Iterable[Record], amendments: Iterable[Amendment]) -> Counted:
    """Everything anew, from all records as amended, and their amendments."""
    held, answers = tuple(records), tuple(amendments)
    month = max((month_of(record.local_date) for record in held), default="")
    newest = [record for record in held if month_of(record.local_date) == month]
    before = [record for record in held if month_of(record.local_date) != month]
    return Counted(month=month, newest=fold_of(newest, answers), before=fold_of(before, answers))


def _both(one: Fold, other: Fold) -> Fold:
    loads = latest((*one.loads, *other.loads))
    return Fold(history=merged((one.history, other.history)), loads=loads)
