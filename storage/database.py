"""The store in a folder on the disk.

    profile.json  kit.json  plans.json   one file a concern
    records/2026-03.json …               records, amendments and tombstones of a month
    index.json  history.json             weekly figures and history, made again from months that have changed
    running.jsonl                        the session in progress

Every file is kept in two generations. Nothing is held in memory between two calls, so that a store may be
left and another one opened over the same folder at any time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import TypeVar

from engine.events import Event, RunningRecord
from engine.history import History
from engine.model import Model
from engine.plan import SessionPlan
from engine.record import Amendment, Profile, Record
from engine.review import WeekReview
from storage.count import in_order
from storage.durable import Documents, DurableStorage
from storage.histories import HistoryFolds
from storage.models import KitOwned, LastLoad, Tombstone
from storage.months import MonthFiles, ReadMonth
from storage.periods import month_of, months_of
from storage.problem import Cause, StorageProblem, Trouble
from storage.rules import by_time, is_new, may_open
from storage.running import RunningFile
from storage.weeks import WeekIndex

One = TypeVar("One", bound=Model)
_ONLY = "only"
"""Table and key of a file that holds one document."""


def _always() -> bool:
    return True


class NativeStore:
    """Keeps everything in one data folder.

    ``may_write`` is asked before each change: a window that is not the owner of the folder reads and changes
    nothing, and gets a StorageProblem when it tries.
    """

    def __init__(self, folder: Path, *, may_write: Callable[[], bool] = _always) -> None:
        self.folder, self._may_write = folder, may_write
        self._troubles: list[Trouble] = []
        self._months = MonthFiles(folder / "records", self._documents)
        self._run = RunningFile(folder / "running.jsonl", said=self._say)

    async def profile(self) -> Profile | None:
        return self._one("profile", Profile)

    async def save_profile(self, profile: Profile) -> None:
        self._save_one("profile", profile)

    async def kit(self) -> KitOwned | None:
        return self._one("kit", KitOwned)

    async def save_kit(self, kit: KitOwned) -> None:
        self._save_one("kit", kit)

    async def plans(self) -> tuple[SessionPlan, ...]:
        held = (SessionPlan.model_validate(one) for one in self._file("plans").each("plans"))
        return tuple(sorted(held, key=lambda plan: (plan.name, plan.id)))

    async def plan(self, plan_id: str) -> SessionPlan | None:
        held = self._file("plans").held("plans", plan_id)
        return None if held is None else SessionPlan.model_validate(held)

    async def save_plan(self, plan: SessionPlan) -> None:
        self._need_ownership()
        self._file("plans").put("plans", plan.id, plan.model_dump(mode="json"))

    async def save_record(self, record: Record) -> bool:
        self._need_ownership()
        index = self._index()
        if index.is_erased(record.id):
            return False
        month = index.month_of(record.id)
        if month is None:
            self._months.add(record)
            self._refresh()
        else:
            is_new(self._months.record(month, record.id), record)
        return True

    async def record(self, record_id: str) -> Record | None:
        month = self._index().month_of(record_id)
        return None if month is None else self._months.record(month, record_id)

    async def records(self, period: str | None = None) -> tuple[Record, ...]:
        return in_order(record for one in self._periods(period) for record in self._months.records(one))

    async def amend(self, amendment: Amendment) -> None:
        self._need_ownership()
        index = self._index()
        if index.is_erased(amendment.record_id):
            return
        month = index.month_of(amendment.record_id)
        if month is None:
            raise StorageProblem(Cause.no_such_record, amendment.record_id)
        self._months.amend(month, amendment)
        self._refresh()

    async def amendments(self, record_id: str) -> tuple[Amendment, ...]:
        month = self._index().month_of(record_id)
        held = self._months.amendments(month) if month else ()
        return tuple(one for one in held if one.record_id == record_id)

    async def amendments_in(self, period: str | None = None) -> tuple[Amendment, ...]:
        held = {record.id for record in await self.records(period)}
        months = {month for one in self._periods(period) for month in months_of(one)}
        found = (one for month in months for one in self._months.amendments(month))
        return by_time(one for one in found if one.record_id in held)

    async def erase_record(self, record_id: str, *, at: datetime) -> None:
        self._need_ownership()
        month = self._index().month_of(record_id) or month_of(at)
        self._months.erase(month, Tombstone(record_id=record_id, erased_at=at))
        self._index().forget_previous()
        self._folds().forget_previous()

    async def tombstones(self) -> tuple[Tombstone, ...]:
        return self._index().tombstones()

    async def week_index(self) -> tuple[WeekReview, ...]:
        return self._index().weeks()

    async def last_loads(self) -> tuple[LastLoad, ...]:
        return self._index().loads()

    async def history(self) -> History:
        return self._folds().history()

    async def open_run(self, opening: RunningRecord) -> None:
        self._need_ownership()
        may_open(await self.running(), opening)
        self._run.open(opening)

    async def append(self, event: Event) -> None:
        self._need_ownership()
        self._run.append(event)

    async def running(self) -> RunningRecord | None:
        if self._may_write():
            self._run.mend()
        run = self._run.read()
        if run is None or self._index().month_of(run.run_id) is None:
            return run
        if self._may_write():
            self._run.close()
        return None

    async def close_run(self) -> None:
        self._need_ownership()
        self._run.close()

    async def troubles(self) -> tuple[Trouble, ...]:
        return tuple(self._troubles)

    def _need_ownership(self) -> None:
        if not self._may_write():
            raise StorageProblem(Cause.not_owner)

    def _say(self, trouble: Trouble) -> None:
        if trouble not in self._troubles:
            self._troubles.append(trouble)

    def _documents(self, path: Path, format: str) -> Documents:
        return Documents(
            path, storage=DurableStorage, format=format, said=self._say, may_repair=self._may_write()
        )

    def _index(self, read: ReadMonth | None = None) -> WeekIndex:
        path, read = self.folder / "index.json", read or cache(self._months.amended)
        return WeekIndex(path, self._months, self._documents, read=read, may_write=self._may_write())

    def _folds(self, read: ReadMonth | None = None) -> HistoryFolds:
        path, read = self.folder / "history.json", read or cache(self._months.amended)
        return HistoryFolds(path, self._months, self._documents, read=read, may_write=self._may_write())

    def _refresh(self) -> None:
        """Counts now what the next reader would have to wait for; a month that was changed is read once."""
        read = cache(self._months.amended)
        self._index(read).refresh()
        self._folds(read).refresh()

    def _periods(self, period: str | None) -> Iterable[str]:
        return (period,) if period is not None else self._months.checksums()

    def _file(self, name: str) -> Documents:
        return self._documents(self.folder / f"{name}.json", f"{name}-file")

    def _one(self, name: str, model: type[One]) -> One | None:
        held = self._file(name).held(_ONLY, _ONLY)
        return None if held is None else model.model_validate(held)

    def _save_one(self, name: str, document: Model) -> None:
        self._need_ownership()
        self._file(name).put(_ONLY, _ONLY, document.model_dump(mode="json"))
