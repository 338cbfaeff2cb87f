"""Makes the locks in build/locks/: what each target installs, with exact versions and digests.

uv resolves the native locks for every platform and for Python 3.11 and newer. The phone's locks take their
versions from the native ones, so that both run the same code.
"""

import hashlib
import re
import subprocess
import tempfile
from pathlib import Path

from environment import BIN, LOCKS, PYTHON, ROOT, make, pip

NATIVE = {"run": (), "window": ("window",), "test": ("test",)}
PHONE = ("browser", "browser-test")
PHONE_TARGET = (
    *("--python-version", "3.14", "--implementation", "cp", "--abi", "cp314"),
    *("--platform", "pyemscripten_2026_0_wasm32"),
)


def lock_all(*, upgrade: bool) -> None:
    """Writes every lock. Keeps locked versions that still fit, unless they are to be upgraded."""
    with tempfile.TemporaryDirectory() as scratch:
        tools = Path(scratch) / "tools"
        make(tools)
        python = tools / BIN.name / PYTHON.name
        pip("install", "-qq", "uv", python=python)
        for name, extras in NATIVE.items():
            _lock_native(tools / BIN.name / "uv", name, extras, upgrade=upgrade)
        for name in PHONE:
            _lock_phone(name, Path(scratch) / name, python)


def versions(lock_text: str) -> dict[str, str]:
    """The version of each package in a lock."""
    return dict(re.findall(r"^([A-Za-z0-9._-]+)==([^\s;]+)", lock_text, flags=re.MULTILINE))


def _lock_native(uv: Path, name: str, extras: tuple[str, ...], *, upgrade: bool) -> None:
    command = [str(uv), "pip", "compile", "--quiet", "--universal", "--python-version", "3.11"]
    command += ["--generate-hashes", "--no-header", "--no-annotate", "pyproject.toml"]
    command += [f"--extra={extra}" for extra in extras]
    command += ["--upgrade"] if upgrade else []
    if name != "run":
        command += ["--constraint", str(LOCKS / "run.txt")]
    subprocess.run([*command, "--output-file", str(LOCKS / f"{name}.txt")], cwd=ROOT, check=True)


def _lock_phone(name: str, folder: Path, python: Path) -> None:
    """The digest comes from the wheel itself, since a package has only one wheel for this target."""
    native = versions((LOCKS / "test.txt").read_text(encoding="utf-8"))
    wanted = (LOCKS / f"{name}.in").read_text(encoding="utf-8").split()
    pip(
        *("download", "-qq", "--no-deps", "--only-binary", ":all:", *PHONE_TARGET, "--dest", str(folder)),
        *(f"{package}=={native[package]}" for package in wanted),
        python=python,
    )
    wheels = sorted(folder.glob("*.whl"), key=lambda path: path.name.lower())
    (LOCKS / f"{name}.txt").write_text("".join(map(_entry, wheels)), encoding="utf-8")


def _entry(wheel: Path) -> str:
    package, version = wheel.name.split("-")[:2]
    digest = hashlib.sha256(wheel.read_bytes()).hexdigest()
    return f"{package.replace('_', '-').lower()}=={version} \\\n    --hash=sha256:{digest}\n"
