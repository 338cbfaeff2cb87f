"""Yesterday's application, frozen to try an upgrade on: its own code, and a data folder that this code wrote.

    python3 build/dev.py renew rehearsal [REVISION]

freezes the checkout as it is, or a revision of its history: what the next versions have to open. Until 1.0.0
a format changes in place and nobody has files of the old one, so the change freezes itself: renew this in the
same commit. From 1.0.0 on, freeze what was released.

What others made (the web client, the phone's Python, the wheels), and our fonts and clips, are not frozen:
``laid_out`` takes them from the checkout, and builds the rest with yesterday's own build.
"""

from __future__ import annotations

import io
import json
import os
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterable
from pathlib import Path

from places import GOLDEN, ROOT

YESTERDAY = GOLDEN / "yesterday"
CODE, FOLDER, TOLD = YESTERDAY / "code.tar.xz", YESTERDAY / "folder.tar.xz", YESTERDAY / "told.json"
FROZEN = ("engine/", "storage/", "companion/", "build/", "LICENSE")
FROM_TODAY = ("companion/assets/fonts", "companion/assets/voice", "build/locks")
FIXED_TIME_S = 315_532_800  # 1980-01-01T00:00:00Z
SUPPORT = ("", "tests/support", "tests/support/golden")
VERSION = re.compile(r"^(VERSION|DERIVED_VERSION) = (\d+)$", re.MULTILINE)
NO_STEP = "STEPS: Migrations = {}"
RENAMED = " of the day after"
STEP = f"""

def _day_after(tables: Tables) -> Tables:
    return {{
        name: {{key: {{**one, "name": one["name"] + "{RENAMED}"}} for key, one in table.items()}}
        for name, table in tables.items()
    }}


STEPS: Migrations = {{(format, %s): _day_after for format in ("profile", "profile-file")}}"""


def yesterday(target: Path) -> Path:
    """Lays out yesterday's checkout at ``target``, with what others made taken from today's."""
    _unpack(CODE, target)
    for name in FROM_TODAY:
        shutil.copytree(ROOT / name, target / name)
    return _with_wheels(target)


def day_after(target: Path) -> Path:
    """Lays out today's checkout with the next version of every format, whose step renames the person.

    It is invented as long as yesterday's formats are today's: else nothing would be upgraded.
    """
    for name, content in _files_of_checkout().items():
        _write(target / name, content)
    schema = target / "storage" / "schema.py"
    text = schema.read_text("utf-8")
    found = {name: int(number) for name, number in VERSION.findall(text)}
    text = VERSION.sub(lambda one: f"{one[1]} = {int(one[2]) + 1}", text)
    assert text.count(NO_STEP) == 1, "there are real steps now: freeze what was released, and try those"
    schema.write_text(text.replace(NO_STEP, STEP % found["VERSION"]), "utf-8")
    return _with_wheels(target)


def built(checkout: Path, out: Path) -> Path:
    """The offline build of a checkout, made by its own build, to be served at /app/."""
    command = [sys.executable, "build/phone.py", "--out", str(out), "--base-url", "/app/", "--unpacked"]
    done = subprocess.run(command, cwd=checkout, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return out


def yesterdays_folder(target: Path) -> Path:
    """The data folder that yesterday's code wrote, at ``target``."""
    _unpack(FOLDER, target)
    return target


def called(checkout: Path, statement: str, *arguments: str) -> str:
    """What a statement prints that is run with the code of a checkout, which is compiled beside it."""
    before = os.pathsep.join(str(checkout / name) for name in SUPPORT)
    path = os.pathsep.join([before, *(str(ROOT / name) for name in SUPPORT[1:])])
    command = [sys.executable, "-c", f"import sys\n{statement}", *arguments]
    variables = os.environ | {"PYTHONPATH": path, "PYTHONPYCACHEPREFIX": f"{checkout}-compiled"}
    done = subprocess.run(command, cwd=checkout, env=variables, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def main() -> int:
    revision = next(iter(sys.argv[1:]), "")
    files = _files_of(revision) if revision else _files_of_checkout(everything=True)
    with tempfile.TemporaryDirectory() as scratch:
        checkout, folder = Path(scratch) / "checkout", Path(scratch) / "folder"
        for name, content in files.items():
            _write(checkout / name, content)
        called(checkout, "from year_before import main; main(sys.argv[1])", str(folder))
        told = called(checkout, "from year_before import tell; tell(sys.argv[1])", str(folder))
        YESTERDAY.mkdir(exist_ok=True)
        _pack(CODE, {name: content for name, content in files.items() if _is_frozen(name)})
        _pack(FOLDER, _read(folder))
    TOLD.write_text(json.dumps(json.loads(told), indent=1) + "\n", "utf-8")
    return 0


def _is_frozen(name: str) -> bool:
    return name.startswith(FROZEN) and not name.startswith(FROM_TODAY)


def _files_of(revision: str) -> dict[str, bytes]:
    """The files of a revision."""
    command = ["git", "archive", "--format=tar", revision]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, check=True)
    return _in_archive(done.stdout)


def _files_of_checkout(*, everything: bool = False) -> dict[str, bytes]:
    """What is to be built from the checkout as it is, without caches; or its tests' support too."""
    folders = [*FROZEN, *(("tests/support/",) if everything else ())]
    paths: Iterable[Path] = (path for name in folders for path in _below(ROOT / name))
    return {path.relative_to(ROOT).as_posix(): path.read_bytes() for path in sorted(paths)}


def _below(path: Path) -> Iterable[Path]:
    if path.is_file():
        return [path]
    return (one for one in path.rglob("*") if one.is_file() and "__pycache__" not in one.parts)


def _with_wheels(checkout: Path) -> Path:
    """Lets a checkout find the wheels that ours has fetched."""
    wheels = ROOT / ".cache" / "phone-wheels"
    if wheels.is_dir():
        shutil.copytree(wheels, checkout / ".cache" / "phone-wheels")
    return checkout


def _read(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(_below(folder))}


def _write(target: Path, content: bytes) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    target.write_bytes(content)


def _pack(target: Path, files: dict[str, bytes]) -> None:
    with tarfile.open(target, "w:xz", format=tarfile.USTAR_FORMAT, preset=9) as archive:
        for name in sorted(files):
            member = tarfile.TarInfo(name)
            member.size, member.mtime, member.mode = len(files[name]), FIXED_TIME_S, 0o600
            archive.addfile(member, io.BytesIO(files[name]))


def _unpack(source: Path, target: Path) -> None:
    for name, content in _in_archive(source.read_bytes()).items():
        _write(target / name, content)


def _in_archive(content: bytes) -> dict[str, bytes]:
    with tarfile.open(fileobj=io.BytesIO(content)) as archive:
        opened = ((one.name, archive.extractfile(one)) for one in archive)
        return {name: file.read() for name, file in opened if file is not None}
