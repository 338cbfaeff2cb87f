"""Cues without a page: Python's own timers and what the device offers through Flet.

A packaged phone vibrates in the way that touch.py finds there. A desktop window gives no cues: its client has
no vibration, and sound would need another package.
"""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable, Sequence

from companion.services.clock import Clock
from companion.services.cue_player import TOO_LATE_MS
from companion.services.page_messages import Capabilities, SpokenCue
from companion.services.touch import Shake, attempt

KeepAwake = Callable[[bool], Awaitable[None]]


class DeviceCuePlayer:
    """Plays cues by the device's touch, None where it has none, and keeps its screen on."""

    def __init__(self, clock: Clock, *, touch: Shake | None, keep_awake: KeepAwake) -> None:
        self._clock, self._touch, self._keep_awake = clock, touch, keep_awake
        self._coming: asyncio.Task[None] | None = None
        self._shaking: set[asyncio.Task[None]] = set()
        self._haptic = True

    @property
    def capabilities(self) -> Capabilities:
        return Capabilities(vibrate=self._touch is not None, audio="none", voice="none", wake_lock=True)

    async def schedule(self, cues: Sequence[SpokenCue], *, session_ms: int) -> None:
        self._stop_waiting()
        if self._touch is not None:
            zero_ms = self._clock.monotonic_ms() - session_ms
            self._coming = asyncio.create_task(self._fire_all(tuple(cues), zero_ms))

    async def cancel(self) -> None:
        self._stop_waiting()
        for task in self._shaking:
            task.cancel()

    async def play(self, cue: SpokenCue) -> None:
        """Starts the pattern and does not wait for its end."""
        if self._touch is None or not self._haptic:
            return
        task = asyncio.create_task(self._touch(cue.pattern_ms))
        self._shaking.add(task)
        task.add_done_callback(self._shaking.discard)

    async def awake(self, on: bool) -> None:
        await attempt(self._keep_awake(on))

    async def set_mix(self, *, haptic: bool, **_: object) -> None:
        """Switches touch alone; there is no sound."""
        self._haptic = haptic

    def _stop_waiting(self) -> None:
        if self._coming is not None:
            self._coming.cancel()
            self._coming = None

    async def _fire_all(self, cues: Sequence[SpokenCue], zero_ms: int) -> None:
        for cue in cues:
            left_ms = zero_ms + cue.at_ms - self._clock.monotonic_ms()
            await asyncio.sleep(max(0, left_ms) / 1000)
            if self._clock.monotonic_ms() - zero_ms - cue.at_ms <= TOO_LATE_MS:
                await self.play(cue)
