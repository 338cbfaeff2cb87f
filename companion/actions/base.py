"""What every action stands on: the state it changes, the store, the clock and the cues."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.services.clock import Clock, ClockReading, read
from companion.services.cues import CuePlayer
from companion.services.files import Files
from companion.state.app import Screen, State, Undo
from companion.state.live import Live
from engine.load.proposal import LoadProposal
from engine.plan.adjustment import Adjustment, in_force
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.record import Profile
from engine.session.fitted import FittedSession
from engine.today.loads import Weights, loads_for
from engine.today.question import Learned
from storage.store import Store


class Base:
    def __init__(
        self, state: State, *, store: Store, clock: Clock, cues: CuePlayer, files: Files, zone: str = "UTC"
    ) -> None:
        self.state, self.store, self.clock, self.cues, self.zone = state, store, clock, cues, zone or "UTC"
        self.files = files
        self._before: ClockReading = read(clock)
        self._writing = asyncio.Lock()
        self._learn(History())
        self._samples: Callable[[], tuple[SessionPlan, ...]] = tuple

    def _learn(self, history: History) -> None:
        """What earlier sessions say, worked out once: the minutes make no difference to it."""
        self._history, self._learned = history, Learned.from_history(history)
        self.state.after_pain = self._learned.after_pain

    def now(self) -> datetime:
        """The time of day here, with its offset."""
        return self.here(self.clock.now())

    def here(self, moment: datetime) -> datetime:
        """An instant by the clock on the wall here.

        With its offset in place of its zone: between two moments of one zone Python counts what the clocks on
        the wall show, which is an hour too much or too little where they were changed in between.
        """
        try:
            local = moment.astimezone(ZoneInfo(self.zone))
        except (ZoneInfoNotFoundError, ValueError):
            local = moment.astimezone(UTC)
        return local.replace(tzinfo=timezone(local.utcoffset() or timedelta(0)))

    def adjustments_now(self) -> tuple[Adjustment, ...]:
        """What the coach asked that holds for this plan and person today."""
        state = self.state
        own = state.profile.trainee_id if state.profile else None
        return in_force(state.adjustments, state.plan, self.now().date(), trainee_id=own)

    def _profile(self) -> Profile:
        """The person's profile, or a new one for who has not been here yet."""
        return self.state.profile or Profile(trainee_id=str(uuid4()), name="Trainee", zone=self.zone)

    def proposed(self, session: FittedSession) -> tuple[LoadProposal, ...]:
        """What to lift in a session, movement by movement."""
        weights = Weights(self.state.rack, self._profile().unit)
        adjustments, today = self.adjustments_now(), self.now().date()
        return loads_for(session, self._history.exposures, weights, adjustments=adjustments, today=today)

    def _live(self) -> Live:
        if self.state.live is None:
            raise LookupError("No session is in progress.")
        return self.state.live

    async def set_device(self, **changes: object) -> None:
        """Changes the settings of this device; the mix of the cues holds from now on."""
        settings = self.state.settings
        self.state.settings = settings.model_validate(settings.model_dump() | changes)
        self.state.on_change()
        await self._set_mix()
        await self.store.person.save_settings(self.state.settings)

    async def _set_mix(self) -> None:
        """The cues as the person wants them on this device."""
        said = self.state.settings
        await self.cues.set_mix(haptic=said.haptic, tone=said.tone, voice=said.voice, volume=said.volume)

    def _show(self, screen: Screen, *, undo: Undo | None = None) -> None:
        self.state.screen, self.state.undo = screen, undo
        self.state.on_change()
