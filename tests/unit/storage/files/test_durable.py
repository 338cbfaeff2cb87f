"""Files that are replaced atomically, checked, and kept in two generations."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest

from companion.words.faults import why
from companion.words.saying import all_said
from storage.files import disk
from storage.files.computer import MARK_NAME
from storage.files.disk import copy_aside, previous_of, replace_file
from storage.files.durable import Documents, DurableStorage
from storage.folder.owner import FolderLock
from storage.problem import Cause, StorageProblem, Trouble


class Place:
    """One file of documents, opened again for each call, as the stores do."""

    def __init__(self, folder: Path) -> None:
        self.path, self.troubles = folder / "shelf.json", list[Trouble]()

    def open(self, **options: Any) -> Documents:
        return Documents(
            self.path, storage=DurableStorage, format="shelf-file", tell=self.troubles.append, **options
        )

    def put(self, weight: int) -> None:
        self.open().put("weights", "left", {"load_g": weight})

    def weight(self, **options: Any) -> object:
        held = self.open(**options).one("weights", "left")
        return held and held["load_g"]


@pytest.fixture
def place(tmp_path: Path) -> Place:
    return Place(tmp_path)


def spoil(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 0x20
    path.write_bytes(content)


def test_a_file_is_json_and_starts_with_its_format_and_version(place: Place) -> None:
    place.put(8_000)
    written = json.loads(place.path.read_bytes())
    assert list(written) == ["format", "version", "sha256", "tables"]
    assert (written["format"], written["version"]) == ("shelf-file", 1)
    assert written["tables"] == {"weights": {"left": {"load_g": 8_000}}}


def test_the_checksum_is_sha_256_of_the_format_the_version_and_the_tables(place: Place) -> None:
    """Against a fixed text hashed with coreutils: printf 'shelf-file 1\\n{…}' | sha256sum."""
    place.put(8_000)
    written = json.loads(place.path.read_bytes())
    assert written["sha256"] == "1eefffac73e86873418da3d3dfc7713fa6131be1f9071cbe03c89f607b4c795e"


def test_the_generation_before_is_kept(place: Place) -> None:
    place.put(8_000)
    place.put(9_000)
    place.put(10_000)
    assert b"10000" in place.path.read_bytes()
    assert b"9000" in previous_of(place.path).read_bytes()
    assert sorted(path.name for path in place.path.parent.iterdir()) == ["shelf.json", "shelf.json.previous"]


@pytest.mark.parametrize(
    "where", ["first byte", "head", "tables", "last byte", "end", "emptied", "cut", "zeros"]
)
def test_a_damaged_file_is_set_aside_and_the_generation_before_is_used(place: Place, where: str) -> None:
    place.put(8_000)
    place.put(9_000)
    content = place.path.read_bytes()
    changed = {
        "first byte": b"[" + content[1:],
        "head": content.replace(b'"sha256": "', b'"sha256": "0', 1),
        "tables": content.replace(b"9000", b"9001"),
        "last byte": content[:-1],
        "end": content.removesuffix(b"\n}\n"),
        "emptied": b"",
        "cut": content[: len(content) // 2],
        "zeros": bytes(len(content)),
    }[where]
    place.path.write_bytes(changed)
    assert place.weight() == 8_000
    assert (place.path.parent / "shelf.json.damaged-1").read_bytes() == changed
    (trouble,) = place.troubles
    assert trouble.where == "shelf.json"
    assert all_said(trouble.said) == (
        "“shelf.json” is damaged, so the copy from before its last change is used."
        " The damaged file is kept as “shelf.json.damaged-1”."
    )
    assert place.weight() == 8_000
    assert len(place.troubles) == 1


def test_any_single_changed_byte_is_noticed(place: Place) -> None:
    place.put(8_000)
    content = place.path.read_bytes()
    newer = []
    for index in range(len(content)):
        changed = bytearray(content)
        changed[index] ^= 0x02
        place.path.write_bytes(changed)
        place.troubles.clear()
        with suppress(StorageProblem):
            assert place.weight() is None
        if not place.troubles:
            newer.append(chr(changed[index]))
        for path in place.path.parent.iterdir():
            path.unlink()
    assert newer == ["3"], "only the changed version number passes for a newer file, which is left as it is"


def test_two_damaged_generations_are_both_kept_and_said(place: Place) -> None:
    place.put(8_000)
    place.put(9_000)
    spoil(place.path)
    spoil(previous_of(place.path))
    assert place.weight() is None
    names = {path.name for path in place.path.parent.iterdir()}
    assert names == {"shelf.json.damaged-1", "shelf.json.previous.damaged-1"}
    assert len(place.troubles) == 1
    place.put(5_000)
    assert place.weight() == 5_000


def test_a_second_damaged_file_does_not_cover_the_first(place: Place) -> None:
    for _ in range(2):
        place.put(8_000)
        place.put(9_000)
        spoil(place.path)
        place.weight()
    names = {path.name for path in place.path.parent.iterdir()}
    assert {"shelf.json.damaged-1", "shelf.json.damaged-2"} <= names


def test_saving_over_a_damaged_file_keeps_the_sound_generation(place: Place) -> None:
    place.put(8_000)
    place.put(9_000)
    spoil(place.path)
    place.open().storage.write({"weights": {"left": {"load_g": 7_000}}})
    assert place.weight() == 7_000
    assert b"8000" in previous_of(place.path).read_bytes()


def test_a_missing_file_is_brought_back_from_the_generation_before(place: Place) -> None:
    place.put(8_000)
    place.put(9_000)
    place.path.unlink()
    assert place.weight() == 8_000
    assert place.path.exists()
    assert "is missing" in all_said(place.troubles[0].said)


def test_without_the_right_to_repair_nothing_on_the_disk_is_touched(place: Place) -> None:
    place.put(8_000)
    place.put(9_000)
    spoil(place.path)
    before = {path.name: path.read_bytes() for path in place.path.parent.iterdir()}
    assert place.weight(may_repair=False) == 8_000
    assert {path.name: path.read_bytes() for path in place.path.parent.iterdir()} == before
    assert len(place.troubles) == 1


@pytest.mark.parametrize(
    "newer",
    [
        b'{"format": "shelf-file", "version": 3, "sha256": "00", "tables":\n{}\n}\n',
        b'{"format": "shelf-file", "version": 12, "rows": [1, 2]}',
    ],
)
def test_a_newer_file_is_refused_and_left_as_it_is(place: Place, newer: bytes) -> None:
    place.put(8_000)
    place.path.write_bytes(newer)
    for attempt in (place.weight, lambda: place.put(1)):
        with pytest.raises(StorageProblem) as problem:
            attempt()
        assert problem.value.cause is Cause.newer
        assert "newer version" in why(problem.value)
    assert place.path.read_bytes() == newer
    assert place.troubles == []


def refuse(code: int) -> Callable[..., None]:
    def refusing(*_: object, **__: object) -> None:
        raise OSError(code, os.strerror(code))

    return refusing


@pytest.mark.parametrize(
    "code, cause",
    [
        (errno.ENOSPC, Cause.disk_full),
        (errno.EDQUOT, Cause.disk_full),
        (errno.EROFS, Cause.read_only),
        (errno.EACCES, Cause.not_permitted),
        (errno.EIO, Cause.disk_fault),
    ],
)
@pytest.mark.parametrize("call", ["fsync", "replace"])
def test_when_the_disk_refuses_the_old_content_stays(
    place: Place, monkeypatch: pytest.MonkeyPatch, call: str, code: int, cause: Cause
) -> None:
    monkeypatch.setattr(disk, "FIRST_PAUSE_S", 0)
    place.put(8_000)
    with monkeypatch.context() as patch:
        patch.setattr(os, call, refuse(code))
        with pytest.raises(StorageProblem) as problem:
            place.put(9_000)
    assert problem.value.cause is cause
    assert why(problem.value).count(".") <= why(problem.value).count("shelf.json") + 2
    assert place.weight() == 8_000
    assert not (place.path.parent / ".shelf.json.new").exists()
    place.put(9_500)
    assert place.weight() == 9_500


def test_a_really_full_disk_keeps_the_old_content(tmp_path: Path) -> None:
    """Linux's /dev/full answers every write with ENOSPC (full(4))."""
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    place = Place(tmp_path)
    place.put(8_000)
    (tmp_path / ".shelf.json.new").symlink_to("/dev/full")
    with pytest.raises(StorageProblem) as problem:
        place.put(9_000)
    assert problem.value.cause is Cause.disk_full
    assert place.weight() == 8_000


