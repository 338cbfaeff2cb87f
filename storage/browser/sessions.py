"""Sessions that are over, in the browser's database.

Weekly figures, history and last loads change in the same step as the records they are derived from, so they
never disagree.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date, datetime
from typing import NamedTuple

from engine.base.periods import days_of, is_month, iso_week, month_of
from engine.record.amendment import Amendment
from engine.record.history import History
from engine.record.noted_pain import NotedPain
from engine.record.record import Record
from engine.record.week import WeekReview, review_week
from storage.browser.documents import ONLY, Change, ShelvedModels, models_in, put
from storage.browser.folds import TwoFolds, joint_seal, seal_of, two_folds
from storage.browser.shelves import Ask, Put, Remove
from storage.derived import as_amended, fold_of, weekly_figures
from storage.models import LastLoad, Tombstone
from storage.problem import Cause, StorageProblem
from storage.rules import by_time, in_order, in_order_noted, is_new

Span = tuple[str, str]
"""The first and the last of some local dates."""


class CorrectedRecords(NamedTuple):
    """Records as amended, and their amendments."""

    records: list[Record]
    amendments: list[Amendment]


class BrowserSessions:
    """Records, their amendments and tombstones, and what is derived from them."""

    def __init__(self, models: ShelvedModels) -> None:
        self._models = models
        self._is_compared = False

    async def save(self, record: Record) -> bool:
        async with self._models.changing:
            if await self._models.one("tombstones", Tombstone, record.id) is not None:
                return False
            if is_new(await self.record(record.id), record):
                week = [*(await self._corrected(_week_of(record.local_date))).records, record]
                folds = (await self._folds()).with_record(record)
                saved = put("records", record.id, record, at=record.local_date, new=True)
                await self._models.change(saved, _put_week(record.local_date, week), _put_folds(folds))
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
                saved = put("amendments", amendment.id, amendment, at=record.local_date, new=True)
                await self._models.change(saved, *await self._derived_again(record, adding=(amendment,)))

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        record = await self.record(record_id)
        if record is None:
            return ()
        day = record.local_date.isoformat()
        of_the_day = await self._models.all("amendments", Amendment, span=(day, day))
        return by_time(one for one in of_the_day if one.record_id == record_id)

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        return by_time(await self._models.all("amendments", Amendment, span=_span(period)))

    async def pain_notes(self) -> tuple[NotedPain, ...]:
        return in_order_noted(await self._models.all("pain-notes", NotedPain))

    async def save_pain_note(self, note: NotedPain) -> bool:
        async with self._models.changing:
            if await self._models.one("tombstones", Tombstone, note.id) is not None:
                return False
            if is_new(await self._models.one("pain-notes", NotedPain, note.id), note):
                await self._models.change(put("pain-notes", note.id, note, at=note.local_date, new=True))
        return True

    async def erase(self, record_id: str, *, at: datetime) -> None:
        async with self._models.changing:
            changes: list[Change] = await self._set_aside_naming(record_id)
            if await self._models.one("tombstones", Tombstone, record_id) is not None:
                if changes:
                    await self._models.change(*changes)
                return
            changes += [
                put("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at)),
                Remove("pain-notes", record_id),
            ]
            record = await self.record(record_id)
            if record is not None:
                gone = [Remove("amendments", one.id) for one in await self.amendments(record_id)]
                derived = await self._derived_again(record, without=True)
                await self._models.change(*changes, Remove("records", record_id), *gone, *derived)
            else:
                await self._models.change(*changes)

    async def _set_aside_naming(self, record_id: str) -> list[Change]:
        """The removal of all that was put aside and names a record, or does not say whose session it held."""
        (held,) = await self._models.shelves.read(Ask("aside"))
        named = json.dumps(record_id, ensure_ascii=False)
        return [
            Remove("aside", one.key)
            for one in held
            if named in one.text.replace('\\"', '"') or '"run_id"' not in one.text
        ]

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return tuple(await self._models.all("tombstones", Tombstone))

    async def week_index(self) -> tuple[WeekReview, ...]:
        await self._folds()
        if not self._is_compared:  # a window that only reads cannot heal what it finds
            return weekly_figures((await self._corrected(None)).records)
        return tuple(await self._models.all("weeks", WeekReview))

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return (await self._folds()).loads()

    async def history(self) -> History:
        return (await self._folds()).history()

    async def _folds(self) -> TwoFolds:
        """The folds; derived again, with all weeks, where they are damaged or of another DERIVED_VERSION.

        At the first use they are compared with the records there are: two windows that both wrote may have
        left the folds of one of them.
        """
        try:
            folds = await self._models.one("counted", TwoFolds)
        except StorageProblem:
            folds = None
        if folds is not None and folds.is_current() and (self._is_compared or await self._is_of_all(folds)):
            self._is_compared = True
            return folds
        records, amendments = await self._corrected(None)
        folds = two_folds(records, amendments)
        self._is_compared = not records
        if records and self._models.may_write():
            weeks = [put("weeks", week.iso_week, week) for week in weekly_figures(records)]
            await self._models.change(Remove("weeks"), *weeks, _put_folds(folds))
            self._is_compared = True
        return folds

    async def _is_of_all(self, folds: TwoFolds) -> bool:
        """Whether folds are of the records and amendments that are here, and of no others."""
        held = await self._models.shelves.read(
            Ask("records", only_keys=True), Ask("amendments", only_keys=True)
        )
        records, amendments = ([document.key for document in one] for one in held)
        return folds.seal == seal_of(records, amendments)

    async def _derived_again(
        self, record: Record, *, adding: tuple[Amendment, ...] = (), without: bool = False
    ) -> list[Change]:
        """The changes to a record's week and fold when it gets the amendments ``adding`` or is erased."""
        folds, month = await self._folds(), month_of(record.local_date)
        in_newest = month == folds.month
        span = _span(month) if in_newest else ("", f"{folds.month}-00")
        erased = record.id if without else None
        of_fold = await self._corrected(span, adding, erased)
        of_week = await self._corrected(_week_of(record.local_date), adding, erased)
        if in_newest and not of_fold.records:  # Another month is the newest now.
            folds = two_folds(*await self._corrected(None, (), erased))
        else:
            gone = [one.id for one in await self.amendments(record.id)] if without else ()
            changed = seal_of([record.id] if without else (), [*gone, *(one.id for one in adding)])
            folds = folds.model_copy(
                update={
                    "newest" if in_newest else "before": fold_of(*of_fold),
                    "seal": joint_seal(folds.seal, changed),
                }
            )
        return [_put_week(record.local_date, of_week.records), _put_folds(folds)]

    async def _corrected(
        self, span: Span | None, adding: Iterable[Amendment] = (), without: str | None = None
    ) -> CorrectedRecords:
        """The records of a span of local dates, or all, in order of time.

        ``adding`` are amendments that are not saved yet, ``without`` is the id of a record to leave out.
        """
        records, amendments = await self._models.shelves.read(
            Ask("records", span=span), Ask("amendments", span=span)
        )
        all_amendments = [*models_in(Amendment, amendments), *adding]
        corrected = as_amended(models_in(Record, records), all_amendments)
        return CorrectedRecords([record for record in corrected if record.id != without], all_amendments)


def _put_week(day: date, records: list[Record]) -> Change:
    week = iso_week(day)
    return put("weeks", week, review_week(records, week)) if records else Remove("weeks", week)


def _put_folds(folds: TwoFolds) -> Put:
    return put("counted", ONLY, folds)


def _week_of(day: date) -> Span:
    days = days_of(iso_week(day))
    return days[0].isoformat(), days[-1].isoformat()


def _span(period: str | None) -> Span | None:
    """The local dates of a month or an ISO week; None for all. Raises ValueError for any other text."""
    if period is None:
        return None
    if is_month(period):
        return f"{period}-01", f"{period}-31"
    days = days_of(period)
    return days[0].isoformat(), days[-1].isoformat()
