"""Cues for tests: keeps what the application asked for instead of playing it."""

from __future__ import annotations

from collections.abc import Sequence

from companion.services.page_messages import Capabilities, Mix, SpokenCue


class RecordingCuePlayer:
    """A cue player that keeps what it was told."""

    def __init__(self) -> None:
        self.pending: tuple[SpokenCue, ...] = ()
        self.played: list[SpokenCue] = []
        self.kept_awake = False
        self.mix = Mix()
        self.capabilities: Capabilities | None = None
        self.calls: list[str] = []
        self.session_ms: int | None = None

    async def schedule(self, cues: Sequence[SpokenCue], *, session_ms: int) -> None:
        self.calls.append("schedule")
        self.pending = tuple(cues)
        self.session_ms = session_ms

    async def cancel(self) -> None:
        self.calls.append("cancel")
        self.pending = ()

    async def play(self, cue: SpokenCue) -> None:
        self.calls.append("play")
        self.played.append(cue)

    async def awake(self, on: bool) -> None:
        self.calls.append("awake")
        self.kept_awake = on

    async def set_mix(
        self, *, haptic: bool, tone: bool, voice: bool, volume: float, language: str = "en"
    ) -> None:
        self.calls.append("set_mix")
        self.mix = Mix(haptic=haptic, tone=tone, voice=voice, volume=volume, language=language)
