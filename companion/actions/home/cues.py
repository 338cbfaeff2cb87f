"""The cues of this device: their mix, and a try of each."""

from __future__ import annotations

from companion.actions.context import Context
from companion.services.cue_player import spoken
from companion.services.page_messages import Capabilities
from companion.state.screen import Screen
from engine.live.cues import SAID_ALONE, CueKind, cue


class Cues:
    def __init__(self, context: Context) -> None:
        self._context = context
        self.set_device = context.set_device

    async def show(self) -> None:
        self._context.show(Screen.cues)

    async def try_out(self, kind: CueKind) -> None:
        await self._context.cues.play(spoken(cue(kind, 0, SAID_ALONE[kind]), self._context.state.words))

    def capabilities(self) -> Capabilities | None:
        """What this device can do; None until it has said so."""
        return self._context.cues.capabilities
