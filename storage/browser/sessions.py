"""Sessions that are over, in the browser's database.

Weekly figures, history and last loads are changed in the same step as the records they are counted from, so
they never disagree.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import NamedTuple

from engine.base.periods import days_of, is_month, iso_week, month_of
from engine.record.amendment import Amendment
from engine.record.history import History
from engine.record.record import Record
from engine.record.week import WeekReview, review_week
from storage.browser.documents import ONLY, Change, ShelvedModels, models_in, put
from storage.browser.folds import TwoFolds, two_folds
from storage.browser.shelves import Ask, Put, Remove
from storage.derived import as_amended, fold_of, weekly_figures
from storage.models import LastLoad, Tombstone
from storage.problem import Cause, StorageProblem
from storage.rules import by_time, in_order, is_new


class CorrectedRecords(NamedTuple):
    """Records as amended, and their amendments."""

    records: list[Record]
    amendments: list[Amendment]


class BrowserSessions:
    """Records, their amendments and tombstones, and what is counted from them."""

    def __init__(self, models: ShelvedModels) -> None:
        self._models = models

    async def save(self, record: Record) -> bool:
        async with self._models.changing:
            if await self._models.one("tombstones", Tombstone, record.id) is not None:
                return False
            if is_new(await self.record(record.id), record):
                week = [*(await self._amended(_week_of(record.local_date))).records, record]
                folds = (await self._folds()).with_record(record)
                kept = put("records", record.id, record, at=record.local_date, new=True)
                await self._models.change(kept, _put_week(record.local_date, week), _put_folds(folds))
        return True

    async def record(self, record_id: str) -> Record | None:
        return await self._models.one("records", Record, record_id)

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        return in_order(await self._models.all("records", Record, span=_span(period)))

    async def amend(self, amendment: Amendment) -> None:
        async with self._models.changing:
            if await self._models.one("tombstones", Tombstone, amendment.record_id) is not None:
                return
            record = await self.record(amendment.record_id)
            if record is None:
                raise StorageProblem(Cause.no_such_record, amendment.record_id)
            if is_new(await self._models.one("amendments", Amendment, amendment.id), amendment):
                kept = put("amendments", amendment.id, amendment, at=record.local_date, new=True)
                await self._models.change(kept, *await self._derived_again(record, adding=(amendment,)))

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        record = await self.record(record_id)
        if record is None:
            return ()
        day = record.local_date.isoformat()
        held = await self._models.all("amendments", Amendment, span=(day, day))
        return by_time(one for one in held if one.record_id == record_id)

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        return by_time(await self._models.all("amendments", Amendment, span=_span(period)))

    async def erase(self, record_id: str, *, at: datetime) -> None:
        async with self._models.changing:
            if await self._models.one("tombstones", Tombstone, record_id) is not None:
                return
            changes = [put("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at))]
            record = await self.record(record_id)
            if record is not None:
                gone = [Remove("amendments", one.id) for one in await self.amendments(record_id)]
                derived = await self._derived_again(record, without=True)
                await self._models.change(*changes, Remove("records", record_id), *gone, *derived)
            else:
                await self._models.change(*changes)

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return tuple(await self._models.all("tombstones", Tombstone))

    async def week_index(self) -> tuple[WeekReview, ...]:
        await self._folds()
        return tuple(await self._models.all("weeks", WeekReview))

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return (await self._folds()).loads()

    async def history(self) -> History:
        return (await self._folds()).history()

    async def _folds(self) -> TwoFolds:
        """The folds; derived again, with all weeks, where they are damaged or of another DERIVED_VERSION."""
        try:
            held = await self._models.one("counted", TwoFolds)
        except StorageProblem:
            held = None
        if held is not None and held.is_current():
            return held
        records, amendments = await self._amended(None)
        folds = two_folds(records, amendments)
        if records and self._models.may_write():
            weeks = [put("weeks", week.iso_week, week) for week in weekly_figures(records)]
            await self._models.change(Remove("weeks"), *weeks, _put_folds(folds))
        return folds

    async def _derived_again(
        self, record: Record, *, adding: tuple[Amendment, ...] = (), without: bool = False
    ) -> list[Change]:
        """The changes of week and folds when a record is amended, or erased."""
        folds, month = await self._folds(), month_of(record.local_date)
        in_newest = month == folds.month
        span = _span(month) if in_newest else ("", f"{folds.month}-00")
        erased = record.id if without else None
        held = await self._amended(span, adding, erased)
        week = await self._amended(_week_of(record.local_date), adding, erased)
        if in_newest and not held.records:  # The newest month is another one now.
            folds = two_folds(*await self._amended(None, (), erased))
        else:
            folds = folds.model_copy(update={"newest" if in_newest else "before": fold_of(*held)})
        return [_put_week(record.local_date, week.records), _put_folds(folds)]

    async def _amended(
        self,
        span: tuple[str, str] | None,
        adding: Iterable[Amendment] = (),
        without: str | None = None,
    ) -> CorrectedRecords:
        """The records whose local dates lie in a span, as corrected, in order of time."""
        records, amendments = await self._models.shelves.read(
            Ask("records", span=span), Ask("amendments", span=span)
        )
        answers = [*models_in(Amendment, amendments), *adding]
        corrected = as_amended(models_in(Record, records), answers)
        return CorrectedRecords([record for record in corrected if record.id != without], answers)


def _put_week(day: date, records: list[Record]) -> Change:
    week = iso_week(day)
    return put("weeks", week, review_week(records, week)) if records else Remove("weeks", week)


def _put_folds(folds: TwoFolds) -> Put:
    return put("counted", ONLY, folds)


def _week_of(day: date) -> tuple[str, str]:
    days = days_of(iso_week(day))
    return days[0].isoformat(), days[-1].isoformat()


def _span(period: str | None) -> tuple[str, str] | None:
    """The first and last local date of a month or an ISO week. Raises ValueError when it is neither."""
    if period is None:
        return None
    if is_month(period):
        return f"{period}-01", f"{period}-31"
    days = days_of(period)
    return days[0].isoformat(), days[-1].isoformat()
