"""What a person says or chooses counts at once. Where it cannot be saved, that is said and tried again."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

from companion.services.clock import Clock
from companion.state.app import State
from companion.words.saying import msgid, said, say
from storage.problem import StorageProblem

SLOW_AFTER_S = 1.0
"""After this long a write counts as hanging. † Our judgement, no source."""
TRY_AGAIN_MS = 2_000
"""How long to wait before a refused write is tried again. † Our judgement, no source."""
NOT_YET = msgid("Not saved yet.")
WAITS = msgid("It counts all the same and is tried again: keep this window open.")

Write = Callable[[], Awaitable[None]]


class Keeping:
    """Saves the latest word on each matter, one write after the other."""

    def __init__(self, state: State, clock: Clock) -> None:
        self._state, self._clock = state, clock
        self._writing = asyncio.Lock()
        self._waiting: dict[str, Write] = {}
        self._tried_at_ms = 0

    async def keep(self, matter: str, write: Write) -> None:
        """Saves what was said about a matter, in place of what still waits about it.

        Returns once it is saved, or said to be unsaved. Raises StorageProblem where no later try can help.
        """
        self._waiting[matter] = write
        await self._save()

    async def try_again(self) -> None:
        """Is called often: saves what could not be saved before. A disk that hangs holds nobody up."""
        is_due = self._clock.monotonic_ms() - self._tried_at_ms >= TRY_AGAIN_MS
        if self._waiting and is_due and not self._writing.locked():
            await asyncio.wait({asyncio.ensure_future(self._save())}, timeout=SLOW_AFTER_S)

    def forget(self) -> None:
        """Lets nothing of what waits be saved any more, because everything is erased."""
        self._waiting.clear()
        self._say("")

    async def _save(self) -> None:
        async with self._writing:
            refused = ""
            for matter, write in tuple(self._waiting.items()):
                try:
                    await write()
                except StorageProblem as problem:
                    if not problem.may_pass:
                        del self._waiting[matter]
                        raise
                    refused = said(problem.what)
                else:
                    self._is_saved(matter, write)
            self._tried_at_ms = self._clock.monotonic_ms()
            self._say(f"{say(NOT_YET)} {refused} {say(WAITS)}" if refused else "")

    def _is_saved(self, matter: str, write: Write) -> None:
        if self._waiting.get(matter) is write:  # else a later word about it waits for its turn
            del self._waiting[matter]

    def _say(self, said: str) -> None:
        if said != self._state.not_saved:
            self._state.not_saved = said
            self._state.on_change()
