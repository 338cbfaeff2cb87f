"""The store in a folder on the disk.

    profile.json  kit.json  plans.json  drafts.json
    settings.json                        one file a concern
    sessions/….json                      a session each: its record and amendments, or its tombstone
    index/2026.json …  history.json      weekly figures and history, made again where sessions have changed
    running.jsonl                        the session in progress

What is replaced stays as the generation before, except for what can be made again. Nothing is held in memory
between two calls but what still is as it was read, so that a store may be left and another one opened over
the same folder at any time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from functools import lru_cache
from pathlib import Path
from typing import TypeVar
from uuid import uuid4

from engine.base.model import Model, revision_of
from engine.base.periods import months_of
from engine.live.events import Event, RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.record import Amendment, Profile, Record
from engine.record.week import WeekReview
from storage.files.durable import Documents, DurableStorage
from storage.folder.erase import erase_all, forget_set_aside
from storage.folder.history import HistoryFolds
from storage.folder.running import RunningFile
from storage.folder.sessions import SessionFiles
from storage.folder.version_1 import months_of_older_layout, split
from storage.folder.weeks import Memory, WeekIndex
from storage.models import KeptDraft, KitOwned, LastLoad, Settings, Tombstone, WeekNote
from storage.problem import Cause, StorageProblem, Trouble
from storage.rules import by_time, in_order, in_order_made, may_open

One = TypeVar("One", bound=Model)
_ONLY = "only"
"""Table and key of a file that holds one document."""
MOST_READ_AT_ONCE = 32
"""Sessions kept in memory while they are counted: more than a block of weeks usually has."""


def _always() -> bool:
    return True


@contextmanager
def _understood(name: str) -> Iterator[None]:
    try:
        yield
    except (ValueError, TypeError):  # Of a document that does not fit, or of what is none.
        raise StorageProblem(Cause.not_understood, f"{name}.json") from None


class NativeStore:
    """Keeps everything in one data folder.

    ``may_write`` is asked before each change: a window that is not the owner of the folder reads and changes
    nothing, and gets a StorageProblem when it tries.
    """

    def __init__(self, folder: Path, *, may_write: Callable[[], bool] = _always) -> None:
        self.folder, self._may_write = folder, may_write
        self._troubles: list[Trouble] = []
        self._memory = Memory({}, {})
        self._last_index: WeekIndex | None = None
        self._files = SessionFiles(folder / "sessions", self._documents, said=self._say, may_write=may_write)
        self._run = RunningFile(folder / "running.jsonl", said=self._say)

    async def profile(self) -> Profile | None:
        return self._one("profile", Profile)

    async def save_profile(self, profile: Profile) -> None:
        self._save_one("profile", profile)

    async def kit(self) -> KitOwned | None:
        return self._one("kit", KitOwned)

    async def save_kit(self, kit: KitOwned) -> None:
        self._save_one("kit", kit)

    async def settings(self) -> Settings:
        return self._one("settings", Settings) or Settings()

    async def save_settings(self, settings: Settings) -> None:
        self._save_one("settings", settings)

    async def plans(self) -> tuple[SessionPlan, ...]:
        with _understood("plans"):
            held = [SessionPlan.model_validate(one) for one in self._file("plans").each("plans")]
        return tuple(sorted(held, key=lambda plan: (plan.name, plan.id)))

    async def plan(self, plan_id: str) -> SessionPlan | None:
        with _understood("plans"):
            held = self._file("plans").held("plans", plan_id)
            return None if held is None else SessionPlan.model_validate(held)

    async def save_plan(self, plan: SessionPlan) -> None:
        self.need_ownership()
        self._file("plans").put("plans", plan.id, plan.model_dump(mode="json"))

    async def remove_plan(self, plan_id: str) -> None:
        self.need_ownership()
        self._remove_one("plans", plan_id)

    async def replace_plans(self, plans: Iterable[SessionPlan]) -> None:
        """Saves these plans in the place of all there are."""
        self.need_ownership()
        held = {plan.id: plan.model_dump(mode="json") for plan in plans}
        self._file("plans").storage.write({"plans": held})

    async def drafts(self) -> tuple[KeptDraft, ...]:
        with _understood("drafts"):
            held = [KeptDraft.model_validate(one) for one in self._file("drafts").each("drafts")]
        return tuple(sorted(held, key=lambda draft: draft.id))

    async def save_draft(self, draft: KeptDraft) -> None:
        self.need_ownership()
        self._file("drafts").put("drafts", draft.id, draft.model_dump(mode="json"))

    async def remove_draft(self, draft_id: str) -> None:
        self.need_ownership()
        self._remove_one("drafts", draft_id)

    async def save_record(self, record: Record) -> bool:
        self.need_ownership()
        return self.sessions.add(record)

    async def record(self, record_id: str) -> Record | None:
        return self.sessions.session(record_id).record

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        held = (self.sessions.readable(name) for name in self._within(period))
        return in_order(one.record for one in held if one and one.record)

    async def amend(self, amendment: Amendment) -> None:
        self.need_ownership()
        self.sessions.amend(amendment)

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        return self.sessions.session(record_id).amendments

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        names = self._within(period)
        return by_time(amendment for name in names for amendment in self.sessions.amendments(name))

    async def erase_record(self, record_id: str, *, at: datetime) -> None:
        self.need_ownership()
        forget_set_aside(self.folder, record_id)
        self.sessions.erase(Tombstone(record_id=record_id, erased_at=at))
        run = self._run.read()
        if run is not None and run.run_id == record_id:
            self._run.close()
        index = self._index()
        index.forget()
        self._folds(index).forget()

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        self.need_ownership()
        erased = erase_all(self.folder, self.sessions, at=at)
        await self.week_index()
        return erased

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return self._index().tombstones()

    async def adjustments(self) -> tuple[Adjustment, ...]:
        with _understood("adjustments"):
            held = [Adjustment.model_validate(one) for one in self._file("adjustments").each("adjustments")]
        return in_order_made(held)

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        self.need_ownership()
        document = adjustment.model_dump(mode="json")
        self._file("adjustments").put("adjustments", revision_of(adjustment), document)

    async def replace_adjustments(self, adjustments: Iterable[Adjustment]) -> None:
        """Saves these in the place of all there are."""
        self.need_ownership()
        held = {revision_of(one): one.model_dump(mode="json") for one in adjustments}
        self._file("adjustments").storage.write({"adjustments": held})

    async def week_notes(self) -> tuple[WeekNote, ...]:
        with _understood("week-notes"):
            held = [WeekNote.model_validate(one) for one in self._file("week-notes").each("notes")]
        return tuple(sorted(held, key=lambda note: note.iso_week))

    async def save_week_note(self, note: WeekNote) -> None:
        self.need_ownership()
        self._file("week-notes").put("notes", note.iso_week, note.model_dump(mode="json"))

    async def replace_week_notes(self, notes: Iterable[WeekNote]) -> None:
        """Saves these notes in the place of all there are."""
        self.need_ownership()
        held = {note.iso_week: note.model_dump(mode="json") for note in notes}
        self._file("week-notes").storage.write({"notes": held})

    async def week_index(self) -> tuple[WeekReview, ...]:
        return self._index().weeks()

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return self._folds(self._index()).loads()

    async def history(self) -> History:
        return self._folds(self._index()).history()

    async def open_run(self, opening: RunningRecord) -> None:
        self.need_ownership()
        may_open(await self.running(), opening)
        self._run.open(opening)

    async def append(self, event: Event) -> None:
        self.need_ownership()
        self._run.append(event)

    async def running(self) -> RunningRecord | None:
        if self._may_write():
            self._run.mend()
        run = self._run.read()
        if run is None or not self.sessions.exists(run.run_id):
            return run
        if self._may_write():
            self._run.close()
        return None

    async def close_run(self) -> None:
        self.need_ownership()
        self._run.close()

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._troubles)

    def device(self) -> str:
        """The id of this data folder among those that share records, made when it is first asked for."""
        file = self._file("device")
        held = file.held(_ONLY, _ONLY)
        if held is None:
            self.need_ownership()
            held = {"id": str(uuid4())}
            file.put(_ONLY, _ONLY, held)
        return str(held["id"])

    def need_ownership(self) -> None:
        if not self._may_write():
            raise StorageProblem(Cause.not_owner)

    def _say(self, trouble: Trouble) -> None:
        if trouble not in self._troubles:
            self._troubles.append(trouble)

    def _documents(self, path: Path, format: str) -> Documents:
        return Documents(
            path, storage=DurableStorage, format=format, said=self._say, may_repair=self._may_write()
        )

    @property
    def sessions(self) -> SessionFiles:
        """The sessions; those that lie in files of an older layout get files of their own first."""
        months = months_of_older_layout(self.folder)
        self._files.older = split(months, self._documents, self._files, may_write=self._may_write())
        return self._files

    def _index(self) -> WeekIndex:
        """The index of the sessions as they are now; the last one where they are still the same."""
        sessions = self.sessions
        if self._last_index is None or self._last_index.stamps is not sessions.stamps():
            read = lru_cache(MOST_READ_AT_ONCE)(sessions.readable)
            folder, may_write = self.folder / "index", self._may_write()
            self._last_index = WeekIndex(
                folder, sessions, read=read, may_write=may_write, memory=self._memory
            )
        return self._last_index

    def _folds(self, index: WeekIndex) -> HistoryFolds:
        path = self.folder / "history.json"
        return HistoryFolds(path, index, read=index.read, may_write=self._may_write(), seen=self._memory.seen)

    def _within(self, period: str | None) -> tuple[str, ...]:
        if period is not None:
            months_of(period)
        return tuple(self._index().within(period))

    def _file(self, name: str) -> Documents:
        return self._documents(self.folder / f"{name}.json", f"{name}-file")

    def _one(self, name: str, model: type[One]) -> One | None:
        with _understood(name):
            held = self._file(name).held(_ONLY, _ONLY)
            return None if held is None else model.model_validate(held)

    def _save_one(self, name: str, document: Model) -> None:
        self.need_ownership()
        self._file(name).put(_ONLY, _ONLY, document.model_dump(mode="json"))

    def _remove_one(self, name: str, key: str) -> None:
        file = self._file(name)
        if file.held(name, key) is not None:
            file.table(name).remove(doc_ids=[key])  # type: ignore[list-item]