def test_a_file_held_by_another_program_is_replaced_once_it_is_free(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows refuses to replace a file with PermissionError while another program has it open."""
    path, pauses, really = tmp_path / "shelf.json", list[float](), os.replace
    replace_file(path, b"old")

    def held_twice(source: Any, target: Any, **_: Any) -> None:
        if Path(target) == path and len(pauses) < 2:
            raise PermissionError(errno.EACCES, "held")
        really(source, target)

    monkeypatch.setattr(os, "replace", held_twice)
    replace_file(path, b"new", pause=pauses.append)
    assert path.read_bytes() == b"new"
    assert previous_of(path).read_bytes() == b"old"
    assert pauses == [0.01, 0.02]


def test_a_file_held_for_good_is_given_up_after_a_bounded_number_of_tries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, pauses = tmp_path / "shelf.json", list[float]()
    replace_file(path, b"old")
    monkeypatch.setattr(os, "replace", refuse(errno.EACCES))
    with pytest.raises(PermissionError):
        replace_file(path, b"new", keep_previous=False, pause=pauses.append)
    assert len(pauses) == disk.REPLACE_TRIES - 1
    assert sum(pauses) == pytest.approx(0.3, abs=0.05), "as long as a scanner usually holds a file. No source"
    assert path.read_bytes() == b"old"


def test_without_hard_links_the_generation_before_is_a_copy(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "shelf.json"
    monkeypatch.setattr(os, "link", refuse(errno.EPERM))
    replace_file(path, b"old")
    replace_file(path, b"new")
    assert (path.read_bytes(), previous_of(path).read_bytes()) == (b"new", b"old")


def test_at_no_moment_is_there_no_current_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "shelf.json"
    replace_file(path, b"old")
    looked: list[bytes] = []
    for name in ("replace", "link", "unlink", "fsync"):
        really = getattr(os, name)

        def look(*given: Any, really: Any = really, **options: Any) -> Any:
            looked.append(path.read_bytes())
            result = really(*given, **options)
            looked.append(path.read_bytes())
            return result

        monkeypatch.setattr(os, name, look)
    replace_file(path, b"new")
    assert len(looked) >= 8
    assert looked == sorted(looked, key=[b"old", b"new"].index)


def test_a_crash_after_keeping_the_old_one_leaves_nothing_behind_later(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Both names then belong to one file, and POSIX rename does nothing."""
    path = tmp_path / "shelf.json"
    replace_file(path, b"one")
    replace_file(path, b"two")
    previous_of(path).unlink()
    os.link(path, previous_of(path))
    replace_file(path, b"three")
    assert (path.read_bytes(), previous_of(path).read_bytes()) == (b"three", b"two")
    assert {each.name for each in tmp_path.iterdir()} == {"shelf.json", "shelf.json.previous"}


def test_the_folder_is_for_its_user_alone(tmp_path: Path) -> None:
    if os.name == "nt":
        pytest.skip("Windows keeps rights otherwise")
    replace_file(tmp_path / "deep" / "kept" / "shelf.json", b"x")
    assert (tmp_path / "deep" / "kept").stat().st_mode & 0o077 == 0


def test_every_file_is_for_its_user_alone_in_a_folder_that_all_may_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The folder that --data names may be anybody's to read: its files were 0644."""
    if os.name == "nt":
        pytest.skip("Windows keeps rights otherwise")
    tmp_path.chmod(0o755)
    path = tmp_path / "profile.json"
    replace_file(path, b"one")
    monkeypatch.setattr(Path, "hardlink_to", _no_links)
    replace_file(path, b"two")
    copy_aside(path)
    FolderLock(tmp_path).take()
    assert {each.name: each.stat().st_mode & 0o777 for each in tmp_path.iterdir()} == dict.fromkeys(
        ("profile.json", "profile.json.previous", "profile.json.damaged-1", "owner.lock", MARK_NAME), 0o600
    )


def _no_links(*_: object) -> None:
    raise OSError(errno.EPERM, "no links here")
