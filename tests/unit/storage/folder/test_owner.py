"""Who may write in a data folder."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import builders
import pytest
from places import ROOT

from storage.files.computer import MARK_NAME, Computer
from storage.folder.owner import LOCK_NAME, FolderLock, Owners, Ownership
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem
from storage.store import WriteAccess


class Windows:
    """The windows of one process, and the tokens of those that were told to stop."""

    def __init__(self, folder: Path) -> None:
        self.owners, self.folder, self.stopped = Owners(), folder, list[str]()

    def open(self, token: str, *, name: str = "", take_over: bool = False) -> Ownership:
        return self.owners.acquire(
            self.folder, token, on_stopped=lambda: self.stopped.append(name or token), take_over=take_over
        )


@pytest.fixture
def windows(folder: Path) -> Windows:
    return Windows(folder)


def test_the_first_window_is_the_owner(windows: Windows) -> None:
    assert windows.open("phone").access is WriteAccess.owner


def test_a_reload_takes_over_and_stops_the_old_page(windows: Windows) -> None:
    old = windows.open("phone", name="old page")
    new = windows.open("phone", name="new page")
    assert windows.stopped == ["old page"]
    assert (old.access, new.access) == (WriteAccess.taken_over, WriteAccess.owner)
    assert (old.holds(), new.holds()) == (False, True)


def test_a_second_window_only_reads(windows: Windows) -> None:
    first = windows.open("phone")
    second = windows.open("laptop")
    assert second.access is WriteAccess.another_window
    assert not second.holds()
    assert first.holds()
    assert windows.stopped == []


def test_a_person_can_take_over_in_the_second_window(windows: Windows) -> None:
    first = windows.open("phone")
    second = windows.open("laptop", take_over=True)
    assert windows.stopped == ["phone"]
    assert (first.holds(), second.holds()) == (False, True)


def test_the_next_window_may_write_once_the_owner_let_go(windows: Windows) -> None:
    first = windows.open("phone")
    windows.owners.release(windows.folder, first)
    assert first.access is WriteAccess.released
    assert windows.open("laptop").access is WriteAccess.owner
    assert windows.stopped == []


def test_a_window_that_was_stopped_cannot_let_go_of_the_new_owners_folder(windows: Windows) -> None:
    old = windows.open("phone")
    new = windows.open("phone")
    windows.owners.release(windows.folder, old)
    assert new.holds()
    assert windows.open("laptop").access is WriteAccess.another_window


def test_other_folders_have_other_owners(windows: Windows, tmp_path: Path) -> None:
    windows.open("phone")
    windows.folder = tmp_path / "other"
    assert windows.open("laptop").access is WriteAccess.owner


def test_the_same_folder_by_another_path_has_the_same_owner(windows: Windows, folder: Path) -> None:
    windows.open("phone")
    windows.folder = folder / "records" / ".."
    (folder / "records").mkdir()
    assert windows.open("laptop").access is WriteAccess.another_window


def test_two_locks_never_hold_a_folder_at_once(folder: Path) -> None:
    one, other = FolderLock(folder), FolderLock(folder)
    assert one.take()
    assert one.take()
    assert not other.take()
    one.release()
    assert other.take()


HOLDING = """
import sys
from pathlib import Path
from storage.folder.owner import FolderLock
print(FolderLock(Path(sys.argv[1])).take(), flush=True)
"""


def test_a_folder_held_by_another_program_is_only_read_until_that_ends(windows: Windows) -> None:
    """The other process is killed without a warning: the system releases its lock."""
    keeping = HOLDING.replace("print(", "lock = ").replace(".take(), flush=True)", "")
    code = keeping + "print(lock.take(), flush=True)\nsys.stdin.read()\n"
    with subprocess.Popen(
        [sys.executable, "-c", code, str(windows.folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "True\n"
        assert windows.open("phone").access is WriteAccess.another_program
        assert windows.open("phone", take_over=True).access is WriteAccess.another_program
        other.kill()
    assert windows.open("phone").access is WriteAccess.owner


def test_another_program_finds_a_folder_of_ours_held(windows: Windows) -> None:
    windows.open("phone")
    asked = subprocess.run(
        [sys.executable, "-c", HOLDING, str(windows.folder)],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    assert asked.stdout == "False\n"


async def test_the_store_of_a_window_that_was_stopped_writes_no_more(windows: Windows, folder: Path) -> None:
    old = windows.open("phone")
    run = builders.journal().write("paused", 4_000)
    before = FolderStore(folder, may_write=old.holds)
    await before.run.open(run.record().model_copy(update={"events": ()}))
    await before.run.append(run.events[0])
    after = FolderStore(folder, may_write=windows.open("phone").holds)
    await after.run.append(run.events[1])
    with pytest.raises(StorageProblem) as problem:
        await before.run.append(run.events[1])
    assert problem.value.cause is Cause.not_owner
    assert await before.run.read() == run.record()


DESK, LAPTOP = Computer("d" * 16, "desk"), Computer("1" * 16, "laptop")


def ask(owners: Owners, folder: Path, stopped: list[str], *, take_over: bool = False) -> Ownership:
    return owners.acquire(folder, "page", on_stopped=lambda: stopped.append("page"), take_over=take_over)


def test_a_folder_that_a_service_copies_has_one_owner_on_two_computers(tmp_path: Path) -> None:
    """The system's lock knows one computer only: the folder is copied, and both wrote."""
    at_desk, at_laptop, stopped = tmp_path / "desk", tmp_path / "laptop", list[str]()
    desk, laptop = Owners(DESK), Owners(LAPTOP)
    first = ask(desk, at_desk, stopped)
    assert first.holds()
    shutil.copytree(at_desk, at_laptop)
    second = ask(laptop, at_laptop, stopped)
    assert (second.access, second.holds()) == (WriteAccess.another_computer, False)
    second = ask(laptop, at_laptop, stopped, take_over=True)
    assert second.holds()
    assert first.holds(), "nothing has come back yet"
    shutil.copy(at_laptop / MARK_NAME, at_desk / MARK_NAME)
    assert not first.holds()
    assert not first.holds()
    assert (first.access, stopped) == (WriteAccess.another_computer, ["page"])
    laptop.release(at_laptop, second)
    assert not (at_laptop / MARK_NAME).exists()
    assert (at_desk / MARK_NAME).exists(), "one computer takes only its own mark away"


def test_a_folder_that_was_let_go_or_left_by_a_crash_of_this_computer_is_free(tmp_path: Path) -> None:
    desk, stopped = Owners(DESK), list[str]()
    desk.release(tmp_path, ask(desk, tmp_path, stopped))
    assert ask(Owners(LAPTOP), tmp_path, stopped).holds()
    (tmp_path / LOCK_NAME).unlink()  # as after a crash: the system's lock is gone, the mark is there
    assert ask(Owners(LAPTOP), tmp_path, stopped).holds()


@pytest.mark.parametrize("mark", [b"", b"{}", b"[]", b"[" * 5_000, b'{"id": 1, "name": 2}', b"\xff"])
def test_a_mark_that_makes_no_sense_keeps_nobody_out(tmp_path: Path, mark: bytes) -> None:
    (tmp_path / MARK_NAME).write_bytes(mark)
    assert ask(Owners(DESK), tmp_path, []).holds()


def test_where_no_mark_can_be_written_the_folder_is_held_all_the_same(tmp_path: Path) -> None:
    (tmp_path / MARK_NAME).mkdir()
    assert ask(Owners(DESK), tmp_path, []).holds()
