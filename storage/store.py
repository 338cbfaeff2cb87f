"""What the application asks of storage. One suite of tests runs over every implementation.

Every call is awaited, because the browser requires it. Once a call returns, its change is durable. Calls
raise StorageProblem, with one sentence to show, when the disk or the rules of storage refuse. A period is a
month (2026-03), an ISO week (2026-W11), or None for all.
"""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from typing import Protocol

from engine.live.events import Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.amendment import Amendment
from engine.record.history import History
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile
from engine.record.record import Record
from engine.record.week import WeekReview
from engine.today.said import SaidToday
from storage.derived import as_amended
from storage.models import KitOwned, LastLoad, SavedDraft, Settings, Tombstone, WeekNote
from storage.problem import Trouble


class PersonStore(Protocol):
    """Who the person is, what they own and said, and how this device is set."""

    async def profile(self) -> Profile | None: ...

    async def save_profile(self, profile: Profile) -> None: ...

    async def kit(self) -> KitOwned | None: ...

    async def save_kit(self, kit: KitOwned) -> None: ...

    async def settings(self) -> Settings:
        """The settings of this device; the defaults where nobody has changed them."""
        ...

    async def save_settings(self, settings: Settings) -> None: ...

    async def said_today(self) -> SaidToday | None:
        """What was said about the day last spoken of, over or not."""
        ...

    async def save_said_today(self, said: SaidToday) -> None: ...

    async def adjustments(self) -> tuple[Adjustment, ...]:
        """What coaches asked and the person took, the earliest made first."""
        ...

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        """Takes an adjustment; the same one again changes nothing."""
        ...

    async def remove_adjustment(self, adjustment: Adjustment) -> None:
        """Removes an adjustment, whether it was taken here or not."""
        ...

    async def week_notes(self) -> tuple[WeekNote, ...]:
        """What was said about weeks, the earliest week first."""
        ...

    async def save_week_note(self, note: WeekNote) -> None:
        """Saves a note in place of the one on its week."""
        ...


class PlanStore(Protocol):
    """Plans to train by, and drafts that a coach is still writing."""

    async def all(self) -> tuple[SessionPlan, ...]:
        """Every plan, by name."""
        ...

    async def one(self, plan_id: str) -> SessionPlan | None: ...

    async def save(self, *plans: SessionPlan) -> None:
        """Saves plans in place of those with their ids, all or none of them."""
        ...

    async def remove(self, plan_id: str) -> None:
        """Removes a plan, whether it is known here or not."""
        ...

    async def drafts(self) -> tuple[SavedDraft, ...]:
        """Plans that are being written on this device, by id."""
        ...

    async def save_draft(self, draft: SavedDraft) -> None:
        """Saves a draft in place of the one with its id."""
        ...

    async def remove_draft(self, draft_id: str) -> None:
        """Removes a draft, whether it is known here or not."""
        ...


class SessionStore(Protocol):
    """Sessions that are over: records, their amendments, and what is derived from them."""

    async def save(self, record: Record) -> bool:
        """Saves a record; the same one again changes nothing. False when it was erased, and stays erased."""
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

    async def erase(self, record_id: str, *, at: datetime) -> None:
        """Erases a record and its amendments, or a pain note, known here or not, and leaves a tombstone."""
        ...

    async def pain_notes(self) -> tuple[NotedPain, ...]:
        """Pain that was noted without a session, in order of time."""
        ...

    async def save_pain_note(self, note: NotedPain) -> bool:
        """Saves a pain note; the same one again changes nothing. False when it was erased and stays so."""
        ...

    async def tombstones(self) -> tuple[Tombstone, ...]: ...

    async def week_index(self) -> tuple[WeekReview, ...]:
        """The figures of every week that has records, from records as amended, the earliest week first."""
        ...

    async def last_loads(self) -> tuple[LastLoad, ...]:
        """The load lifted last for each variant, kit, interval and tempo, from records as amended."""
        ...

    async def history(self) -> History:
        """What earlier sessions say about the next one, from records as amended."""
        ...


class RunStore(Protocol):
    """The session in progress; there is at most one."""

    async def open(self, opening: RunningRecord) -> None:
        """Begins the running record of a session; ``opening`` holds no events yet."""
        ...

    async def append(self, event: Event) -> None:
        """Adds an event to the session in progress. Once this returns, the event is acknowledged."""
        ...

    async def read(self) -> RunningRecord | None:
        """The session in progress, even after a crash. It is over once a record with its id is saved."""
        ...

    async def close(self) -> None:
        """Removes the running record, after the session's record is saved or to throw the session away."""
        ...


class Store(Protocol):
    """All that is stored for one person, in four parts."""

    @property
    def person(self) -> PersonStore: ...

    @property
    def plans(self) -> PlanStore: ...

    @property
    def sessions(self) -> SessionStore: ...

    @property
    def run(self) -> RunStore: ...

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        """Erases everything, even the session in progress, but tombstones; returns the ids of the records."""
        ...

    async def device(self) -> str:
        """The id of this store among the devices that share a person's records, made at the first call."""
        ...

    async def removed(self) -> frozenset[str]:
        """The revisions of plans and adjustments that were removed here, which no merge brings back."""
        ...

    async def settle(self) -> None:
        """Returns once all that can be read here is durable, even what a refused change has left behind."""
        ...

    async def troubles(self) -> tuple[Trouble, ...]:
        """What was found damaged since the store was opened and what was done about it, to be shown."""
        ...


async def amended_records(store: Store, period: str | None = None) -> tuple[Record, ...]:
    """The records of a period as corrected, in order of time."""
    return as_amended(await store.sessions.records(period), await store.sessions.amendments_in(period))


class WriteAccess(StrEnum):
    """Whether a window may write, and if not, who or what keeps it from writing."""

    owner = "owner"
    another_window = "another_window"
    another_program = "another_program"
    another_computer = "another_computer"
    taken_over = "taken_over"
    released = "released"
