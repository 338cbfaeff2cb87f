"""What every action works with: the state it changes, the store, the clock, the cues and the files."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from datetime import UTC, datetime, timedelta, timezone
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.services.clock import Clock
from companion.services.cues import CuePlayer
from companion.services.files import Files
from companion.state.app import State, Undo
from companion.state.screen import Screen
from engine.plan.plan import SessionPlan
from engine.record.profile import Profile
from storage.store import Store

Samples = Callable[[], tuple[SessionPlan, ...]]


class Context:
    """One window's state and services. ``samples`` gives the plans of who has saved none."""

    def __init__(
        self,
        state: State,
        *,
        store: Store,
        clock: Clock,
        cues: CuePlayer,
        files: Files,
        zone: str,
        samples: Samples,
    ) -> None:
        self.state, self.store, self.clock, self.cues, self.files = state, store, clock, cues, files
        self.zone = zone or "UTC"
        self.samples = samples
        self.writing = asyncio.Lock()
        """Held while something is written of which the latest word counts."""

    def now(self) -> datetime:
        """The time of day here, with its offset."""
        return self.here(self.clock.now())

    def here(self, moment: datetime) -> datetime:
        """An instant by the clock on the wall here.

        It carries an offset instead of a zone: between two moments of one zone Python subtracts what the
        clocks on the wall show, which is an hour off where they were changed in between.
        """
        try:
            local = moment.astimezone(ZoneInfo(self.zone))
        except (ZoneInfoNotFoundError, ValueError):
            local = moment.astimezone(UTC)
        return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)))

    def profile(self) -> Profile:
        """The person's profile, or a new one for somebody who has not been here yet."""
        return self.state.home.profile or Profile(trainee_id=str(uuid4()), name="Trainee", zone=self.zone)

    def show(self, screen: Screen, *, undo: Undo | None = None) -> None:
        """Goes to a screen; what could be undone on the one before can no longer be."""
        self.state.screen, self.state.undo = screen, undo
        self.state.on_change()

    async def undo(self) -> None:
        """Takes back what was just done."""
        done, self.state.undo = self.state.undo, None
        if done is not None:
            await done.back()
        self.state.on_change()

    async def set_device(self, **changes: object) -> None:
        """Changes settings of this device; the mix of the cues holds from now on."""
        device = self.state.device
        device.settings = device.settings.model_validate(device.settings.model_dump() | changes)
        self.state.on_change()
        await self.set_mix()
        await self.store.person.save_settings(device.settings)

    async def set_mix(self) -> None:
        """Tells the cues what the person wants of them on this device."""
        said = self.state.device.settings
        await self.cues.set_mix(haptic=said.haptic, tone=said.tone, voice=said.voice, volume=said.volume)


async def nothing_to_undo() -> None:
    """The way back of something that is undone elsewhere."""


Back = Callable[[], Awaitable[None]]
