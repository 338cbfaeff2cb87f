"""The person, in files of the data folder: who they are, what they own, what a coach asked of them."""

from __future__ import annotations

from collections.abc import Iterable

from engine.base.model import revision_of
from engine.plan.adjustment import Adjustment
from engine.record.profile import Profile
from storage.folder.data_folder import DataFolder
from storage.models import KitOwned, Settings, WeekNote
from storage.rules import in_order_made


class FolderPerson:
    """One file each for profile, kit, settings, adjustments and notes on weeks."""

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

    async def adjustments(self) -> tuple[Adjustment, ...]:
        return in_order_made(self._folder.each("adjustments", Adjustment))

    async def save_adjustment(self, adjustment: Adjustment) -> None:
        self._folder.need_ownership()
        document = adjustment.model_dump(mode="json")
        self._folder.file("adjustments").put("adjustments", revision_of(adjustment), document)

    async def replace_adjustments(self, adjustments: Iterable[Adjustment]) -> None:
        """Saves these in the place of all there are."""
        self._folder.need_ownership()
        held = {revision_of(one): one.model_dump(mode="json") for one in adjustments}
        self._folder.file("adjustments").storage.write({"adjustments": held})

    async def week_notes(self) -> tuple[WeekNote, ...]:
        held = self._folder.each("week-notes", WeekNote, table="notes")
        return tuple(sorted(held, key=lambda note: note.iso_week))

    async def save_week_note(self, note: WeekNote) -> None:
        self._folder.need_ownership()
        self._folder.file("week-notes").put("notes", note.iso_week, note.model_dump(mode="json"))

    async def replace_week_notes(self, notes: Iterable[WeekNote]) -> None:
        """Saves these notes in the place of all there are."""
        self._folder.need_ownership()
        held = {note.iso_week: note.model_dump(mode="json") for note in notes}
        self._folder.file("week-notes").storage.write({"notes": held})
