"""What waits to be written in the running record. A disk that refuses, or hangs, holds nobody up."""

from __future__ import annotations

import asyncio

from companion.actions.context import Context
from companion.actions.keeping import SLOW_AFTER_S, TRY_AGAIN_MS
from companion.state.live import Live
from companion.words.saying import msgid, said, say
from storage.problem import StorageProblem

HANGS = msgid("Not saved yet: the disk does not answer.")
REFUSED = msgid("Not saved yet. {problem}")
MEANWHILE = msgid("The session goes on and saving is tried again: keep this window open.")


class Writing:
    """Writes the events of the session in progress, each in its turn."""

    def __init__(self, context: Context) -> None:
        self._context = context
        self._task: asyncio.Task[None] | None = None

    async def save(self) -> None:
        """Returns once all that waits is written, or said to be unsaved."""
        live = self._context.state.run.live
        if live is None or not live.unsaved:
            return
        task = self._task
        if task is None or task.done():
            task = self._task = asyncio.ensure_future(self._write(live))
        elif live.not_saved:
            return  # it hangs already; what came since is written after it
        await asyncio.wait({task}, timeout=SLOW_AFTER_S)
        if task.done():
            task.result()
        else:
            self._say(live, say(HANGS))

    async def save_again(self) -> None:
        """Is called often: tries again what could not be written before."""
        live, now_ms = self._context.state.run.live, self._context.clock.monotonic_ms()
        if live is not None and live.unsaved and now_ms - live.tried_at_ms >= TRY_AGAIN_MS:
            live.tried_at_ms = now_ms
            await self.save()

    async def _write(self, live: Live) -> None:
        try:
            while live.unsaved and self._context.state.run.live is live:
                await self._context.store.run.append(live.unsaved[0])
                live.unsaved = live.unsaved[1:]
        except StorageProblem as problem:
            live.tried_at_ms = self._context.clock.monotonic_ms()
            self._say(live, say(REFUSED, problem=said(problem.what)))
        else:
            self._say(live, "")

    def _say(self, live: Live, problem: str) -> None:
        """Says that events are not saved, and why; nothing where all are."""
        said = f"{problem} {say(MEANWHILE)}" if problem else ""
        if said != live.not_saved:
            live.not_saved = said
            self._context.state.on_change()
