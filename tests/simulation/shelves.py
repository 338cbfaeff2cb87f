"""Shelves in memory that refuse, are full, or die before or after a step, and the lock between windows."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from simulation.disk import Death, Fault

from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Ask, Document, KeyTaken, Put, Remove
from storage.problem import Cause, StorageProblem
from storage.store import WriteAccess

CAUSES = (Cause.browser_full, Cause.browser_refuses, Cause.browser_fault)


RUNNING = ("records", "running.jsonl")
"""Where a disk keeps the running record."""


class SimulatedShelves(MemoryShelves):
    """A database of a browser. Each change is one step: it is kept in full, or nothing of it is."""

    def __init__(self, draw: Random) -> None:
        super().__init__()
        self._draw = draw
        self.fault: Fault | None = None
        self.steps = self.refused = 0
        self.dead = False

    def plant(self, fault: Fault | None) -> None:
        self.fault, self.steps = fault, 0

    async def read(self, *asked: Ask) -> list[list[Document]]:
        if self.dead:
            raise Death
        if self.fault is not None and self.fault.reads and self.fault.code and self._is_due():
            raise self._problem()
        return await super().read(*asked)

    async def change(self, *changes: Put | Remove) -> None:
        if self.dead:
            raise Death
        if not self._is_due():
            self._enter(*changes)
            return
        assert self.fault is not None
        if self.fault.code:
            raise self._problem()
        if self._draw.random() < 0.5:
            self._enter(*changes)
        self.dead = True
        raise Death

    def _is_due(self) -> bool:
        fault = self.fault
        if fault is None:
            return False
        self.steps += 1
        due = fault.at <= self.steps < fault.at + fault.steps
        fault.hit = fault.hit or due
        return due

    def _problem(self) -> StorageProblem:
        assert self.fault is not None
        self.refused += 1
        return StorageProblem(CAUSES[self.fault.code % len(CAUSES)], "this browser's storage", "simulated")

    def _enter(self, *changes: Put | Remove) -> None:
        """Does what ``MemoryShelves.change`` does, and copies only the shelves that change."""
        after = {change.shelf: dict(self.kept[change.shelf]) for change in changes}
        for change in changes:
            shelf = after[change.shelf]
            if isinstance(change, Put):
                if change.new and change.document.key in shelf:
                    raise KeyTaken
                shelf[change.document.key] = change.document
            elif change.key is None:
                shelf.clear()
            else:
                shelf.pop(change.key, None)
        self.kept |= after

    def flip_a_bit(self, path: tuple[str, ...]) -> bool:
        """Damages one document of the running record; False where there is none."""
        held = sorted(self.kept["run"].values())
        if not held or path != RUNNING:
            return False
        one = self._draw.choice(held)
        at = self._draw.randrange(len(one.text))
        self.kept["run"] = self.kept["run"] | {one.key: one._replace(text=one.text[:at])}
        return True

    def everything(self) -> dict[str, bytes]:
        """The text of every document by its place."""
        return {
            f"{shelf}/{key}": one.text.encode()
            for shelf, documents in self.kept.items()
            for key, one in documents.items()
        }


class SimulatedLock:
    """The lock of one browser: one window at a time holds it, the others stand in line."""

    def __init__(self) -> None:
        self.line: list[LockHold] = []

    @property
    def holder(self) -> LockHold | None:
        return next((one for one in self.line if one.access is WriteAccess.owner), None)


class LockHold:
    """One window's place in the line."""

    def __init__(self, lock: SimulatedLock, on_lost: Callable[[], None]) -> None:
        self._lock, self._on_lost = lock, on_lost
        self.access = WriteAccess.another_window

    def holds(self) -> bool:
        return self.access is WriteAccess.owner

    def take(self, *, take_over: bool = False) -> None:
        holder = self._lock.holder
        if self not in self._lock.line:
            self._lock.line.append(self)
        if holder is None or take_over:
            self.access = WriteAccess.owner
            if holder is not None and holder is not self:
                holder.access = WriteAccess.taken_over
                holder._on_lost()

    def release(self) -> None:
        if self in self._lock.line:
            self._lock.line.remove(self)
        held, self.access = self.holds(), WriteAccess.released
        if held and self._lock.line:
            self._lock.line[0].access = WriteAccess.owner
