"""A session in progress, as a window knows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from companion.services.clock import ClockReading
from engine.base.message import Message
from engine.live.events import Event
from engine.live.state import RunState


@dataclass(frozen=True)
class OfferedCut:
    """What could be given up to finish at a moment; offered in the segment ``at`` by index, and the next."""

    cut: tuple[Message, ...]
    finish_at: datetime
    at: int


@dataclass
class Live:
    """A session in progress.

    ``zero_ms`` is the reading of the monotonic clock at session time 0, ``clocks`` the last reading of both
    clocks: the next one shows whether the computer slept or a clock was set. ``gap_ms`` is how long nobody
    was there, negative if the wall clock was set back instead.

    The cues up to ``cues_until_ms`` of session time are handed over, those to come at ``cue_times_ms``.
    ``said`` is what the last re-fit changed; it was said in the segment with the index ``said_at``.
    ``offered`` is a cut that was not made unasked. ``entered`` says what each movement starts with that the
    last re-fit brought in.

    ``unsaved`` are the events that took effect but are not written yet, ``not_saved`` says why; it was tried
    last at ``tried_at_ms`` of the monotonic clock.
    """

    run_id: str
    state: RunState
    started_at: datetime
    promised_at: datetime
    clocks: ClockReading
    zero_ms: int
    cue_times_ms: tuple[int, ...] = ()
    cues_until_ms: int = 0
    gap_ms: int = 0
    said: tuple[Message, ...] = ()
    said_at: int = 0
    offered: OfferedCut | None = None
    entered: tuple[Message, ...] = ()
    unsaved: tuple[Event, ...] = ()
    not_saved: str = ""
    tried_at_ms: int = 0

    @property
    def finish_at(self) -> datetime:
        """The promised finish; a new promise on the way replaces the first one."""
        return self.state.finish_at or self.promised_at
