"""The person, in the browser's database: who they are, what they own, what a coach asked of them."""

from __future__ import annotations

from engine.base.model import revision_of
from engine.plan.adjustment import Adjustment
from engine.record.profile import Profile
from engine.today.said import SaidToday
from storage.browser.documents import ONLY, ShelvedModels, put
from storage.browser.shelves import Remove
from storage.models import KitOwned, Removed, Settings, WeekNote
from storage.rules import by_week, in_order_made


class BrowserPerson:
    """One shelf each for profile, kit, settings, what was said today, adjustments and notes on weeks."""

    def __init__(self, models: ShelvedModels) -> None:
        self._models = models

    async def profile(self) -> Profile | None:
        return await self._models.one("profile", Profile)

    async def save_profile(self, profile: Profile) -> None:
        await self._models.change(put("profile", ONLY, profile))

    async def kit(self) -> KitOwned | None:
        return await self._models.one("kit", KitOwned)

    async def save_kit(self, kit: KitOwned) -> None:
        await self._models.change(put("kit", ONLY, kit))

    async def settings(self) -> Settings:
        return await self._models.one("settings", Settings) or Settings()

    async def save_settings(self, settings: Settings) -> None:
        await self._models.change(put("settings", ONLY, settings))

    async def said_today(self) -> SaidToday | None:
        return await self._models.one("today", SaidToday)

    async def save_said_today(self, said: SaidToday) -> None:
        await self._models.change(put("today", ONLY, said))

    async def adjustments(self) -> tuple[Adjustment, ...]:
        return in_order_made(await self._models.all("adjustments", Adjustment))

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        revision = revision_of(adjustment)
        await self._models.change(put("adjustments", revision, adjustment), Remove("removed", revision))

    async def remove_adjustment(self, adjustment: Adjustment) -> None:
        revision = revision_of(adjustment)
        noted = put("removed", revision, Removed(revision=revision))
        await self._models.change(Remove("adjustments", revision), noted)

    async def week_notes(self) -> tuple[WeekNote, ...]:
        return by_week(await self._models.all("week-notes", WeekNote))

    async def save_week_note(self, note: WeekNote) -> None:
        await self._models.change(put("week-notes", note.iso_week, note))
