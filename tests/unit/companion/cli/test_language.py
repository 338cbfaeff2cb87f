"""The command line in another language: every word that it prints, also the words of argparse."""

from __future__ import annotations

import argparse
import re
from contextlib import suppress
from gettext import gettext
from pathlib import Path

import pytest
from pseudo import pseudo, pseudo_language

from companion.cli import main as cli

Output = pytest.CaptureFixture[str]
NAMES = re.compile(r"--[a-z-]+|[A-Z]{3,}\w*|\{[a-z,]*\}|\bcompanion\b|[a-z]+(?:-[a-z]+)*\|[a-z|-]+")
"""What no language translates: options, placeholders, commands."""
MARKED = re.compile(r"^[-~ox#.=x ]+$", re.MULTILINE)
"""The line of marks."""


@pytest.fixture(autouse=True)
def _another_language(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cli, "NAMES", {"en": "English", "xx": "Another"})
    monkeypatch.setattr(cli, "language", lambda code: pseudo_language())


def said(output: Output, *arguments: str) -> str:
    """What a command prints, on either stream."""
    with suppress(SystemExit):  # after its help
        cli.main(("--language", "xx", *arguments))
    return "".join(output.readouterr())


def outside(printed: str) -> list[str]:
    """The words that no catalogue said: all but those in brackets."""
    before, printed = None, MARKED.sub("", printed)
    while before != printed:
        before, printed = printed, re.sub(r"⟦[^⟦⟧]*⟧", "", printed)
    return re.findall(r"[A-Za-z]{2,}", NAMES.sub("", printed))


@pytest.mark.parametrize("minutes", ["12", "17", "25", "60"])
def test_a_fit_is_told_in_the_language_that_was_asked_for(capsys: Output, minutes: str) -> None:
    printed = said(capsys, "fit", "harbour-circuit", "--minutes", minutes, "--kit", "single")
    assert outside(printed) == []
    assert pseudo("Work") in printed


@pytest.mark.parametrize(
    "arguments",
    [
        ("fit",),
        ("fit", "harbour-circuit", "--minutes"),
        ("fit", "harbour-circuit", "--minutes", "soon"),
        ("fit", "harbour-circuit", "--minutes", "1"),
        ("fit", "harbour-circuit", "--minutes", "25", "--kit", "three"),
        ("fit", "harbour-circuit", "--minutes", "25", "--pain", "tail:2"),
        ("fit", "harbour-circuit", "--minutes", "25", "--pain", "neck:7"),
        ("fit", "harbour-circuit", "--minutes", "25", "--colour"),
        ("fit", "no-such-plan", "--minutes", "25"),
        ("export", "kept"),
        ("export", "kept", "--csv", "a", "--jsonl", "b"),
        ("erase", "kept", "--all=3"),
        ("read",),
        ("page", "kept", "--out", "x", "--weeks", "0"),
        ("check", "harbour-circuit"),
        ("dance",),
    ],
    ids=" ".join,
)
def test_a_refusal_is_said_in_the_language_that_was_asked_for(
    capsys: Output, arguments: tuple[str, ...]
) -> None:
    printed = said(capsys, *arguments)
    assert printed.startswith("⟦")
    assert outside(printed) == []


@pytest.mark.parametrize("command", ["fit", "check", "link", "sheet", "open-link", "page", "export", "read"])
def test_the_help_of_a_command_is_in_the_language_that_was_asked_for(capsys: Output, command: str) -> None:
    printed = " ".join(said(capsys, command, "--help").split())
    assert set(outside(printed)) <= {command, *command.split("-"), "svg", "html", "json"}


def test_the_words_of_argparse_are_its_own_again_afterwards(capsys: Output) -> None:
    said(capsys, "fit")
    assert getattr(argparse, "_") is gettext  # noqa: B009


def test_a_sheet_carries_its_language_and_its_direction(
    capsys: Output, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cli, "language", lambda code: pseudo_language(is_rtl=True))
    said(capsys, "sheet", "harbour-circuit", "--out", str(tmp_path / "sheet.html"))
    assert '<html lang="xx" dir="rtl">' in (tmp_path / "sheet.html").read_text("utf-8")
