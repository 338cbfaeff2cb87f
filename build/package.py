"""Makes packages for phones and desktops with Flet's builder, from a staged copy.

    python3 build/package.py apk|aab|ipa|macos|linux|windows [--stage-only]

Flet's builder writes beside what it builds, so it never sees this checkout. It needs a Flutter toolchain.
Where that is missing, the script says so and exits with 2.
"""

import argparse
import importlib.util
import json
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from phone_archive import app_files

ROOT = Path(__file__).resolve().parent.parent
OUT = ROOT / "dist"
ENTRY = ROOT / "build" / "packaged" / "main.py"
SERVER_ONLY = frozenset({"flet-web", "starlette", "uvicorn", "websockets"})
"""Dependencies that only the local server uses."""
PICTURES = {
    "icon.png": "icon-512.png",
    "icon_android.png": "icon-maskable-512.png",
    "splash.png": "icon-512.png",
}
"""The pictures that the builder reads, and ours that they are copied from."""
BUILDER = "Flet's builder (`.venv/bin/python -m pip install 'flet-cli>=1.0.5,<1.1'`)"


class Tool(NamedTuple):
    """A command that the builder needs, and the name of what it belongs to."""

    command: str
    name: str


FLUTTER = Tool("flutter", "the Flutter SDK")
_ANDROID = (FLUTTER, Tool("java", "a Java Development Kit"), Tool("adb", "the Android SDK"))
_APPLE = (FLUTTER, Tool("xcodebuild", "Xcode"), Tool("pod", "CocoaPods"))
TOOLS: Mapping[str, tuple[Tool, ...]] = {
    "apk": _ANDROID,
    "aab": _ANDROID,
    "ipa": _APPLE,
    "macos": _APPLE,
    "linux": (FLUTTER, *(Tool(one, one) for one in ("clang", "cmake", "ninja", "pkg-config"))),
    "windows": (FLUTTER, Tool("MSBuild", "Visual Studio with C++")),
}
SYSTEM = {"ipa": ("darwin", "macOS"), "macos": ("darwin", "macOS"), "linux": ("linux", "Linux"),
          "windows": ("win32", "Windows")}  # fmt: skip
"""The only system that can make a package, as in sys.platform and by name. Any can make those for Android."""


def missing(
    target: str, *, system: str = sys.platform, found: Callable[[str], object] = shutil.which
) -> list[str]:
    """What the builder needs for a target and would not find, in words."""
    needed, name = SYSTEM.get(target, (system, ""))
    elsewhere = [f"{name}, the only system it can be made on"] if not system.startswith(needed) else []
    tools = [
        f"{tool.name} (`{tool.command}` on the path)" for tool in TOOLS[target] if not found(tool.command)
    ]
    builder = [] if importlib.util.find_spec("flet_cli") else [BUILDER]
    return [*elsewhere, *tools, *builder]


def stage(out: Path) -> None:
    """Writes what the builder reads: application, pictures and settings. Replaces what was in ``out``."""
    shutil.rmtree(out, ignore_errors=True)
    for name, content in app_files(ROOT, entries=[ENTRY]).items():
        target = out / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(content)
    assets = ROOT / "companion" / "assets"
    shutil.copytree(assets / "fonts", out / "assets" / "fonts")
    for name, ours in PICTURES.items():
        shutil.copyfile(assets / ours, out / "assets" / name)
    shutil.copyfile(ROOT / "LICENSE", out / "LICENSE")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    (out / "pyproject.toml").write_text(in_toml(settings_of(project)), encoding="utf-8")


def settings_of(project: Mapping[str, Any]) -> dict[str, Any]:
    """The settings that the builder reads, without dependencies that only the local server uses."""
    told = project["project"]
    wanted = [one for one in told["dependencies"] if re.split(r"[^\w-]", one)[0] not in SERVER_ONLY]
    kept = {name: told[name] for name in ("name", "version", "description", "requires-python")}
    return {"project": {**kept, "dependencies": wanted}, "tool": {"flet": project["tool"]["flet"]}}


def in_toml(settings: Mapping[str, Any]) -> str:
    """Tables as TOML. Their values may be strings, numbers, booleans and lists, which JSON writes alike."""
    return "\n".join(_lines(settings, ())) + "\n"


def _lines(table: Mapping[str, Any], path: tuple[str, ...]) -> Iterator[str]:
    values = {key: value for key, value in table.items() if not isinstance(value, Mapping)}
    if values:
        yield f"[{'.'.join(map(json.dumps, path))}]"
        yield from (f"{json.dumps(key)} = {json.dumps(value)}" for key, value in values.items())
    for key, value in table.items():
        if isinstance(value, Mapping):
            yield from _lines(value, (*path, key))


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(prog="package", description="Make a package by Flet's builder.")
    parser.add_argument("target", choices=sorted(TOOLS))
    parser.add_argument("--stage-only", action="store_true", help="write what would be built, and stop")
    options = parser.parse_args(arguments)
    staged = OUT / f"{options.target}-staged"
    lacking = [] if options.stage_only else missing(options.target)
    if lacking:
        print(
            f"The package {options.target} cannot be made here: it needs {'; '.join(lacking)}.",
            file=sys.stderr,
        )
        return 2
    stage(staged)
    if options.stage_only:
        print(f"{staged} is what would be built.")
        return 0
    command = [sys.executable, "-m", "flet_cli.cli", "build", options.target, str(staged)]
    return subprocess.run([*command, "--output", str(OUT / options.target), "--yes"], check=False).returncode


if __name__ == "__main__":
    sys.exit(main())
