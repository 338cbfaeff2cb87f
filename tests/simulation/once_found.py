"""Faults that were once found and mended, as patches that put them back.

The numbers are those of the list of faults found by trying; the others were found by the simulation.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from companion.actions.after import log, record
from companion.actions.desk import pages
from companion.actions.home import backup, plans
from companion.actions.home.opening import Opening
from companion.actions.session import run as run_module
from companion.actions.session.writing import Writing
from companion.window.folder_records import FolderRecords
from companion.window.window import Window
from engine.coach import page as page_module
from engine.coach.roster import Person, roster
from engine.plan import adjustment
from engine.today import said
from storage import journal
from storage.browser.sessions import BrowserSessions
from storage.exchange import shared_folder
from storage.exchange.backup import Holdings
from storage.folder import erase, sessions
from storage.folder.run import FolderRun
from storage.folder.session_files import SessionFiles

Patch = pytest.MonkeyPatch


def erase_what_is_not_ours(patch: Patch) -> None:
    """1. Erasing removed every file of the folder."""

    def every_file(folder: Path) -> Iterator[erase.OwnFile]:
        for place in (folder, folder / "sessions", folder / "index", folder / ".git"):
            for path in sorted(place.iterdir()) if place.is_dir() else ():
                if path.is_file() and not path.name.startswith("owner"):
                    yield erase.OwnFile(path, erase.Beside(path.name, is_aside=False, is_crash=False))

    patch.setattr(erase, "own_files", every_file)


def erase_leftovers_of_others(patch: Patch) -> None:
    """1. Erasing one session removed hidden files of others, too."""
    patch.setattr(erase, "_is_ours", lambda of, place, folder: True)
    patch.setattr(erase, "_is_foreign", lambda path: False)


def stop_only_where_it_can_be_written(patch: Patch) -> None:
    """2. Pause, hurt and end raised on a full disk."""

    async def save(self: Writing) -> None:
        live = self._context.state.run.live
        while live is not None and live.unsaved:
            await self._context.store.run.append(live.unsaved[0])
            live.unsaved = live.unsaved[1:]

    patch.setattr(Writing, "save", save)


def cancel_cues_after_writing(patch: Patch) -> None:
    """2. All coming cues stayed armed while the disk refused."""

    async def do(self: run_module.Run, kind: Any, **fields: Any) -> None:
        self.note(kind, **fields)
        await self.save()
        if not self.live.not_saved:
            await self.hand_over_cues()
        await self.show_effect()

    patch.setattr(run_module.Run, "do", do)


def open_only_where_it_can_be_written(patch: Patch) -> None:
    """2. A window did not open where nothing could be written."""

    async def opened(self: Window, *, take_over: bool = False) -> None:
        store, reason = await self._records.open(take_over=take_over, on_lost=self.lose)
        self.lost, self._cannot_write = False, False
        await self._read(store, reason)
        if not reason:
            await store.person.save_settings(await store.person.settings())

    patch.setattr(Window, "open", opened)


def roster_of_the_newest_page(patch: Patch) -> None:
    """3. A page made later hid the pain of the one before it."""

    def newest_only(given: Any) -> tuple[Person, ...]:
        newest: dict[str, Any] = {}
        for one in sorted(given, key=lambda page: page.made_at):
            newest[one.trainee.id] = one
        return roster(newest.values())

    patch.setattr(pages, "roster", newest_only)


def erase_by_tombstones_unasked(patch: Patch) -> None:
    """4. Tombstones in a backup erased sessions without a word."""
    really = backup.bring_in

    async def unasked(*given: Any, **options: Any) -> Any:
        return await really(*given, **options | {"erase": True})

    patch.setattr(backup, "bring_in", unasked)


def empty_without_sessions(patch: Patch) -> None:
    """4. Where nobody had trained yet, a backup replaced newer plans."""
    patch.setattr(Holdings, "is_empty", property(lambda self: not self.records))


def adjustments_of_the_future(patch: Patch) -> None:
    """8. An adjustment made in 2099 was in force at once."""
    patch.setattr(adjustment, "_is_made_by", lambda made, day: True)
    patch.setattr(plans, "adjustment_faults", lambda made, today=None: ())


def corrections_by_the_wall_clock(patch: Patch) -> None:
    """9. A late correction was lost where the clock went back."""
    from companion.actions import late

    def by_wall(earlier: Any, field: Any, now: datetime) -> datetime:
        return now

    patch.setattr(late, "moment_after", by_wall)


def stay_in_the_first_zone(patch: Patch) -> None:
    """10. A window stayed in the zone in which it was opened."""

    async def stay(self: Opening, zone: str) -> None:
        return None

    patch.setattr(Opening, "move_to", stay)


def read_lines_without_their_checksum(patch: Patch) -> None:
    """13. The journal had no checksum: a flipped bit read as other content."""
    patch.setattr(journal, "_document_in", lambda line: line.rpartition(b"\t")[0] or None)


def leave_what_was_set_aside(patch: Patch) -> None:
    """14. Text of an erased session stayed where damage was set aside."""

    async def nothing(self: BrowserSessions, record_id: str) -> list[Any]:
        return []

    patch.setattr(BrowserSessions, "_set_aside_naming", nothing)
    patch.setattr(sessions, "forget_set_aside", lambda folder, record_id: None)


def bring_removed_plans_back(patch: Patch) -> None:
    """14. A removed plan came back with the next merge."""
    patch.setattr(shared_folder, "without_revisions", lambda holdings, removed: holdings)


def keep_pain_notes_off_the_page(patch: Patch) -> None:
    """Of the wrong figures: the page said less of pain than the person did."""
    patch.setattr(page_module, "shown_pain", lambda told, choice: ())


def stay_in_a_log_that_is_saved(patch: Patch) -> None:
    """Found by the simulation: a log whose running record could not be removed held its person."""

    class Raising:
        def __init__(self, *_: object) -> None: ...
        def __enter__(self) -> None: ...
        def __exit__(self, *_: object) -> None: ...

    patch.setattr(log, "suppress", Raising)


def forget_half_a_correction(patch: Patch) -> None:
    """Found by the simulation: a correction refused half-way left other figures in the window."""

    async def save(self: record.Record) -> None:
        await self._amend(self._opened)
        record.learn(self._context, await self._context.store.sessions.history())
        record.fit(self._context)
        await self.close()

    patch.setattr(record.Record, "save", save)


def bar_the_next_start(patch: Patch) -> None:
    """Found by the simulation: a start that was refused half-way barred the next one."""

    async def open(self: FolderRun, opening: Any) -> None:
        self._folder.need_ownership()
        from storage.rules import may_open

        may_open(await self.read(), opening)
        self._file.open(opening)

    patch.setattr(FolderRun, "open", open)


def hide_pain_behind_a_clock(patch: Patch) -> None:
    """Found by the simulation: after a clock was set back, a milder note hid the pain that was said."""

    def answers(told: Any, pains: Any, last_started: Any, now: datetime) -> list[Any]:
        return [
            one
            for one in really(told, (), last_started, now)
            if not any(pain.is_of(one.point) and pain.at > one.said_at for pain in pains)
        ]

    really = said._answers
    patch.setattr(said, "_answers", answers)
    patch.setattr(
        said, "_hurt_today", lambda point, today, now: worst(point, [o for o in today if o.at <= now])
    )

    def worst(point: Any, today: Any) -> int:
        return max((one.rating for one in today if one.is_of(point) and said._lasts(one)), default=0)


def hold_to_the_first_answers(patch: Patch) -> None:
    """Found by the simulation: a log refused half-way could not be saved with any other answer."""
    really = SessionFiles.add

    def add(self: SessionFiles, record: Any) -> bool:
        self._refused.clear()
        return really(self, record)

    patch.setattr(SessionFiles, "add", add)


def train_through_a_sleep(patch: Patch) -> None:
    """Found by the simulation: whoever pressed something first after a sleep had the sleep counted, and the
    session's clock then stood for as long."""
    patch.setattr(run_module.Run, "note", run_module.Run._take_in)


