"""What plays cues by touch, tone and voice, and when nothing may repaint beside one.

A cue that cannot be delivered is dropped and never stops a session.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import Protocol

from companion.services.page_messages import Capabilities, SpokenCue
from companion.words.words import Words
from engine.live.cues import TimedCue

TOO_LATE_MS = 300
"""A later cue is dropped: what it says is no longer true, and after a stall many would come at once."""
QUIET_BEFORE_MS = 120
QUIET_AFTER_MS = 40
"""Around a cue nothing is repainted, since a repaint delays it. Measured in the page, the 99th percentile of
the delay was 27.8 ms with a repaint in this window and 5.6 ms without."""


class CuePlayer(Protocol):
    """What plays cues here: the page (page_cues.py) or the device (device_cues.py)."""

    @property
    def capabilities(self) -> Capabilities | None:
        """What can be felt and heard here; None while no page has said so."""
        ...

    async def schedule(self, cues: Sequence[SpokenCue], *, session_ms: int) -> None:
        """Replaces everything pending with ``cues``, in order of time. The session is at ``session_ms``.

        The whole list may be passed each time: past cues are left out, and no cue fires twice.
        """
        ...

    async def cancel(self) -> None:
        """Drops everything pending and silences what sounds or shakes, for a pause or a stop."""
        ...

    async def play(self, cue: SpokenCue) -> None:
        """Fires a cue at once, to try it out."""
        ...

    async def awake(self, on: bool) -> None:
        """Keeps the screen on, or lets it go off. The device may refuse."""
        ...

    async def set_mix(
        self, *, haptic: bool, tone: bool, voice: bool, volume: float, language: str = "en"
    ) -> None:
        """Sets the channels that cues use from now on.

        ``volume`` is that of tones and voice, 0 to 1; ``language`` that of the words, as ISO 639-1 has it.
        """
        ...


def spoken(cue: TimedCue, words: Words) -> SpokenCue:
    """A cue with its words."""
    return SpokenCue(
        at_ms=cue.at_ms,
        kind=cue.kind,
        pattern_ms=cue.pattern_ms,
        tone=cue.tone,
        words=words.sentences(cue.said),
    )


def in_quiet_window(cue_times_ms: Sequence[int], session_ms: int) -> bool:
    """Whether a cue is so near that nothing may repaint. The times of the cues must ascend."""
    following = bisect_right(cue_times_ms, session_ms - QUIET_AFTER_MS)
    return following < len(cue_times_ms) and cue_times_ms[following] - session_ms <= QUIET_BEFORE_MS
