"""Runs the examples of the README, and finds every path that the documents name."""

from __future__ import annotations

import re
import shlex

import pytest
from places import ROOT

from companion.cli.main import main

README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TRUST = (ROOT / "docs" / "trust.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^```console\n(companion .*?)\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
PROSE = re.sub(r"^```.*?^```$", "", README + DEVELOPERS + TRUST, flags=re.MULTILINE | re.DOTALL)
QUOTED = re.findall(r"`([^`\n]+)`", PROSE)
PATH = re.compile(r"[\w.-]+(/[\w.-]+)*/?")
MADE = ("dist", ".venv", ".cache")
"""What commands make: not there before they ran."""
LINKS = re.findall(r"\]\(([^)#:]+)\)|<img src=\"([^\"]+)\"", README + DEVELOPERS)


@pytest.mark.parametrize(("command", "printed"), EXAMPLES, ids=[command for command, _ in EXAMPLES])
def test_the_readme_shows_what_a_command_prints(
    command: str, printed: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    assert main(shlex.split(command)[1:]) == 0
    assert capsys.readouterr().out == printed


def test_the_readme_has_an_example_of_fitting_and_of_checking_a_plan() -> None:
    assert {command.split()[1] for command, _ in EXAMPLES} == {"fit", "check"}


@pytest.mark.parametrize("written", sorted({path or picture for path, picture in LINKS}))
def test_what_the_documents_point_to_is_there(written: str) -> None:
    assert (ROOT / written).exists()


def is_path(quoted: str) -> bool:
    """Whether a quoted word names something in the checkout, by a slash or a suffix."""
    return (
        PATH.fullmatch(quoted) is not None
        and ("/" in quoted or quoted.endswith((".py", ".md", ".toml", ".json", ".txt", ".js")))
        and quoted.split("/")[0] not in MADE
    )


@pytest.mark.parametrize("quoted", sorted(set(filter(is_path, QUOTED))))
def test_a_path_in_the_documents_exists(quoted: str) -> None:
    assert (ROOT / quoted).exists()


def test_the_documents_name_many_paths() -> None:
    assert len(set(filter(is_path, QUOTED))) > 20