def forget_half_a_backup(patch: Patch) -> None:
    """Found by the simulation: a backup refused half-way left the window without what had come of it."""
    really = backup.Backup.bring_in

    async def bring_in(self: backup.Backup, **options: Any) -> None:
        with patch.context() as within:
            within.setattr(Opening, "open", _nothing)
            await really(self, **options)
        await self._opening.open()

    async def _nothing(*_: object) -> None: ...

    patch.setattr(backup.Backup, "bring_in", bring_in)


def own_what_could_not_be_taken_again(patch: Patch) -> None:
    """Found by the simulation: a window that came back to a disk that refused owned nothing, unawares."""

    def take_again(self: FolderRecords) -> bool:
        return self._ownership is not None and self._owners.take_again(self._folder, self._ownership)

    patch.setattr(FolderRecords, "take_again", take_again)


def show_half_a_change_of_plans(patch: Patch) -> None:
    """Found by the simulation: a plan that was saved before a refusal was not shown."""

    @asynccontextmanager
    async def only_where_all_went_well(self: plans.Plans) -> AsyncIterator[None]:
        yield
        await self._read()

    patch.setattr(plans.Plans, "_read_afterwards", only_where_all_went_well)


BY_TRYING: tuple[Callable[[Patch], None], ...] = (
    erase_what_is_not_ours,
    erase_leftovers_of_others,
    stop_only_where_it_can_be_written,
    cancel_cues_after_writing,
    open_only_where_it_can_be_written,
    roster_of_the_newest_page,
    erase_by_tombstones_unasked,
    empty_without_sessions,
    adjustments_of_the_future,
    corrections_by_the_wall_clock,
    stay_in_the_first_zone,
    read_lines_without_their_checksum,
    leave_what_was_set_aside,
    bring_removed_plans_back,
    keep_pain_notes_off_the_page,
)
BY_SIMULATION: tuple[Callable[[Patch], None], ...] = (
    stay_in_a_log_that_is_saved,
    forget_half_a_correction,
    bar_the_next_start,
    hide_pain_behind_a_clock,
    hold_to_the_first_answers,
    train_through_a_sleep,
    forget_half_a_backup,
    own_what_could_not_be_taken_again,
    show_half_a_change_of_plans,
)
