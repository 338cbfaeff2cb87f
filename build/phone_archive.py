"""The archive that the phone's Python reads at start: our packages, the entries, and the wheels.

The same input gives the same bytes: members are sorted, and their owners, modes and times are fixed.
"""

import io
import tarfile
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from pyodide_wheels import wheel_files

PACKAGES = ("engine", "storage", "companion")
SITE = "__pypackages__"  # Flet's worker puts this folder first on sys.path
FIXED_TIME_S = 315_532_800  # 1980-01-01T00:00:00Z, the earliest time that a zip file can hold

# The page serves companion/assets from its root, so Python needs no second copy.
_LEFT_OUT = ("companion/assets/",)
# With either of these beside the entry, Flet's worker would start an installer.
_FORBIDDEN = ("requirements.txt", "pyproject.toml")


def app_files(root: Path, *, entries: Iterable[Path]) -> dict[str, bytes]:
    """Our packages below ``root``, and the entries beside them, by path in the archive."""
    files = {entry.name: entry.read_bytes() for entry in entries}
    for package in PACKAGES:
        for path in sorted((root / package).rglob("*")):
            name = path.relative_to(root).as_posix()
            if path.is_file() and not _is_leftover(path.relative_to(root)) and not name.startswith(_LEFT_OUT):
                files[name] = path.read_bytes()
    return files


def site_files(wheels: Iterable[Path]) -> dict[str, bytes]:
    """The contents of the wheels, by path in the archive. Raises ValueError where two wheels collide."""
    files: dict[str, bytes] = {}
    for wheel in wheels:
        for name, content in wheel_files(wheel):
            if files.get(f"{SITE}/{name}", content) != content:
                raise ValueError(f"{wheel.name} overwrites {name} of another wheel")
            files[f"{SITE}/{name}"] = content
    return files


def read_library(library: Path) -> dict[str, bytes]:
    """The files in the standard library's archive, by name."""
    with zipfile.ZipFile(library) as archive:
        return {name: archive.read(name) for name in archive.namelist() if not name.endswith("/")}


def write_library(library: Path, files: Mapping[str, bytes]) -> None:
    """Writes the standard library's archive uncompressed, since compressing it as a whole saves more."""
    with zipfile.ZipFile(library, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            archive.writestr(zipfile.ZipInfo(name), files[name])


def write_archive(target: Path, files: Mapping[str, bytes]) -> None:
    """Writes files as an uncompressed tar, since compressing it as a whole saves more.

    Raises ValueError for a file that would start an installer.
    """
    forbidden = [name for name in _FORBIDDEN if name in files]
    if forbidden:
        raise ValueError(f"the archive must not hold {', '.join(forbidden)}")
    with tarfile.open(target, mode="w", format=tarfile.USTAR_FORMAT) as archive:
        for member, content in _members(files):
            archive.addfile(member, io.BytesIO(content))


def _members(files: Mapping[str, bytes]) -> Iterator[tuple[tarfile.TarInfo, bytes]]:
    for name in sorted(files):
        member = tarfile.TarInfo(name)
        member.size = len(files[name])
        member.mtime = FIXED_TIME_S
        member.mode = 0o644
        yield member, files[name]


def _is_leftover(path: Path) -> bool:
    """Whether a file is a cache or hidden, as checkouts gather them, or a catalogue not yet compiled."""
    is_hidden = any(part == "__pycache__" or part.startswith(".") for part in path.parts)
    return is_hidden or path.suffix in (".pyc", ".po")
