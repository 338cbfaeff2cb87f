"""The project's own virtual environment, made from hash-locked lists, and how those lists are made.

`.venv` holds what the application needs to run; tests add to it. Nothing in it is resolved anew: each lock
names every package with its digests. A lock that has not changed since costs nothing.
"""

import hashlib
import os
import subprocess
import sys
import tempfile
import venv
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ROOT / "build" / "locks"
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")

PHONE = ("--platform", "pyemscripten_2026_0_wasm32", "--python-version", "3.14", "--implementation", "cp", "--abi", "cp314")


def in_environment() -> dict[str, str]:
    """The variables under which commands of the environment are found first."""
    return os.environ | {
        "PATH": f"{BIN}{os.pathsep}{os.environ.get('PATH', '')}",
        "VIRTUAL_ENV": str(VENV),
        "PYTHONDONTWRITEBYTECODE": os.environ.get("PYTHONDONTWRITEBYTECODE", ""),
    }


def prepare(lock_name: str) -> None:
    """Makes the environment hold what a lock lists: `run`, `window` or `test`."""
    lock = LOCKS / f"{lock_name}.txt"
    stamp = VENV / f"{lock_name}.stamp"
    wanted = hashlib.sha256(lock.read_bytes() + sys.version.encode()).hexdigest()
    if stamp.is_file() and stamp.read_text() == wanted:
        return
    if not PYTHON.is_file():
        print("Making the environment in .venv …", flush=True)
        venv.create(VENV, with_pip=True)
    print(f"Installing what build/locks/{lock.name} lists …", flush=True)
    pip("install", "-qq", "--no-deps", "--require-hashes", "--requirement", str(lock))
    stamp.write_text(wanted)


def pip(*arguments: str, python: Path = PYTHON) -> None:
    command = [str(python), "-m", "pip", "--disable-pip-version-check", *arguments]
    if subprocess.run(command, cwd=ROOT, check=False).returncode:
        sys.exit("pip could not finish; what it said stands above.")


def lock_all() -> None:
    """Resolves every list again: the native ones with uv, the phone's from the exact names in the `.in` files."""
    with tempfile.TemporaryDirectory() as scratch:
        tools = Path(scratch) / "tools"
        venv.create(tools, with_pip=True)
        python = tools / BIN.name / PYTHON.name
        pip("install", "-qq", "uv", python=python)
        for name, extras in (("run", ()), ("window", ("window",)), ("test", ("test",))):
            _lock_native(tools / BIN.name / "uv", name, extras)
        for name in ("browser", "browser-test"):
            _lock_phone(name, Path(scratch) / name, python)


def _lock_native(uv: Path, name: str, extras: tuple[str, ...]) -> None:
    command = [str(uv), "pip", "compile", "--quiet", "--universal", "--python-version", "3.11"]
    command += ["--generate-hashes", "--no-header", "--no-annotate", "pyproject.toml"]
    command += [f"--extra={extra}" for extra in extras]
    if name != "run":
        command += ["--constraint", str(LOCKS / "run.txt")]
    subprocess.run([*command, "--output-file", str(LOCKS / f"{name}.txt")], cwd=ROOT, check=True)


def _lock_phone(name: str, folder: Path, python: Path) -> None:
    """For one target every package has one wheel, so its digest is taken from the wheel itself."""
    pip(
        *("download", "-qq", "--no-deps", "--only-binary", ":all:", *PHONE),
        *("--dest", str(folder), "--requirement", str(LOCKS / f"{name}.in")),
        python=python,
    )
    entries = []
    for wheel in sorted(folder.glob("*.whl"), key=lambda path: path.name.lower()):
        package, version = wheel.name.split("-")[:2]
        digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
        entries.append(f"{package.replace('_', '-').lower()}=={version} \\\n    --hash=sha256:{digest}\n")
    (LOCKS / f"{name}.txt").write_text("".join(entries))
