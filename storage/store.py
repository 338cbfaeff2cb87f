"""What the application asks of storage. One suite of tests runs over every implementation.

Everything is awaited, because in the browser it has to be. A call that returns is durable. Calls raise
StorageProblem, with one sentence to show, when the disk or the rules of keeping refuse.
"""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from typing import Protocol

from engine.live.events import Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.record import Amendment, Profile, Record
from engine.record.week import WeekReview
from storage.counting import as_amended
from storage.models import KeptDraft, KitOwned, LastLoad, Settings, Tombstone, WeekNote
from storage.problem import Trouble


class Store(Protocol):
    """One person's things. A period is a month (2026-03), an ISO week (2026-W11), or None for all."""

    async def profile(self) -> Profile | None: ...

    async def save_profile(self, profile: Profile) -> None: ...

    async def kit(self) -> KitOwned | None: ...

    async def save_kit(self, kit: KitOwned) -> None: ...

    async def settings(self) -> Settings:
        """What this device is to do; where nobody has said so, as it is made."""
        ...

    async def save_settings(self, settings: Settings) -> None: ...

    async def plans(self) -> tuple[SessionPlan, ...]:
        """Every plan, by name."""
        ...

    async def plan(self, plan_id: str) -> SessionPlan | None: ...

    async def save_plan(self, plan: SessionPlan) -> None:
        """Saves a plan in place of the one with its id."""
        ...

    async def remove_plan(self, plan_id: str) -> None:
        """Takes a plan away, known here or not."""
        ...

    async def drafts(self) -> tuple[KeptDraft, ...]:
        """Plans that are being written on this device, by id."""
        ...

    async def save_draft(self, draft: KeptDraft) -> None:
        """Saves a draft in place of the one with its id."""
        ...

    async def remove_draft(self, draft_id: str) -> None:
        """Takes a draft away, known here or not."""
        ...

    async def save_record(self, record: Record) -> bool:
        """Saves a record; the same one again changes nothing. False when it was erased and stays so."""
        ...

    async def record(self, record_id: str) -> Record | None:
        """A record as it was saved, without its amendments."""
        ...

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        """Records as they were saved, by the local date of their start, in order of time."""
        ...

    async def amend(self, amendment: Amendment) -> None:
        """Adds an amendment; the same one again, or one to an erased record, changes nothing."""
        ...

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        """The amendments of one record, in order of time."""
        ...

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        """The amendments of all records of a period, in order of time."""
        ...

    async def erase_record(self, record_id: str, *, at: datetime) -> None:
        """Erases a record and its amendments, known here or not, and leaves a tombstone."""
        ...

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        """Erases everything, the session in progress too, and leaves tombstones; the ids of the records."""
        ...

    async def tombstones(self) -> tuple[Tombstone, ...]: ...

    async def adjustments(self) -> tuple[Adjustment, ...]:
        """What coaches asked and the person took, the earliest made first."""
        ...

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        """Takes an adjustment; the same one again changes nothing."""
        ...

    async def week_notes(self) -> tuple[WeekNote, ...]:
        """What was said about weeks, the earliest week first."""
        ...

    async def save_week_note(self, note: WeekNote) -> None:
        """Saves a note in place of the one on its week."""
        ...

    async def week_index(self) -> tuple[WeekReview, ...]:
        """The figures of every week that has records, from records as amended, the earliest week first."""
        ...

    async def last_loads(self) -> tuple[LastLoad, ...]:
        """For each form, kit, interval and tempo the load lifted last, from records as amended."""
        ...

    async def history(self) -> History:
        """What earlier sessions say about the next one, from records as amended."""
        ...

    async def open_run(self, opening: RunningRecord) -> None:
        """Begins the running record of a session; ``opening`` holds no events yet."""
        ...

    async def append(self, event: Event) -> None:
        """Adds an event to the session in progress. Once this returns, the event is acknowledged."""
        ...

    async def running(self) -> RunningRecord | None:
        """The session in progress, also after a crash. It is over once a record with its id is saved."""
        ...

    async def close_run(self) -> None:
        """Ends the session in progress; called after its record is saved, or to throw it away."""
        ...

    async def troubles(self) -> tuple[Trouble, ...]:
        """What was found damaged since the store was opened, and what was done about it: to be shown."""
        ...


async def amended_records(store: Store, period: str | None = None) -> tuple[Record, ...]:
    """The records of a period as corrected, in order of time."""
    return as_amended(await store.records(period), await store.amendments_in(period))


class Standing(StrEnum):
    """What a window may do with what is kept, and why not more."""

    owner = "owner"
    another_window = "another_window"
    another_program = "another_program"
    taken_over = "taken_over"
    released = "released"
