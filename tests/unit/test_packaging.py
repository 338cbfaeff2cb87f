"""What Flet's builder is given for a package, and what is said where its tools are missing."""

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from package import TOOLS, in_toml, main, missing, stage
from places import ROOT

from companion.views.controls.theme import DARK, LIGHT


@pytest.fixture(scope="module")
def staged(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("package") / "staged"
    stage(out)
    return out


def test_what_is_staged_is_the_application_its_pictures_and_nothing_of_the_checkout(staged: Path) -> None:
    assert {path.name for path in staged.iterdir()} == {
        *("main.py", "engine", "storage", "companion", "assets", "pyproject.toml", "LICENSE")
    }
    assert {path.name for path in (staged / "assets").iterdir()} >= {
        "icon.png",
        "icon_android.png",
        "splash.png",
    }
    assert not [path for path in staged.rglob("*") if path.suffix == ".pyc" or "__pycache__" in path.parts]


def test_the_staged_application_starts_where_it_was_staged(staged: Path) -> None:
    """Its entry names what is there: everything but the last line, which would open a window."""
    begin = "import runpy, flet; flet.run = print; runpy.run_path('main.py')"
    done = subprocess.run(
        [sys.executable, "-c", begin], cwd=staged, capture_output=True, text=True, check=False
    )
    assert "packaged_main" in done.stdout, done.stderr


def test_the_builder_is_told_names_permissions_colours_and_no_package_of_the_server(staged: Path) -> None:
    told = tomllib.loads((staged / "pyproject.toml").read_text(encoding="utf-8"))
    ours = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    flet = told["tool"]["flet"]
    assert flet == ours["tool"]["flet"]
    assert flet["product"] == "Session companion"
    assert flet["android"]["permission"] == {
        "android.permission.VIBRATE": True,
        "android.permission.WAKE_LOCK": True,
    }
    assert (flet["splash"]["color"], flet["splash"]["dark_color"]) == (LIGHT.background, DARK.background)
    assert told["project"]["version"] == ours["project"]["version"]
    needed = " ".join(told["project"]["dependencies"])
    assert "pydantic" in needed
    assert "flet-web" not in needed
    assert "uvicorn" not in needed


def test_settings_are_read_again_as_they_were_written() -> None:
    settings = {"a": {"b-c": "“d”\n", "e": [1, 2], "f.g": {"h": True}}}
    assert tomllib.loads(in_toml(settings)) == settings


@pytest.mark.parametrize("target", TOOLS)
def test_each_missing_tool_is_named_with_its_command(target: str) -> None:
    said = " ".join(missing(target, found=lambda _: None))
    assert "the Flutter SDK (`flutter` on the path)" in said
    assert all(f"`{tool.command}`" in said for tool in TOOLS[target])


def test_what_is_there_is_not_missed_and_a_package_for_another_system_is_refused() -> None:
    def everything(_: str) -> str:
        return "/usr/bin/it"

    assert not [one for one in missing("apk", found=everything) if "path" in one]
    assert "macOS, the only system it can be made on" in missing("ipa", system="linux", found=everything)
    assert not [one for one in missing("ipa", system="darwin", found=everything) if "macOS" in one]


def test_without_a_toolchain_one_sentence_says_so_and_nothing_is_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("package.OUT", tmp_path / "dist")
    assert main(["apk"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("The package apk cannot be made here: it needs the Flutter SDK")
    assert said.count("\n") == 1
    assert not (tmp_path / "dist").exists()


def test_with_a_toolchain_the_builder_is_called_on_the_staged_copy(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    calls: list[list[str]] = []

    class Done:
        returncode = 7

    def run(command: list[str], **_: object) -> Done:
        calls.append(command)
        return Done()

    monkeypatch.setattr("package.OUT", tmp_path)
    monkeypatch.setattr("package.missing", lambda _: [])
    monkeypatch.setattr("subprocess.run", run)
    assert main(["apk"]) == 7
    (command,) = calls
    assert command[2:] == [
        *(
            "flet_cli.cli",
            "build",
            "apk",
            str(tmp_path / "apk-staged"),
            "--output",
            str(tmp_path / "apk"),
            "--yes",
        )
    ]
    assert (tmp_path / "apk-staged" / "main.py").is_file()
