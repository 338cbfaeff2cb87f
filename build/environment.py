"""The project's virtual environment, made from locks.

One environment serves every command: ``run`` installs the shortest lock, ``test`` and ``window`` add to it. A
lock names every package with its digests, so nothing is resolved here. An unchanged lock costs nothing. A
changed lock has the environment made from nothing, which also removes what no lock names any more.
"""

import hashlib
import os
import subprocess
import sys
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ROOT / "build" / "locks"
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")

CONTAINED_IN = {"run": ("test", "window"), "test": (), "window": ()}
"""For each lock, the longer ones that contain all of it in the same versions."""


def in_environment() -> dict[str, str]:
    """Environment variables with the commands of the virtual environment first on the path."""
    path = f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}"
    return os.environ | {"PATH": path, "VIRTUAL_ENV": str(VENV)}


def prepare(lock_name: str) -> None:
    """Makes the environment hold what a lock lists: ``run``, ``window`` or ``test``."""
    usable = is_usable(VENV)
    if usable and any(_is_installed(name) for name in (lock_name, *CONTAINED_IN[lock_name])):
        return
    if not usable or any(not _is_installed(stamp.stem) for stamp in VENV.glob("*.stamp")):
        _say("Making the environment in .venv …")
        make(VENV)
    _say(f"Installing what build/locks/{lock_name}.txt lists …")
    pip("install", "-qq", "--no-deps", "--require-hashes", "--requirement", str(LOCKS / f"{lock_name}.txt"))
    _stamp(lock_name).write_text(_digest(lock_name), encoding="utf-8")


def is_usable(folder: Path) -> bool:
    """Whether an environment is complete and was made by the Python that runs this."""
    version = ".".join(map(str, sys.version_info[:3]))
    settings = folder / "pyvenv.cfg"
    made_here = (
        settings.is_file() and f"version = {version}" in settings.read_text(encoding="utf-8").splitlines()
    )
    tools = folder / BIN.name
    return made_here and all((tools / (name + PYTHON.suffix)).is_file() for name in ("python", "pip"))


def make(folder: Path) -> None:
    """Makes an environment that holds only pip, in place of what was there."""
    if folder.is_symlink():
        sys.exit(f"{folder} is a link: remove it, because the environment that it leads to would be emptied.")
    try:
        venv.create(folder, clear=True, with_pip=True)
    except subprocess.CalledProcessError:
        sys.exit(
            "This Python cannot make environments; on Debian and Ubuntu install the package python3-venv."
        )


def pip(*arguments: str, python: Path = PYTHON) -> None:
    """Runs pip. Where pip fails, ends the process with one sentence below what pip said."""
    command = [str(python), "-m", "pip", "--disable-pip-version-check", *arguments]
    if subprocess.run(command, cwd=ROOT, check=False).returncode:
        sys.exit("pip could not finish; what it said stands above.")


def _say(sentence: str) -> None:
    """Prints to the error stream, because the output belongs to the command that needs the environment."""
    print(sentence, file=sys.stderr, flush=True)


def _is_installed(lock_name: str) -> bool:
    stamp = _stamp(lock_name)
    lock = LOCKS / f"{lock_name}.txt"
    return stamp.is_file() and lock.is_file() and stamp.read_text(encoding="utf-8") == _digest(lock_name)


def _stamp(lock_name: str) -> Path:
    return VENV / f"{lock_name}.stamp"


def _digest(lock_name: str) -> str:
    return hashlib.sha256((LOCKS / f"{lock_name}.txt").read_bytes() + sys.version.encode()).hexdigest()
