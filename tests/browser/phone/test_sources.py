"""What goes into the phone build is what was locked, and what is not ours is left alone. Needs no browser."""

import gzip
import hashlib
import json
import subprocess
import sys
import zipfile
from pathlib import Path

import brotli
import pytest
from phone_archive import site_files, write_archive
from phone_trim import licences, trimmed_library, trimmed_wheel
from phone_version import pack, write_list
from places import ROOT
from pyodide_wheels import LockFault, locked_wheels, read_lock, wheel_files

pytestmark = pytest.mark.phone


def wheel(folder: Path, name: str, files: dict[str, str]) -> Path:
    path = folder / f"{name}-1.0-py3-none-any.whl"
    with zipfile.ZipFile(path, "w") as archive:
        for member, content in files.items():
            archive.writestr(member, content)
    return path


def lock(folder: Path, *lines: str) -> Path:
    path = folder / "lock.txt"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_a_cached_wheel_with_the_locked_digest_needs_no_network(tmp_path: Path) -> None:
    cached = wheel(tmp_path, "parcel", {"parcel.py": "x = 1\n"})
    digest = hashlib.sha256(cached.read_bytes()).hexdigest()
    locked = lock(
        tmp_path, "# a remark", "parcel==1.0 \\", f"    --hash=sha256:{digest}", "    # via nothing"
    )
    assert locked_wheels([locked], cache=tmp_path) == (cached,)


@pytest.mark.parametrize(
    "line",
    [
        "parcel==1.0",
        "parcel>=1.0 --hash=sha256:" + "0" * 64,
        "parcel==1.0; os_name=='x' --hash=sha256:" + "0" * 64,
    ],
    ids=["no hash", "no exact version", "a marker"],
)
def test_a_lock_is_refused_that_leaves_open_what_is_fetched(tmp_path: Path, line: str) -> None:
    with pytest.raises(LockFault, match="parcel"):
        read_lock(lock(tmp_path, line))


def test_an_empty_lock_is_refused(tmp_path: Path) -> None:
    with pytest.raises(LockFault, match="locks nothing"):
        read_lock(lock(tmp_path, "# nothing yet"))


def test_a_wheel_s_library_folder_is_unpacked_and_its_scripts_are_not(tmp_path: Path) -> None:
    files = {"parcel.py": "", "parcel-1.0.data/purelib/inner.py": "", "parcel-1.0.data/scripts/parcel": ""}
    packed = wheel(tmp_path, "parcel", files)
    assert [name for name, _ in wheel_files(packed)] == ["parcel.py", "inner.py"]


def test_two_wheels_may_not_overwrite_each_other(tmp_path: Path) -> None:
    wheels = [wheel(tmp_path, "one", {"same.py": "1"}), wheel(tmp_path, "two", {"same.py": "2"})]
    with pytest.raises(ValueError, match=r"overwrites same\.py"):
        site_files(wheels)


@pytest.mark.parametrize("name", ["requirements.txt", "pyproject.toml"])
def test_the_archive_refuses_a_file_that_would_start_an_installer(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match=name):
        write_archive(tmp_path / "app.tar", {"main.py": b"", name: b""})


def test_a_folder_that_is_no_earlier_build_is_left_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("keep me", encoding="utf-8")
    command = [sys.executable, str(ROOT / "build" / "phone.py"), "--out", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert "left as it is" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_version_is_named_by_its_content_and_lists_what_the_service_worker_keeps(tmp_path: Path) -> None:
    (tmp_path / "index.html").write_text("one", encoding="utf-8")
    (tmp_path / "sw.js").write_text("kept by the browser", encoding="utf-8")
    first = write_list(tmp_path)
    assert write_list(tmp_path) == first
    listed = json.loads((tmp_path / "files.json").read_text(encoding="utf-8"))["files"]
    assert listed == {"index.html": {"sha256": hashlib.sha256(b"one").hexdigest(), "bytes": 3}}
    (tmp_path / "index.html").write_text("two", encoding="utf-8")
    assert write_list(tmp_path) != first


def test_packed_copies_hold_the_file_and_stand_only_where_they_are_smaller(tmp_path: Path) -> None:
    content = b"the same words again and again " * 400
    (tmp_path / "page.html").write_bytes(content)
    (tmp_path / "tiny.json").write_bytes(b"{}")
    pack(tmp_path)
    assert gzip.decompress((tmp_path / "page.html.gz").read_bytes()) == content
    assert brotli.decompress((tmp_path / "page.html.br").read_bytes()) == content
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "page.html",
        "page.html.br",
        "page.html.gz",
        "tiny.json",
    ]


def test_what_never_runs_on_a_phone_stays_out_and_every_licence_is_kept() -> None:
    files = {
        "__pypackages__/flet/app.py": b"",
        "__pypackages__/flet/testing/tester.py": b"",
        "__pypackages__/six-1.0.dist-info/METADATA": b"Name: six\n\nA long story",
        "__pypackages__/six-1.0.dist-info/licenses/LICENSE": b"MIT",
    }
    assert trimmed_wheel(files) == {
        "__pypackages__/flet/app.py": b"",
        "__pypackages__/six-1.0.dist-info/METADATA": b"Name: six\n",
    }
    assert list(licences(files).values()) == [b"MIT"]
    library = {"json/__init__.py": b"", "pdb.py": b"", "encodings/utf_8.py": b"", "encodings/cp949.py": b""}
    assert trimmed_library(library).keys() == {"json/__init__.py", "encodings/utf_8.py"}
