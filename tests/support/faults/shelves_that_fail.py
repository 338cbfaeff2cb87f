"""A browser's database that refuses, or dies, at chosen steps: each question and each change is one."""

from __future__ import annotations

from collections.abc import Callable

from disk_model import Death

from storage.browser.memory_shelves import MemoryShelves
from storage.browser.shelves import Ask, Document, Put, Remove
from storage.problem import Cause, StorageProblem

CAUSES = (Cause.browser_full, Cause.browser_refuses, Cause.browser_fault)


class ShelvesThatFail(MemoryShelves):
    """``fails`` says with which cause a step fails; ``is_kept`` whether its change is kept all the same.

    A browser may close the database, or a transaction that is on the disk may be answered with an error.
    """

    def __init__(self, kept: dict[str, dict[str, Document]] | None = None) -> None:
        super().__init__()
        if kept is not None:
            self.kept = {shelf: dict(documents) for shelf, documents in kept.items()}
        self.mend()
        self.dies_at, self.steps, self.failed, self.is_kept = 0, 0, 0, False

    def mend(self) -> None:
        self.fails: Callable[[int], Cause | None] = lambda _: None

    async def read(self, *asked: Ask) -> list[list[Document]]:
        self._step()
        return await super().read(*asked)

    async def change(self, *changes: Put | Remove) -> None:
        try:
            self._step()
        except (StorageProblem, Death):
            if self.is_kept:
                await super().change(*changes)
            raise
        await super().change(*changes)

    def _step(self) -> None:
        self.steps += 1
        cause = self.fails(self.steps)
        if cause is not None:
            self.failed += 1
            raise StorageProblem(cause, "this browser's storage", "it was closed")
        if self.steps == self.dies_at:
            raise Death
