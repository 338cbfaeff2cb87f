"""What every action works with: the state it changes, and the services of one window."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta, timezone
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.actions.household import Household, OnePerson
from companion.actions.keeping import Keeping
from companion.services.clock import Clock
from companion.services.copies_folder import CopiesFolder, NoFolder
from companion.services.cue_player import CuePlayer
from companion.services.files import Files
from companion.state.app import State, Undo
from companion.state.screen import Screen
from engine.plan.plan import SessionPlan
from engine.record.profile import UNNAMED, Profile
from storage.problem import StorageProblem
from storage.store import Store

Samples = Callable[[], tuple[SessionPlan, ...]]


@dataclass
class Copying:
    """The writing of copies (companion/actions/copying.py): one at a time, and again where it is ``wanted``.

    ``months`` are those that wait and are not noted in the settings yet.
    """

    lock: asyncio.Lock = field(default_factory=asyncio.Lock)
    wanted: bool = False
    months: frozenset[str] = frozenset()
    task: asyncio.Task[None] | None = None


class Context:
    """One window's state and services.

    ``samples`` gives the plans for somebody who has saved none, ``name`` is that of somebody who has no
    profile yet.
    """

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
        folder: CopiesFolder | None = None,
        household: Household | None = None,
        name: str = "",
    ) -> None:
        self.state, self.store, self.clock, self.cues, self.files = state, store, clock, cues, files
        self.zone = zone or "UTC"
        self.samples = samples
        self.household: Household = household or OnePerson()
        self._name = name or UNNAMED
        self.keeping = Keeping(state, clock)
        self.folder, self.copying = folder or NoFolder(), Copying()

    def now(self) -> datetime:
        """The present moment by the wall clock here, with its offset from UTC."""
        return self.here(self.clock.now())

    def here(self, moment: datetime) -> datetime:
        """A moment by the wall clock here.

        It carries an offset, not a zone: between two moments of one zone Python subtracts wall clock times,
        which is an hour off if daylight saving began or ended in between.
        """
        try:
            local = moment.astimezone(ZoneInfo(self.zone))
        except (ZoneInfoNotFoundError, ValueError):
            local = moment.astimezone(UTC)
        return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)))

    def profile(self) -> Profile:
        """The person's profile in the zone of here, or a new one for who is here for the first time."""
        saved = self.state.home.profile
        if saved is None:
            return Profile(trainee_id=str(uuid4()), name=self._name, zone=self.zone)
        return saved if saved.zone == self.zone else saved.model_copy(update={"zone": self.zone})

    def file_name(self, name: str, suffix: str) -> str:
        """The name of a file of this person, which tells it from those of others who train here."""
        if self.state.device.is_shared:
            name += "-" + re.sub(r"\W+", "-", self.profile().name).strip("-").lower()
        return f"{name}.{suffix}"

    def show(self, screen: Screen, *, undo: Undo | None = None) -> None:
        """Goes to a screen. What could be undone on the previous one no longer can."""
        self.state.screen, self.state.undo = screen, undo
        self.state.on_change()

    async def undo(self) -> None:
        """Takes back what was done last; where that is refused, it can be tried again."""
        done, self.state.undo = self.state.undo, None
        if done is not None:
            try:
                await done.back()
            except StorageProblem:
                self.state.undo = done
                raise
        self.state.on_change()

    async def set_device(self, **changes: object) -> None:
        """Changes and saves settings of this device; the cues follow them at once."""
        device = self.state.device
        device.settings = device.settings.model_validate(device.settings.model_dump() | changes)
        self.state.on_change()
        await self.set_mix()
        await self.keep_settings()

    async def keep_profile(self) -> None:
        """Saves the person's profile."""
        await self.keeping.keep("profile", lambda: self.store.person.save_profile(self.profile()))

    async def keep_settings(self) -> None:
        """Saves the settings of this device."""
        await self.keeping.keep(
            "settings", lambda: self.store.person.save_settings(self.state.device.settings)
        )

    async def set_mix(self) -> None:
        """Gives the cues the touch, tones, voice, volume and language that are set on this device."""
        mix, language = self.state.device.settings, self.state.words.language.code
        await self.cues.set_mix(
            haptic=mix.haptic, tone=mix.tone, voice=mix.voice, volume=mix.volume, language=language
        )
