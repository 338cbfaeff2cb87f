"""link, sheet and open-link, called as a person calls them."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from builders import movement, plan
from places import GOLDEN, SAMPLES

from companion.cli import main as cli
from engine.base.reading import read
from engine.plan.adjustment import Adjustment
from engine.plan.link import read_link
from engine.plan.plan import SessionPlan

BASE = "https://rowing.example/app/"
Printed = pytest.CaptureFixture[str]


@pytest.fixture(autouse=True)
def _in_its_own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def said(printed: Printed, *words: str) -> str:
    assert cli.main(words) == 0, printed.readouterr().err
    return printed.readouterr().out


def refused(printed: Printed, *words: str) -> str:
    assert cli.main(words) == 2
    out, err = printed.readouterr()
    assert out == ""
    assert err.count("\n") == 1, "one line"
    return err.strip()


def written(document: SessionPlan | Adjustment, name: str = "own.json") -> str:
    Path(name).write_text(document.model_dump_json(), "utf-8")
    return name


def test_a_link_is_printed_and_opened_again(capsys: Printed) -> None:
    made = said(capsys, "link", "net-loft-loop", "--base", BASE).strip()
    assert made.startswith(f"{BASE}#plan=")
    lines = said(capsys, "open-link", made, "--out", "taken.json").splitlines()
    assert lines[0] == "Net loft loop, by Nkechi Lowell, Saltmarrow rowing club."
    assert lines[-1] == "Saved to “taken.json”."
    sample = next(SAMPLES.glob("*net-loft-loop.json"))
    assert read(SessionPlan, Path("taken.json").read_bytes()) == read(SessionPlan, sample.read_bytes())


def test_an_adjustment_travels_the_same_way_and_is_told_before_it_is_kept(capsys: Printed) -> None:
    golden = GOLDEN / "adjustment.json"
    made = said(capsys, "link", str(golden), "--base", BASE).strip()
    assert "#adjustment=" in made
    told = said(capsys, "open-link", made)
    assert "Spare until 1 November 2026: right knee" in told
    assert "Exactly 1 round of each work block." in told
    assert read_link(made) == read(Adjustment, golden.read_bytes())


def test_nothing_is_written_over_without_being_asked(capsys: Printed) -> None:
    Path("sheet.html").write_text("mine", "utf-8")
    Path("code.svg").write_text("mine", "utf-8")
    Path("plan.json").write_text("mine", "utf-8")
    made = said(capsys, "link", "net-loft-loop", "--base", BASE).strip()
    for words in (
        ("sheet", "net-loft-loop", "--out", "sheet.html"),
        ("link", "net-loft-loop", "--base", BASE, "--qr", "code.svg"),
    ):
        assert "is there already: name another file, or add --replace" in refused(capsys, *words)
        said(capsys, *words, "--replace")
    assert cli.main(["open-link", made, "--out", "plan.json"]) == 2
    assert Path("plan.json").read_text("utf-8") == "mine"
    assert "mine" not in {Path("sheet.html").read_text("utf-8"), Path("code.svg").read_text("utf-8")}


def test_a_sheet_and_a_code_are_files(capsys: Printed) -> None:
    said(capsys, "sheet", "harbour-circuit", "--out", "sheet.html", "--base", BASE)
    said(capsys, "link", "harbour-circuit", "--base", BASE, "--qr", "code.svg")
    assert "Harbour circuit" in Path("sheet.html").read_text("utf-8")
    assert Path("code.svg").read_text("utf-8").startswith("<?xml")


@pytest.mark.parametrize(
    "words",
    [
        ("link", "net-loft-loop"),
        ("link", "net-loft-loop", "--base", "http://rowing.example/"),
        ("link", "unheard-of", "--base", BASE),
        ("sheet", "unheard-of", "--out", "sheet.html"),
        ("sheet", "net-loft-loop", "--out", f"no{os.sep}such{os.sep}folder.html"),
        ("open-link", "https://rowing.example/"),
        ("open-link", "#plan=ABC"),
        ("open-link", "#plan=" + "A" * 100_000),
        ("open-link", "\udcff"),
    ],
)
def test_what_cannot_be_done_is_said_in_one_line(words: tuple[str, ...], capsys: Printed) -> None:
    assert refused(capsys, *words)


def test_an_adjustment_with_a_fault_is_not_handed_over(capsys: Printed) -> None:
    fields = json.loads((GOLDEN / "adjustment.json").read_bytes()) | {"until": "2020-01-01"}
    Path("late.json").write_text(json.dumps(fields), "utf-8")
    assert "before the day it was made" in refused(capsys, "link", "late.json", "--base", BASE)
    Path("half.json").write_text(json.dumps({**fields, "changes": []}), "utf-8")
    assert "changes" in refused(capsys, "link", "half.json", "--base", BASE)


def test_a_plan_too_long_for_a_link_or_for_a_code_says_so(capsys: Printed) -> None:
    def with_movements(count: int) -> str:
        noise = [f"{n * 7919 % 100_003:05d}{n * 104_729 % 999_983:06d}" for n in range(count * 20)]
        ends = [" ".join(noise[n * 20 : n * 20 + 20]) for n in range(count)]
        many = tuple(movement(f"m-{n}", end_point=end) for n, end in enumerate(ends))
        return written(plan(movements=(*plan().movements, *many)))

    assert "Send this as a file" in refused(capsys, "link", with_movements(54), "--base", BASE)
    no_code = refused(capsys, "link", with_movements(30), "--base", BASE, "--qr", "code.svg")
    assert "too long for any QR code" in no_code


def test_a_name_cannot_steer_the_terminal(capsys: Printed) -> None:
    own = written(plan(name="\x1b[2J\x1b]0;gone\x07Calm\u202eplan", author="A\nB", note="a\rb"))
    made = said(capsys, "link", own, "--base", BASE).strip()
    told = said(capsys, "open-link", made)
    assert told.replace("\n", "").isprintable()
    assert "Calm plan, by A B." in told
