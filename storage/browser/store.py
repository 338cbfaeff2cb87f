"""The store in a browser: each document by itself in the browser's database, changed in single steps.

One window writes, the one that holds the lock (storage/browser/lock.py). Weekly figures, history and last
loads are changed in the same step as the records they are counted from, so they never disagree.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterable
from datetime import date, datetime
from typing import NamedTuple, TypeVar

from pydantic import ValidationError

from engine.base.model import Model, revision_of
from engine.base.periods import days_of, is_month, iso_week, month_of
from engine.live.events import EVENTS, Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.record import Amendment, Profile, Record
from engine.record.week import WeekReview, review_week
from storage.browser.counted import Counted, counted_of
from storage.browser.shelves import SHELVES, Ask, Document, Put, Remove, Shelves, Taken
from storage.counting import MADE_AS, as_amended, count_weeks, fold_of
from storage.journal import Found, find
from storage.models import KeptDraft, KitOwned, LastLoad, Settings, Tombstone, WeekNote
from storage.problem import Cause, StorageProblem, Trouble
from storage.rules import by_time, in_order, in_order_made, is_new, may_open

One = TypeVar("One", bound=Model)
Change = Put | Remove
_ONLY = "only"
"""Key on a shelf that holds one document."""
_OPENING = "00000000"
"""Key of a running record's opening; its events follow by their number."""


class Held(NamedTuple):
    """Records as amended, and their amendments."""

    records: list[Record]
    amendments: list[Amendment]


def _always() -> bool:
    return True


