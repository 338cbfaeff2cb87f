"""page, export and read, called as a person calls them."""

from __future__ import annotations

import asyncio
import csv
import json
import resource
import signal
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest
from builders import easy_session, profile, record
from pages import MADE_AT, late_answers, page, painful_record
from places import ROOT

from companion.cli import main as cli
from companion.paper.coach_page import page_html
from engine.base.message import Own
from engine.base.periods import iso_week
from storage.exchange.coach_page import read_page
from storage.folder.store import FolderStore

Output = pytest.CaptureFixture[str]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A data folder with a session that was corrected, and one that was not."""

    async def fill(store: FolderStore) -> None:
        await store.person.save_profile(profile())
        await store.sessions.save(painful_record())
        await store.sessions.save(record(record_id="later", started_at=MADE_AT, note="=A note"))
        for late in late_answers():
            await store.sessions.amend(late)

    asyncio.run(fill(FolderStore(tmp_path / "kept")))
    return tmp_path / "kept"


def done(output: Output, *arguments: object) -> str:
    """What a command that has to succeed prints."""
    code = cli.main([str(one) for one in arguments])
    said = output.readouterr()
    assert (code, said.err) == (0, "")
    return said.out


def refused(output: Output, *arguments: object) -> str:
    """The one sentence of a command that has to be refused."""
    code = cli.main([str(one) for one in arguments])
    said = output.readouterr()
    assert (code, said.out) == (2, "")
    assert said.err.count("\n") == 1
    return said.err


def contents(folder: Path) -> dict[str, bytes]:
    return {str(path): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_page_of_a_folder_is_written_and_the_folder_left_as_it_was(
    capsys: Output, folder: Path, tmp_path: Path
) -> None:
    before, out = contents(folder), tmp_path / "page.html"
    said = done(capsys, "page", folder, "--out", out, "--until", "2026-W10", "--question", "Rest the elbow?")
    assert said == f"{out}: 2 sessions of 4 weeks.\n"
    made = read_page(out.read_bytes())
    assert made.weeks == ("2026-W07", "2026-W08", "2026-W09", "2026-W10")
    assert made.questions == (Own(own="Rest the elbow?"),)
    assert [session.effort for session in made.sessions] == [6, None]
    assert contents(folder) == before


def test_a_page_leaves_out_what_the_person_keeps_back(capsys: Output, folder: Path, tmp_path: Path) -> None:
    out, parts = tmp_path / "page.html", "pain, notes,given-up"
    said = done(
        capsys, "page", folder, "--out", out, "--until", "2026-W10", "--without", parts, "--name", "R."
    )
    assert said.splitlines() == [
        f"{out}: 2 sessions of 4 weeks.",
        "  Pain is left out of this page: that it says nothing does not mean that nothing hurt.",
        "  Cuts to save time are left out of this page.",
        "  Notes are left out of this page.",
    ]
    made = read_page(out.read_bytes())
    assert (made.sessions[0].pains, made.sessions[1].note, made.trainee.name) == ((), "", "R.")


def test_a_page_ends_with_this_week_where_none_is_named(capsys: Output, folder: Path, tmp_path: Path) -> None:
    before = iso_week(datetime.now(UTC).date())
    done(capsys, "page", folder, "--out", tmp_path / "page.html", "--weeks", 2)
    weeks = read_page((tmp_path / "page.html").read_bytes()).weeks
    assert weeks[-1] in (before, iso_week(datetime.now(UTC).date()))
    assert len(weeks) == 2


def test_a_file_that_is_there_is_replaced_only_when_asked(
    capsys: Output, folder: Path, tmp_path: Path
) -> None:
    out = tmp_path / "kept.txt"
    out.write_text("mine")
    assert "is there already" in refused(capsys, "page", folder, "--out", out)
    (tmp_path / "sets-sessions.csv").write_text("mine")
    assert "is there already" in refused(capsys, "export", folder, "--csv", tmp_path / "sets.csv")
    assert not (tmp_path / "sets.csv").exists(), "the first table is not written where the other may not be"
    assert out.read_text() == "mine"
    done(capsys, "page", folder, "--out", out, "--replace")
    assert read_page(out.read_bytes()).trainee.name == "Runa"


def test_the_tables_of_a_folder_stand_in_two_files(capsys: Output, folder: Path, tmp_path: Path) -> None:
    done(capsys, "export", folder, "--csv", tmp_path / "all.csv")

    def table(name: str) -> list[dict[str, str]]:
        with (tmp_path / name).open(encoding="utf-8-sig", newline="") as file:
            return list(csv.DictReader(file, strict=True))

    assert len(table("all.csv")) == 1 + 4
    assert [line["note"] for line in table("all-sessions.csv")] == ["An easy day after all.", "'=A note"]


def test_the_lines_of_a_folder_hold_one_session_each(capsys: Output, folder: Path, tmp_path: Path) -> None:
    said = done(capsys, "export", folder, "--jsonl", tmp_path / "all.jsonl")
    assert said.endswith(f": 2 sessions. {tmp_path / 'all.sql'} loads them into DuckDB.\n")
    assert "read_json('all.jsonl'" in (tmp_path / "all.sql").read_text("utf-8")
    lines = [json.loads(line) for line in (tmp_path / "all.jsonl").read_text("utf-8").splitlines()]
    assert [line["record_id"] for line in lines] == ["painful", "later"]
    assert {line["trainee_id"] for line in lines} == {profile().trainee_id}


def test_reading_pages_tells_of_each_person_line_by_line_pain_first(
    capsys: Output, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    quiet = page([record()], person={"trainee_id": "quiet"}, name="Ada\x1b[2J\u202e")
    for name, made in (("quiet", quiet), ("hurt", page([painful_record()]))):
        (tmp_path / f"{name}.html").write_text(page_html(made), "utf-8")
    said = done(capsys, "read", tmp_path / "quiet.html", tmp_path / "hurt.html", tmp_path / "hurt.html")
    first, second = said.split("\n\n")
    assert first.endswith("\n1 page came again.")
    assert first.startswith(
        "Runa, 2 March 2026 to 8 March 2026\nMonday 2 March, before the session: left knee, pain 2 of 10.\n"
    )
    assert second.startswith(
        "Ada[2J, 2 March 2026 to 8 March 2026\nNo pain was noted.\nDone: 1 session, 3 min. 2 of 2 rounds."
    )
    assert max(map(len, said.splitlines())) <= 100


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("page", "nowhere", "--out", "x.html"), "no folder “nowhere”"),
        (("page", ".", "--out", "x.html"), "no profile"),
        (("page", "KEPT", "--out", "no/such/folder.html"), "cannot be written"),
        (("page", "KEPT", "--out", "x.html", "--weeks", "0"), "from 1 to 520"),
        (("page", "KEPT", "--out", "x.html", "--weeks", "many"), "from 1 to 520"),
        (("page", "KEPT", "--out", "x.html", "--until", "2026-W54"), "not an ISO week"),
        (
            ("page", "KEPT", "--out", "x.html", "--without", "pain,mind"),
            "pain, loads, effort, given-up, notes",
        ),
        (("page", "KEPT", "--out", "x.html", "--question", ""), "not a question"),
        (("page", "KEPT", "--out", "x.html", "--name", "x" * 121), "not a name"),
        (("page", "KEPT"), "--out"),
        (("export", "KEPT"), "--csv --jsonl"),
        (("export", "KEPT", "--csv", "a", "--jsonl", "b"), "not together with"),
        (("export", "KEPT", "--csv", "."), "not the name of a file"),
        (("read",), "PAGE"),
        (("read", "nowhere.html"), "nowhere.html"),
        (("read", "."), "could not be read"),
        (("read", "KEPT/profile.json"), "not a whole page"),
        (("read", "\0"), "null"),
    ],
)
def test_what_cannot_be_done_is_refused_in_a_sentence(
    capsys: Output, folder: Path, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...], said: str
) -> None:
    monkeypatch.chdir(folder.parent)
    assert said in refused(capsys, *(one.replace("KEPT", folder.name) for one in arguments))
    assert not Path("x.html").exists()


def test_a_time_zone_that_nobody_knows_is_named(capsys: Output, tmp_path: Path) -> None:
    asyncio.run(FolderStore(tmp_path).person.save_profile(profile(zone="Atlantis/Harbour")))
    assert "“Atlantis/Harbour”" in refused(capsys, "page", tmp_path, "--out", tmp_path / "page.html")


def test_fitting_a_plan_waits_for_no_store_and_no_event_loop() -> None:
    asked = "import sys, companion.cli.main; print(sorted({'asyncio', 'tinydb', 'flet'} & set(sys.modules)))"
    printed = subprocess.run(
        [sys.executable, "-c", asked], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert printed.stdout.strip() == "[]"


def test_easy_movement_is_on_the_page_and_in_the_tables_and_no_session_of_either(
    capsys: Output, folder: Path, tmp_path: Path
) -> None:
    easy = record(easy_session(), started_at=MADE_AT, record_id="easy")
    asyncio.run(FolderStore(folder).sessions.save(easy))
    out, table = tmp_path / "page.html", tmp_path / "sets.csv"
    asked = ("page", folder, "--until", "2026-W10")
    assert done(capsys, *asked, "--out", out) == f"{out}: 2 sessions of 4 weeks.\n"
    assert len(read_page(out.read_bytes()).sessions) == 3
    assert done(capsys, "export", folder, "--csv", table).endswith("sets-sessions.csv: 2 sessions.\n")
    assert "Easy movement, 8 min." in " ".join(done(capsys, "read", out).split())
    without = tmp_path / "without.html"
    done(capsys, *asked, "--out", without, "--without", "pain")
    assert len(read_page(without.read_bytes()).sessions) == 2
    assert "asy movement" not in without.read_text("utf-8")


def test_a_file_that_cannot_be_replaced_whole_stays_as_it_is(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """--replace once emptied the old file first."""
    out = tmp_path / "page.html"
    out.write_bytes(b"the old page")
    out.chmod(0o640)
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    before = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500, limits[1]))  # more cannot be written, as on a full disk
    try:
        said = refused(capsys, "page", folder, "--out", out, "--replace")
        new = refused(capsys, "page", folder, "--out", tmp_path / "new.html")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, before)
    assert "cannot be written" in said
    assert "cannot be written" in new
    assert out.read_bytes() == b"the old page"
    assert {path.name for path in tmp_path.iterdir() if path.is_file()} == {"page.html"}
    done(capsys, "page", folder, "--out", out, "--replace")
    assert out.read_bytes() != b"the old page"
    assert out.stat().st_mode & 0o777 == 0o640
