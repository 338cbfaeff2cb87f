"""The session in progress, in the browser's database: a document for its opening and one for each event."""

from __future__ import annotations

from engine.base.message import Count, message
from engine.live.events import EVENTS, Event, RunningRecord
from storage.browser.documents import ShelvedModels
from storage.browser.shelves import Ask, Document, Put, Remove
from storage.journal import SoundPart, line_of, sound_part
from storage.problem import Cause, StorageProblem, Trouble
from storage.rules import is_next, may_open

_OPENING = "00000000"
"""Key of a running record's opening; its events follow by their number."""


class BrowserRun:
    """The running record. It is over once a session with its id was saved or erased."""

    def __init__(self, models: ShelvedModels) -> None:
        self._models = models
        self._last: Event | None = None
        self._is_known = False
        """Whether a run is open and ``_last`` is its last event."""
        self._refused = ""
        """The run whose opening was refused, though it may be there."""

    def forget(self) -> None:
        """Forgets what was read, because the shelf is empty now."""
        self._last, self._is_known = None, False

    async def open(self, opening: RunningRecord) -> None:
        async with self._models.changing:
            may_open(await self._read(), opening)
            self._refused = opening.run_id
            head = Document(_OPENING, opening.model_dump_json(exclude={"events"}))
            await self._models.change(Remove("run"), Put("run", head, new=True))
            self._last, self._is_known, self._refused = None, True, ""

    async def append(self, event: Event) -> None:
        async with self._models.changing:
            self._models.need_ownership()
            if not self._is_known and await self._read() is None:
                raise StorageProblem(Cause.no_run)
            if is_next(self._last, event):
                await self._append(event)

    async def _append(self, event: Event) -> None:
        document = Document(f"{event.seq:08}", EVENTS.dump_json(event).decode())
        try:
            await self._models.change(Put("run", document, new=True))
        except StorageProblem:
            self._is_known = False  # The event may be saved or not: the next call reads what is there.
            raise
        self._last = event

    async def read(self) -> RunningRecord | None:
        async with self._models.changing:
            return await self._read()

    async def _read(self) -> RunningRecord | None:
        (lines,) = await self._models.shelves.read(Ask("run"))
        self._is_known = False
        found = await self._mended(lines) if lines else None
        if found is None or await self._is_over(found.record.run_id):
            return None
        self._is_known = True
        self._last = found.record.events[-1] if found.record.events else None
        return found.record

    async def _is_over(self, run_id: str) -> bool:
        """Whether its record is saved or erased, or its opening was refused; the run is then removed."""
        saved, erased = await self._models.shelves.read(Ask("records", run_id), Ask("tombstones", run_id))
        is_over = bool(saved or erased) or run_id == self._refused
        if is_over and self._models.may_write():
            await self._models.change(Remove("run"))
        return is_over

    async def _mended(self, lines: list[Document]) -> SoundPart | None:
        """The sound part. What cannot be read is put aside and told, never thrown away."""
        content = b"".join(line_of(line.text.encode()) + b"\n" for line in lines)
        found = sound_part(content, "running record")
        sound = 1 + len(found.record.events) if found else 0
        if sound < len(lines) and self._models.may_write():
            copy = Document(f"run {lines[0].key} {len(content)}", content.decode())
            await self._models.change(
                Put("aside", copy), *(Remove("run", line.key) for line in lines[sound:])
            )
            self._models.troubles.append(
                Trouble(
                    "running record",
                    (message("run_damaged_after", step=Count(count=max(sound - 1, 0))),),
                )
            )
        return found

    async def close(self) -> None:
        async with self._models.changing:
            await self._models.change(Remove("run"))
            self.forget()
