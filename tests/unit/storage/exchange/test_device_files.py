"""What devices write into a folder that they share, file by file."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import builders
import pytest
from builders import STARTED_AT

from companion.words.saying import all_said
from engine.base.model import revision_of
from engine.record.amendment import Amendment
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange import device_files
from storage.exchange.backup import Holdings, gather, read_backup
from storage.exchange.bring_in import bring_in
from storage.exchange.device_files import DeviceFile, DiskFolder, device_file
from storage.exchange.merge import Keep, union
from storage.exchange.shared_folder import merge_through
from storage.store import Store

MARCH, APRIL = STARTED_AT, STARTED_AT + timedelta(days=31)


@pytest.fixture
def shared(tmp_path: Path) -> DiskFolder:
    (tmp_path / "shared").mkdir()
    return DiskFolder(tmp_path / "shared")


async def with_two_months(store: Store) -> None:
    await store.person.save_profile(builders.profile())
    await store.plans.save(builders.plan())
    for number, started_at in enumerate((MARCH, APRIL)):
        await store.sessions.save(builders.record(record_id=f"record-{number}", started_at=started_at))


def another() -> Store:
    return BrowserStore(MemoryShelves())


async def everything(store: Store) -> Holdings:
    return (await gather(store)).holdings


async def test_each_file_is_a_backup_and_together_they_hold_everything(
    store: Store, shared: DiskFolder
) -> None:
    await with_two_months(store)
    await merge_through(store, shared)
    device = await store.device()
    names = [DeviceFile(device, month).name for month in ("", "2026-03", "2026-04")]
    assert sorted(await shared.stamps()) == sorted(names)
    rest, march, april = [read_backup(await shared.read(name), name) for name in names]
    assert [len(one.records) for one in (rest, march, april)] == [0, 1, 1]
    assert union(rest, march, april) == await everything(store)
    new = another()
    for one in (april, rest, march):
        await bring_in(new, one, same_person=True)
    assert await everything(new) == await everything(store)


async def test_a_week_across_the_end_of_a_month_makes_no_file_of_the_month_without_a_session(
    store: Store, shared: DiskFolder
) -> None:
    """The week of Monday 30 March 2026 reaches into April."""
    await store.sessions.save(builders.record(started_at=STARTED_AT + timedelta(days=28)))
    await merge_through(store, shared)
    files = [device_file(name) for name in await shared.stamps()]
    assert sorted(one.month for one in files if one) == ["", "2026-03"]


async def test_a_late_answer_is_written_with_its_session_and_comes_to_the_other_device(
    store: Store, shared: DiskFolder
) -> None:
    await with_two_months(store)
    other = another()
    await merge_through(store, shared)
    first = await merge_through(other, shared)
    late = Amendment(id="late", record_id="record-0", at=APRIL, field="note", value="Slept badly.")
    await store.sessions.amend(late)
    await merge_through(store, shared, months=("2026-03",))
    merged = await merge_through(other, shared, known=first.stamps, months=())
    device = await store.device()
    assert merged.files == (DeviceFile(device, "2026-03").name, DeviceFile(device, "").name)
    assert await other.sessions.amendments("record-0") == (late,)
    own = DeviceFile(await other.device(), "2026-03").name
    assert read_backup(await shared.read(own), own).amendments == (late,), "it is in its own copy too"


async def test_what_has_not_changed_is_neither_read_nor_written_again(
    store: Store, shared: DiskFolder
) -> None:
    await with_two_months(store)
    other = another()
    await merge_through(other, shared)
    merged = await merge_through(store, shared)
    before = await shared.stamps()
    again = await merge_through(store, shared, known=merged.stamps, months=())
    assert again.files == ()
    assert await shared.stamps() == before


async def test_the_months_of_a_device_wait_until_it_is_known_whose_they_are(
    store: Store, shared: DiskFolder, tmp_path: Path
) -> None:
    """A program that carries the folder brings the files in any order."""
    await with_two_months(store)
    await merge_through(store, shared)
    rest = tmp_path / "shared" / DeviceFile(await store.device(), "").name
    content = rest.read_bytes()
    rest.unlink()
    other = another()
    waits = await merge_through(other, shared)
    assert (await everything(other)).is_empty
    assert f"“{rest.name}” has not come yet: what that device wrote waits for it." in all_said(waits.left_out)
    rest.write_bytes(content)
    await merge_through(other, shared, known=waits.stamps, months=())
    assert len((await everything(other)).records) == 2


async def test_the_last_session_of_a_month_that_is_erased_leaves_an_empty_file(
    store: Store, shared: DiskFolder
) -> None:
    await with_two_months(store)
    other = another()
    await merge_through(store, shared)
    await merge_through(other, shared)
    await store.sessions.erase("record-1", at=APRIL)
    await merge_through(store, shared)
    await merge_through(other, shared)
    for one in (store, other):
        assert [record.id for record in await one.sessions.records()] == ["record-0"]
        name = DeviceFile(await one.device(), "2026-04").name
        assert read_backup(await shared.read(name), name) == Holdings()


async def test_what_is_erased_leaves_the_folder_also_where_no_other_device_has_the_month(
    store: Store, shared: DiskFolder
) -> None:
    await with_two_months(store)
    await merge_through(store, shared)
    await store.sessions.erase("record-1", at=APRIL)
    await merge_through(store, shared)
    name = DeviceFile(await store.device(), "2026-04").name
    assert read_backup(await shared.read(name), name) == Holdings()


async def test_each_difference_is_decided_by_itself_and_asked_once(store: Store, shared: DiskFolder) -> None:
    plan = builders.plan()
    second = builders.plan(id="second-plan")
    other = another()
    for one, name in ((store, "Here"), (other, "There")):
        await one.person.save_profile(builders.profile())
        for each in (plan, second):
            await one.plans.save(each.model_copy(update={"name": f"{name} {each.id}"}))
    await merge_through(other, shared)
    merged = await merge_through(store, shared)
    assert [one.key for one in merged.brought.open] == ["second-plan", "test-plan"]
    first = merged.brought.open[0]
    answers = {first.revision: Keep.theirs, merged.brought.open[1].revision: Keep.ours}
    await merge_through(store, shared, answers=answers, known=merged.stamps)
    assert {one.name for one in await store.plans.all()} == {"There second-plan", "Here test-plan"}
    assert (await merge_through(store, shared)).brought.open == (), "it is asked once"
    assert revision_of(first.theirs) in {revision_of(one) for one in await store.plans.all()}


async def test_of_a_file_a_byte_more_is_read_than_may_be_so_that_a_larger_one_is_told(
    shared: DiskFolder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(device_files, "LARGEST_BACKUP_BYTES", 10)
    for size, read in ((9, 9), (10, 10), (11, 11), (500, 11)):
        (tmp_path / "shared" / "large.json").write_bytes(b" " * size)
        assert len(await shared.read("large.json")) == read


@pytest.mark.parametrize(
    "name",
    [
        "session-companion-2026-03-02.json",
        "session-companion-8d2f6b7e-93a4-4f5b-8a61-3c0d5e7f9b12-2026-3.json",
        "session-companion-8d2f6b7e-93a4-4f5b-8a61-3c0d5e7f9b12 (copy).json",
        "../session-companion-8d2f6b7e-93a4-4f5b-8a61-3c0d5e7f9b12.json",
        "notes.json",
    ],
)
def test_other_files_in_the_folder_are_nobodys_device(name: str) -> None:
    assert device_file(name) is None