class BrowserStore:
    """Keeps everything in one browser database.

    ``may_write`` is asked before each change; ``on_refused`` hears of what the browser would not save.
    """

    def __init__(
        self,
        shelves: Shelves,
        *,
        may_write: Callable[[], bool] = _always,
        on_refused: Callable[[StorageProblem], None] = lambda _: None,
    ) -> None:
        self._shelves, self._may_write, self._on_refused = shelves, may_write, on_refused
        self._changing = asyncio.Lock()
        self._last: Event | None = None
        self._run_known = False
        self._troubles: list[Trouble] = []

    async def profile(self) -> Profile | None:
        return await self._one("profile", Profile)

    async def save_profile(self, profile: Profile) -> None:
        await self._change(_put("profile", _ONLY, profile))

    async def kit(self) -> KitOwned | None:
        return await self._one("kit", KitOwned)

    async def save_kit(self, kit: KitOwned) -> None:
        await self._change(_put("kit", _ONLY, kit))

    async def settings(self) -> Settings:
        return await self._one("settings", Settings) or Settings()

    async def save_settings(self, settings: Settings) -> None:
        await self._change(_put("settings", _ONLY, settings))

    async def plans(self) -> tuple[SessionPlan, ...]:
        held = _models(SessionPlan, (await self._shelves.read(Ask("plans")))[0])
        return tuple(sorted(held, key=lambda plan: (plan.name, plan.id)))

    async def plan(self, plan_id: str) -> SessionPlan | None:
        return await self._one("plans", SessionPlan, plan_id)

    async def save_plan(self, plan: SessionPlan) -> None:
        await self._change(_put("plans", plan.id, plan))

    async def remove_plan(self, plan_id: str) -> None:
        await self._change(Remove("plans", plan_id))

    async def drafts(self) -> tuple[KeptDraft, ...]:
        return tuple(_models(KeptDraft, (await self._shelves.read(Ask("drafts")))[0]))

    async def save_draft(self, draft: KeptDraft) -> None:
        await self._change(_put("drafts", draft.id, draft))

    async def remove_draft(self, draft_id: str) -> None:
        await self._change(Remove("drafts", draft_id))

    # Records and their amendments

    async def save_record(self, record: Record) -> bool:
        async with self._changing:
            if await self._one("tombstones", Tombstone, record.id) is not None:
                return False
            if is_new(await self.record(record.id), record):
                week = [*(await self._amended(_week_of(record.local_date))).records, record]
                counted = (await self._counted()).with_record(record)
                kept = _put("records", record.id, record, at=record.local_date, new=True)
                await self._change(kept, _put_week(record.local_date, week), _put_counted(counted))
        return True

    async def record(self, record_id: str) -> Record | None:
        return await self._one("records", Record, record_id)

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        (held,) = await self._shelves.read(Ask("records", span=_span(period)))
        return in_order(_models(Record, held))

    async def amend(self, amendment: Amendment) -> None:
        async with self._changing:
            if await self._one("tombstones", Tombstone, amendment.record_id) is not None:
                return
            record = await self.record(amendment.record_id)
            if record is None:
                raise StorageProblem(Cause.no_such_record, amendment.record_id)
            if is_new(await self._one("amendments", Amendment, amendment.id), amendment):
                kept = _put("amendments", amendment.id, amendment, at=record.local_date, new=True)
                await self._change(kept, *await self._recounted(record, adding=(amendment,)))

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        record = await self.record(record_id)
        if record is None:
            return ()
        day = record.local_date.isoformat()
        (held,) = await self._shelves.read(Ask("amendments", span=(day, day)))
        return by_time(one for one in _models(Amendment, held) if one.record_id == record_id)

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        (held,) = await self._shelves.read(Ask("amendments", span=_span(period)))
        return by_time(_models(Amendment, held))

    async def erase_record(self, record_id: str, *, at: datetime) -> None:
        async with self._changing:
            if await self._one("tombstones", Tombstone, record_id) is not None:
                return
            changes = [_put("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at))]
            record = await self.record(record_id)
            if record is not None:
                gone = [Remove("amendments", one.id) for one in await self.amendments(record_id)]
                recounted = await self._recounted(record, without=True)
                await self._change(*changes, Remove("records", record_id), *gone, *recounted)
            else:
                await self._change(*changes)

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        async with self._changing:
            (held,) = await self._shelves.read(Ask("records"))
            erased = tuple(document.key for document in held)
            stones = [
                _put("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at))
                for record_id in erased
            ]
            emptied = [Remove(shelf) for shelf in SHELVES if shelf != "tombstones"]
            await self._change(*emptied, *stones)
            self._last, self._run_known = None, False
        return erased

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return tuple(_models(Tombstone, (await self._shelves.read(Ask("tombstones")))[0]))

    # What is counted over them

    async def adjustments(self) -> tuple[Adjustment, ...]:
        return in_order_made(_models(Adjustment, (await self._shelves.read(Ask("adjustments")))[0]))

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        await self._change(_put("adjustments", revision_of(adjustment), adjustment))

    async def week_notes(self) -> tuple[WeekNote, ...]:
        held = _models(WeekNote, (await self._shelves.read(Ask("week-notes")))[0])
        return tuple(sorted(held, key=lambda note: note.iso_week))

    async def save_week_note(self, note: WeekNote) -> None:
        await self._change(_put("week-notes", note.iso_week, note))

    async def week_index(self) -> tuple[WeekReview, ...]:
        await self._counted()
        return tuple(_models(WeekReview, (await self._shelves.read(Ask("weeks")))[0]))

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return (await self._counted()).loads()

    async def history(self) -> History:
        return (await self._counted()).history()

    async def _counted(self) -> Counted:
        """What was counted, counted anew where it was made in another way or is damaged."""
        try:
            held = await self._one("counted", Counted)
        except StorageProblem:
            held = None
        if held is not None and held.made_as == MADE_AS:
            return held
        records, amendments = await self._amended(None)
        counted = counted_of(records, amendments)
        if records and self._may_write():
            weeks = [_put("weeks", week.iso_week, week) for week in count_weeks(records)]
            await self._change(Remove("weeks"), *weeks, _put_counted(counted))
        return counted

    async def _recounted(
        self, record: Record, *, adding: tuple[Amendment, ...] = (), without: bool = False
    ) -> list[Change]:
        """The changes of week and folds when a record is amended, or erased."""
        counted, month = await self._counted(), month_of(record.local_date)
        in_newest = month == counted.month
        span = _span(month) if in_newest else ("", f"{counted.month}-00")
        erased = record.id if without else None
        held = await self._amended(span, adding, erased)
        week = await self._amended(_week_of(record.local_date), adding, erased)
        if in_newest and not held.records:  # The newest month is another one now.
            counted = counted_of(*await self._amended(None, (), erased))
        else:
            counted = counted.model_copy(update={"newest" if in_newest else "before": fold_of(*held)})
        return [_put_week(record.local_date, week.records), _put_counted(counted)]

    async def _amended(
        self,
        span: tuple[str, str] | None,
        adding: Iterable[Amendment] = (),
        without: str | None = None,
    ) -> Held:
        """The records whose local dates lie in a span, as corrected, in order of time."""
        records, amendments = await self._shelves.read(
            Ask("records", span=span), Ask("amendments", span=span)
        )
        answers = [*_models(Amendment, amendments), *adding]
        corrected = as_amended(_models(Record, records), answers)
        return Held([record for record in corrected if record.id != without], answers)

    # The session in progress

    async def open_run(self, opening: RunningRecord) -> None:
        async with self._changing:
            may_open(await self._running(), opening)
            head = Document(_OPENING, opening.model_dump_json(exclude={"events"}))
            await self._change(Remove("run"), Put("run", head, new=True))
            self._last, self._run_known = None, True

    async def append(self, event: Event) -> None:
        async with self._changing:
            self._need_ownership()
            if not self._run_known and await self._running() is None:
                raise StorageProblem(Cause.no_run)
            if event == self._last:
                return
            expected = self._last.seq + 1 if self._last else 1
            if event.seq != expected:
                raise ValueError(f"Event {event.seq} cannot be written: event {expected} is next.")
            await self._append(event)

    async def _append(self, event: Event) -> None:
        document = Document(f"{event.seq:08}", EVENTS.dump_json(event).decode())
        try:
            await self._change(Put("run", document, new=True))
        except StorageProblem:
            self._run_known = False  # It may be there or not: what is there decides next time.
            raise
        self._last = event

    async def running(self) -> RunningRecord | None:
        async with self._changing:
            return await self._running()

    async def _running(self) -> RunningRecord | None:
        (lines,) = await self._shelves.read(Ask("run"))
        self._run_known = False
        found = await self._mended(lines) if lines else None
        if found is None or await self._is_over(found.record.run_id):
            return None
        self._run_known = True
        self._last = found.record.events[-1] if found.record.events else None
        return found.record

    async def _is_over(self, run_id: str) -> bool:
        """Its record is saved or was erased; it is put away then."""
        saved, erased = await self._shelves.read(Ask("records", run_id), Ask("tombstones", run_id))
        if (saved or erased) and self._may_write():
            await self._change(Remove("run"))
        return bool(saved or erased)

    async def _mended(self, lines: list[Document]) -> Found | None:
        """The sound part; what cannot be read is put aside and said, never thrown away."""
        content = "".join(f"{line.text}\n" for line in lines).encode()
        found = find(content, "running record")
        sound = 1 + len(found.record.events) if found else 0
        if sound < len(lines) and self._may_write():
            whole = Document(f"run {lines[0].key} {len(content)}", content.decode())
            await self._change(Put("aside", whole), *(Remove("run", line.key) for line in lines[sound:]))
            self._troubles.append(
                Trouble(
                    "running record", f"The session in progress is damaged after event {max(sound - 1, 0)}."
                )
            )
        return found

    async def close_run(self) -> None:
        async with self._changing:
            await self._change(Remove("run"))
            self._last, self._run_known = None, False

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._troubles)

    # The shelves

    async def _one(self, shelf: str, model: type[One], key: str = _ONLY) -> One | None:
        (held,) = await self._shelves.read(Ask(shelf, key))
        return _model(model, held[0]) if held else None

    def _need_ownership(self) -> None:
        if not self._may_write():
            raise StorageProblem(Cause.not_owner)

    async def _change(self, *changes: Change) -> None:
        self._need_ownership()
        try:
            await self._shelves.change(*changes)
        except Taken as taken:
            raise StorageProblem(Cause.not_owner) from taken
        except StorageProblem as problem:
            self._on_refused(problem)
            raise


def _model(model: type[One], document: Document) -> One:
    try:
        return model.model_validate_json(document.text)
    except ValidationError as error:
        raise StorageProblem(Cause.disk_fault, document.key, "it is damaged") from error


def _models(model: type[One], documents: Iterable[Document]) -> list[One]:
    return [_model(model, document) for document in documents]


def _put(shelf: str, key: str, document: Model, *, at: date | None = None, new: bool = False) -> Put:
    return Put(shelf, Document(key, document.model_dump_json(), at.isoformat() if at else ""), new)


def _put_week(day: date, records: list[Record]) -> Change:
    week = iso_week(day)
    return _put("weeks", week, review_week(records, week)) if records else Remove("weeks", week)


def _put_counted(counted: Counted) -> Put:
    return _put("counted", _ONLY, counted)


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
