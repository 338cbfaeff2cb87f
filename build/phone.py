"""Assembles the offline phone build: static files that run the whole application in the phone's browser.

    python3 build/phone.py [--out dist/phone] [--base-url /app/]

Runs inside the project's environment; ``python3 build/dev.py phone`` sees to that. Works on copies alone, and
the finished folder replaces the old one in one step. Wheels stay in .cache/, so a second build needs no
network.
"""

import argparse
import shutil
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from phone_archive import app_files, read_library, site_files, write_archive, write_library
from phone_bytecode import NoNode, compiled
from phone_page import ARCHIVE, Ground, PageFault, patch_client, stage_assets, stage_page, stage_web_folder
from phone_trim import client_licences, licences, trimmed_library, trimmed_wheel, write_licences
from phone_version import pack, write_list
from pyodide_wheels import LockFault, locked_wheels

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "dist" / "phone"
WEB = ROOT / "build" / "web"
ASSETS = ROOT / "companion" / "assets"
ENTRIES = (WEB / "main.py", WEB / "ahead.py", WEB / "everything.py")
LOCK = ROOT / "build" / "locks" / "browser.txt"
WHEEL_CACHE = ROOT / ".cache" / "phone-wheels"


def build_phone(out: Path, *, base_url: str = "/", packed: bool = True) -> None:
    """Assembles the build at ``out``, in place of an earlier one.

    ``base_url`` is the path that it is served under; ``packed`` adds compressed copies for hosts that send
    those. Raises ValueError where ``out`` exists and is no earlier build.
    """
    if out.exists() and not (out / ARCHIVE).is_file():
        raise ValueError(f"{out} is there and holds no earlier build; it is left as it is")
    out.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=out.parent, prefix=f".{out.name}-") as scratch:
        staged = Path(scratch) / "page"
        stage_web_folder(staged)
        stage_assets(ASSETS, staged)
        patch_client(staged, ours=WEB)
        stage_page(staged, base_url=base_url, ours=WEB, assets=ASSETS, ground=_ground())
        stage_python(staged)
        write_list(staged)
        if packed:
            pack(staged)
        if out.exists():
            shutil.rmtree(out)
        staged.rename(out)


def stage_python(staged: Path) -> None:
    """Writes application, packages and standard library as bytecode without what never runs, and licences."""
    wheels = site_files(locked_wheels([LOCK], cache=WHEEL_CACHE))
    licence_files = {**client_licences(), **licences(wheels), "ours": (ROOT / "LICENSE").read_bytes()}
    write_licences(staged / "licences.txt", licence_files)
    library = staged / "pyodide" / "python_stdlib.zip"
    app = {**app_files(ROOT, entries=ENTRIES), **trimmed_wheel(wheels)}
    sources = {f"app/{name}": content for name, content in app.items()}
    sources |= {
        f"library/{name}": content for name, content in trimmed_library(read_library(library)).items()
    }
    made = compiled(sources, pyodide=staged / "pyodide", ours=WEB)
    write_archive(staged / ARCHIVE, below("app/", made))
    write_library(library, below("library/", made))


def below(folder: str, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a folder, by their names below it."""
    return {name.removeprefix(folder): content for name, content in files.items() if name.startswith(folder)}


def size_bytes(folder: Path) -> int:
    """The size of all files below a folder."""
    return sum(path.stat().st_size for path in folder.rglob("*") if path.is_file())


def main(arguments: Sequence[str] | None = None) -> int:
    """Assembles the build and says how large it is; returns the exit code."""
    options = _parser().parse_args(arguments)
    started_s = time.monotonic()
    try:
        build_phone(options.out, base_url=options.base_url, packed=not options.unpacked)
    except (LockFault, NoNode, PageFault, ValueError) as fault:
        print(f"phone build: {fault}", file=sys.stderr)
        return 1
    took_s = time.monotonic() - started_s
    size_mb = size_bytes(options.out) / 1e6
    print(f"{options.out}: {size_mb:.1f} MB in {took_s:.1f} s, to be served at {options.base_url}")
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="phone", description="Assemble the offline phone build.")
    parser.add_argument("--out", type=Path, default=OUT, help="folder to write (default dist/phone)")
    parser.add_argument("--base-url", default="/", help="path it is served under, such as /app/ (default /)")
    parser.add_argument("--unpacked", action="store_true", help="without packed copies beside the files")
    return parser


def _ground() -> Ground:
    """The colours of the application's theme. Imported late, as the checkout is not on this script's path."""
    sys.path.insert(0, str(ROOT))
    from companion.views.controls.theme import DARK, LIGHT

    return Ground(
        light=LIGHT.background,
        dark=DARK.background,
        light_ink=LIGHT.ink,
        dark_ink=DARK.ink,
        accent=LIGHT.accent,
    )


if __name__ == "__main__":
    sys.exit(main())
