"""The cues of this device: their mix, and a try of each."""

from __future__ import annotations

from companion.actions.context import Context
from companion.services.page_messages import Capabilities
from companion.state.screen import Screen
from engine.live.cues import CueKind, cue

SPOKEN = {
    CueKind.get_ready: "Get ready.",
    CueKind.work: "Work.",
    CueKind.change_side: "Change to the right.",
    CueKind.rest: "Rest.",
    CueKind.get_down: "Get down.",
    CueKind.countdown: "Three, two, one.",
    CueKind.block_done: "Block done.",
    CueKind.session_done: "Session done.",
    CueKind.stop: "Stop.",
}
"""What is said when a cue is only tried; in a session the movement's name comes with it."""


class Cues:
    def __init__(self, context: Context) -> None:
        self._context = context
        self.set_device = context.set_device

    async def show(self) -> None:
        self._context.show(Screen.cues)

    async def try_out(self, kind: CueKind) -> None:
        await self._context.cues.play(cue(kind, 0, SPOKEN[kind]))

    def capabilities(self) -> Capabilities | None:
        """What this device can do; None until it has said so."""
        return self._context.cues.capabilities
