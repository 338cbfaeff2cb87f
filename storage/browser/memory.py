"""The store in memory: for tests, and for looking around without leaving anything behind."""

from __future__ import annotations

from datetime import datetime

from engine.base.model import revision_of
from engine.base.periods import is_within, months_of
from engine.live.events import Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History, history_of
from engine.record.record import Amendment, Profile, Record
from engine.record.week import WeekReview
from storage.counting import as_amended, count_weeks, last_loads
from storage.models import KeptDraft, KitOwned, LastLoad, Settings, Tombstone, WeekNote
from storage.problem import Cause, StorageProblem, Trouble
from storage.rules import by_time, in_order, in_order_made, is_new, may_open


class MemoryStore:
    """Keeps everything until the process ends."""

    def __init__(self) -> None:
        self._profile: Profile | None = None
        self._kit: KitOwned | None = None
        self._settings = Settings()
        self._week_notes: dict[str, WeekNote] = {}
        self._adjustments: dict[str, Adjustment] = {}
        self._plans: dict[str, SessionPlan] = {}
        self._drafts: dict[str, KeptDraft] = {}
        self._records: dict[str, Record] = {}
        self._amendments: dict[str, Amendment] = {}
        self._tombstones: dict[str, Tombstone] = {}
        self._running: RunningRecord | None = None

    async def profile(self) -> Profile | None:
        return self._profile

    async def save_profile(self, profile: Profile) -> None:
        self._profile = profile

    async def kit(self) -> KitOwned | None:
        return self._kit

    async def save_kit(self, kit: KitOwned) -> None:
        self._kit = kit

    async def settings(self) -> Settings:
        return self._settings

    async def save_settings(self, settings: Settings) -> None:
        self._settings = settings

    async def plans(self) -> tuple[SessionPlan, ...]:
        return tuple(sorted(self._plans.values(), key=lambda plan: (plan.name, plan.id)))

    async def plan(self, plan_id: str) -> SessionPlan | None:
        return self._plans.get(plan_id)

    async def save_plan(self, plan: SessionPlan) -> None:
        self._plans[plan.id] = plan

    async def remove_plan(self, plan_id: str) -> None:
        self._plans.pop(plan_id, None)

    async def drafts(self) -> tuple[KeptDraft, ...]:
        return tuple(self._drafts[key] for key in sorted(self._drafts))

    async def save_draft(self, draft: KeptDraft) -> None:
        self._drafts[draft.id] = draft

    async def remove_draft(self, draft_id: str) -> None:
        self._drafts.pop(draft_id, None)

    async def save_record(self, record: Record) -> bool:
        if record.id in self._tombstones:
            return False
        if is_new(self._records.get(record.id), record):
            self._records[record.id] = record
        return True

    async def record(self, record_id: str) -> Record | None:
        return self._records.get(record_id)

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        if period is not None:
            months_of(period)
        return in_order(
            record
            for record in self._records.values()
            if period is None or is_within(record.local_date, period)
        )

    async def amend(self, amendment: Amendment) -> None:
        if amendment.record_id in self._tombstones:
            return
        if amendment.record_id not in self._records:
            raise StorageProblem(Cause.no_such_record, amendment.record_id)
        if is_new(self._amendments.get(amendment.id), amendment):
            self._amendments[amendment.id] = amendment

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        return by_time(one for one in self._amendments.values() if one.record_id == record_id)

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        held = {record.id for record in await self.records(period)}
        return by_time(one for one in self._amendments.values() if one.record_id in held)

    async def erase_record(self, record_id: str, *, at: datetime) -> None:
        self._tombstones.setdefault(record_id, Tombstone(record_id=record_id, erased_at=at))
        self._records.pop(record_id, None)
        self._amendments = {k: one for k, one in self._amendments.items() if one.record_id != record_id}

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        erased = tuple(sorted(self._records))
        for record_id in erased:
            await self.erase_record(record_id, at=at)
        stones, self.__dict__ = self._tombstones, MemoryStore().__dict__
        self._tombstones = stones
        return erased

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return tuple(sorted(self._tombstones.values(), key=lambda stone: stone.record_id))

    async def adjustments(self) -> tuple[Adjustment, ...]:
        return in_order_made(self._adjustments.values())

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        self._adjustments[revision_of(adjustment)] = adjustment

    async def week_notes(self) -> tuple[WeekNote, ...]:
        return tuple(sorted(self._week_notes.values(), key=lambda note: note.iso_week))

    async def save_week_note(self, note: WeekNote) -> None:
        self._week_notes[note.iso_week] = note

    async def week_index(self) -> tuple[WeekReview, ...]:
        return count_weeks(self._amended())

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return last_loads(self._amended())

    async def history(self) -> History:
        return history_of(self._amended(), self._amendments.values())

    def _amended(self) -> tuple[Record, ...]:
        return as_amended(self._records.values(), self._amendments.values())

    async def open_run(self, opening: RunningRecord) -> None:
        may_open(await self.running(), opening)
        self._running = opening

    async def append(self, event: Event) -> None:
        if self._running is None:
            raise StorageProblem(Cause.no_run)
        events = self._running.events
        if events and events[-1] == event:
            return
        if event.seq != len(events) + 1:
            raise ValueError(f"Event {event.seq} cannot be written: event {len(events) + 1} is next.")
        self._running = self._running.model_copy(update={"events": (*events, event)})

    async def running(self) -> RunningRecord | None:
        run = self._running
        if run is not None and (run.run_id in self._records or run.run_id in self._tombstones):
            self._running = None
        return self._running

    async def close_run(self) -> None:
        self._running = None

    async def troubles(self) -> tuple[Trouble, ...]:
        return ()
