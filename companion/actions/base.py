"""What every action stands on: the state it changes, the store, the clock and the cues."""

from __future__ import annotations

import asyncio
from datetime import datetime
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.services.clock import Clock, ClockReading, read
from companion.services.cues import CuePlayer
from companion.state import Live, Screen, State
from engine.history import History
from engine.record import Profile
from storage.protocol import Store


class Base:
    def __init__(
        self, state: State, *, store: Store, clock: Clock, cues: CuePlayer, zone: str = "UTC"
    ) -> None:
        self.state, self.store, self.clock, self.cues, self.zone = state, store, clock, cues, zone or "UTC"
        self._before: ClockReading = read(clock)
        self._writing = asyncio.Lock()
        self._history = History()

    def now(self) -> datetime:
        """The time of day here, with its offset."""
        try:
            zone = ZoneInfo(self.zone)
        except (ZoneInfoNotFoundError, ValueError):
            zone = ZoneInfo("UTC")
        return self.clock.now().astimezone(zone)

    def _profile(self) -> Profile:
        """The person's profile, or a new one for who has not been here yet."""
        return self.state.profile or Profile(trainee_id=str(uuid4()), name="Trainee", zone=self.zone)

    def _live(self) -> Live:
        if self.state.live is None:
            raise LookupError("No session is in progress.")
        return self.state.live

    def _show(self, screen: Screen) -> None:
        self.state.screen = screen
        self.state.on_change()
