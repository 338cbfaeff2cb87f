"""The wheels for the phone's Python, fetched by exact version and digest, cached, and checked at each use.

A lock is a requirements file for one target, CPython 3.14 in the browser, so it has no markers: each entry is
``name==version`` with at least one ``--hash=sha256:…``.
"""

import hashlib
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

PYTHON = "3.14"
PLATFORM = "pyemscripten_2026_0_wasm32"  # the ABI of the Pyodide in flet-web, as its lock file names it

_ENTRY = re.compile(r"^(?P<name>[A-Za-z0-9._-]+)==(?P<version>[^\s;]+)(?P<rest>.*)$")
_HASH = re.compile(r"--hash=sha256:([0-9a-f]{64})")


class LockFault(Exception):
    """A lock cannot be used, or a wheel is not what the lock says."""


@dataclass(frozen=True, kw_only=True)
class Locked:
    """An entry of a lock: the package, and the digests that its wheel may have."""

    name: str
    version: str
    sha256: frozenset[str]


def read_lock(lock: Path) -> tuple[Locked, ...]:
    """The entries of a lock, in its order. Raises LockFault for an entry without version or digest."""
    if not lock.is_file():
        raise LockFault(f"{lock} is missing")
    joined = lock.read_text(encoding="utf-8").replace("\\\n", " ")
    lines = (line.split(" #")[0].strip() for line in joined.splitlines())
    entries = tuple(_read_entry(line, lock) for line in lines if line and not line.startswith(("#", "--")))
    if not entries:
        raise LockFault(f"{lock} locks nothing")
    return entries


def locked_wheels(locks: Sequence[Path], *, cache: Path) -> tuple[Path, ...]:
    """A checked wheel for each entry of the locks, by file name. Fetches those that the cache lacks."""
    cache.mkdir(parents=True, exist_ok=True)
    locked = [(entry, lock) for lock in locks for entry in read_lock(lock)]
    wheels = {_find(entry, cache) or _fetched(entry, lock, cache) for entry, lock in locked}
    return tuple(sorted(wheels, key=lambda wheel: wheel.name))


def wheel_files(wheel: Path) -> Iterator[tuple[str, bytes]]:
    """The path below site-packages and the content of each file of a wheel, without scripts and headers."""
    with zipfile.ZipFile(wheel) as archive:
        for name in archive.namelist():
            path = _installed_path(name)
            if path is not None:
                yield path, archive.read(name)


def _read_entry(line: str, lock: Path) -> Locked:
    match = _ENTRY.match(line)
    if match is None or ";" in match["rest"]:
        raise LockFault(f"{lock.name}: not an exact version for one target: {line!r}")
    digests = frozenset(_HASH.findall(match["rest"]))
    if not digests:
        raise LockFault(f"{lock.name}: {match['name']} has no sha256")
    return Locked(name=match["name"], version=match["version"], sha256=digests)


def _find(entry: Locked, cache: Path) -> Path | None:
    """The cached wheel of an entry. Its digest decides, never its file name."""
    for wheel in sorted(cache.glob("*.whl")):
        if hashlib.sha256(wheel.read_bytes()).hexdigest() in entry.sha256:
            return wheel
    return None


def _fetched(entry: Locked, lock: Path, cache: Path) -> Path:
    """The wheel of an entry, after fetching the whole lock in one call of pip. Raises LockFault."""
    _fetch(lock, cache)
    wheel = _find(entry, cache)
    if wheel is None:
        raise LockFault(f"{lock.name}: no wheel of {entry.name}=={entry.version} for the phone's Python")
    return wheel


def _fetch(lock: Path, cache: Path) -> None:
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--disable-pip-version-check"]
    command += ["--no-deps", "--only-binary=:all:", "--require-hashes"]
    command += ["--implementation", "cp", "--python-version", PYTHON, "--platform", PLATFORM]
    command += ["--dest", str(cache), "--requirement", str(lock)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        raise LockFault(f"pip could not fetch the wheels of {lock.name}:\n{done.stderr.strip()}")


def _installed_path(name: str) -> str | None:
    """The path of a wheel's member below site-packages; None if it does not belong there."""
    if name.endswith("/"):
        return None
    parts = name.split("/")
    if not parts[0].endswith(".data"):
        return name
    return "/".join(parts[2:]) if parts[1] in ("purelib", "platlib") else None
