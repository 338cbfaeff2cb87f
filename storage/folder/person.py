"""The person, in files of the data folder: who they are, what they own, what a coach asked of them."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import revision_of
from engine.plan.adjustment import Adjustment
from engine.record.profile import Profile
from engine.today.said import SaidToday
from storage.folder.data_folder import DataFolder
from storage.models import KitOwned, Settings, WeekNote
from storage.rules import by_week, in_order_made


class FolderPerson:
    """One file each for profile, kit, settings, what was said today, adjustments and notes on weeks."""

    def __init__(self, folder: DataFolder) -> None:
        self._folder = folder

    async def profile(self) -> Profile | None:
        return self._folder.only("profile", Profile)

    async def save_profile(self, profile: Profile) -> None:
        self._folder.save_only("profile", profile)

    async def kit(self) -> KitOwned | None:
        return self._folder.only("kit", KitOwned)

    async def save_kit(self, kit: KitOwned) -> None:
        self._folder.save_only("kit", kit)

    async def settings(self) -> Settings:
        return self._folder.only("settings", Settings) or Settings()

    async def save_settings(self, settings: Settings) -> None:
        self._folder.save_only("settings", settings)

    async def said_today(self) -> SaidToday | None:
        return self._folder.only("today", SaidToday)

    async def save_said_today(self, said: SaidToday) -> None:
        self._folder.save_only("today", said)

    async def adjustments(self) -> tuple[Adjustment, ...]:
        return in_order_made(self._folder.each("adjustments", Adjustment))

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        self._folder.put("adjustments", revision_of(adjustment), adjustment)
        self._folder.take_back(revision_of(adjustment))

    async def remove_adjustment(self, adjustment: Adjustment) -> None:
        self._folder.note_removed(revision_of(adjustment))
        self._folder.remove("adjustments", revision_of(adjustment))

    async def replace_adjustments(self, adjustments: Iterable[Adjustment]) -> None:
        """Saves these adjustments in place of all there are."""
        self._folder.replace("adjustments", {revision_of(one): one for one in adjustments})

    async def week_notes(self) -> tuple[WeekNote, ...]:
        return by_week(self._folder.each("week-notes", WeekNote, table="notes"))

    async def save_week_note(self, note: WeekNote) -> None:
        self._folder.put("week-notes", note.iso_week, note, table="notes")

    async def replace_week_notes(self, notes: Iterable[WeekNote]) -> None:
        """Saves these notes in place of all there are."""
        self._folder.replace("week-notes", {note.iso_week: note for note in notes}, table="notes")
