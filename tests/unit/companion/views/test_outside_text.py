"""No text from outside steers, turns or hides what a screen shows or a terminal prints."""

from __future__ import annotations

from pathlib import Path

import flet as ft
import pytest
from builders import plan
from flet_client import window_on

from companion.cli import main as cli
from engine.base.printable import printable_lines
from storage.folder.store import FolderStore

HOSTILE = plan(
    name="Even\u202eing\x1b[2J\u3164", author="O\u200fdile\u061c\U000e0041", note="Soft\u2066ly\x07"
)


async def test_a_hostile_plan_is_shown_without_what_steers_or_hides(tmp_path: Path) -> None:
    await FolderStore(tmp_path).plans.save(HOSTILE)
    client = await window_on(tmp_path)
    await client.press("I have read this")
    await client.until_shown("How many minutes?")
    screens = [shown_and_said(client.controls())]
    await client.press("Plans")
    await client.until_shown("by Odile")
    screens.append(shown_and_said(client.controls()))
    await client.press("What Evening")
    await client.until_shown("Softly")
    screens.append(shown_and_said(client.controls()))
    for texts in screens:
        assert texts
        assert texts == [printable_lines(text) for text in texts]


def shown_and_said(controls: object) -> list[str]:
    said = [
        text
        for one in controls  # type: ignore[attr-defined]
        for text in (getattr(one, "value", None), getattr(one, "semantics_label", None), label_of(one))
    ]
    return [text for text in said if isinstance(text, str)]


def label_of(control: object) -> str | None:
    return control.label if isinstance(control, ft.Semantics) else None


@pytest.mark.parametrize("command", [["fit", "--minutes", "20"], ["fit", "--minutes", "1"], ["check"]])
def test_a_hostile_plan_is_printed_without_what_steers_a_terminal(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], command: list[str]
) -> None:
    """Fit printed ESC from a plan's name."""
    path = tmp_path / "plan\x1b[31m.json"
    path.write_text(HOSTILE.model_dump_json(), encoding="utf-8")
    cli.main([command[0], str(path), *command[1:]])
    said = capsys.readouterr()
    assert said.out + said.err
    assert printable_lines(said.out + said.err) == said.out + said.err
