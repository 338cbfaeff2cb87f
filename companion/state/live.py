"""A session in progress, as a window knows it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from engine.live.state import RunState


@dataclass
class Live:
    """A session in progress. ``zero_ms`` is where session time 0 lies on the monotonic clock; the cues up to
    ``cues_until_ms`` of session time are handed over.

    ``gap_ms`` is how long nobody was there, negative where the clock on the wall was set back instead.
    ``said`` is what the last re-fit changed, said in the segment ``said_at`` by index.
    """

    run_id: str
    state: RunState
    started_at: datetime
    promised_at: datetime
    zero_ms: int
    cue_times_ms: tuple[int, ...] = ()
    cues_until_ms: int = 0
    gap_ms: int = 0
    said: str = ""
    said_at: int = 0

    @property
    def finish_at(self) -> datetime:
        """The promised finish, or the one promised anew on the way."""
        return self.state.finish_at or self.promised_at
