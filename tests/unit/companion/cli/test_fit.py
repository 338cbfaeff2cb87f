"""fit, check and schema, called as a person calls them."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from calls import calls_of
from places import GOLDEN, ROOT, SAMPLES

from companion.cli import fit_text as fit_page
from companion.cli import main as cli
from engine.fit.choose import choose
from engine.formats import FORMATS, schema

SAMPLE_FILES = sorted(SAMPLES.glob("*.json"))
Output = pytest.CaptureFixture[str]


def fit(output: Output, *arguments: str) -> dict[str, Any]:
    """The answer of a fit that has to succeed."""
    code = cli.main(["fit", *arguments, "--json"])
    said = output.readouterr()
    assert (code, said.err) == (0, "")
    answer: dict[str, Any] = json.loads(said.out)
    return answer


def refused(output: Output, *arguments: str) -> str:
    """The sentence of a command that has to be refused."""
    code = cli.main(arguments)
    said = output.readouterr()
    assert (code, said.out) == (2, "")
    assert said.err.count("\n") == 1
    return said.err


def work_block(answer: dict[str, Any]) -> dict[str, Any]:
    return next(block for block in answer["blocks"] if block["kind"] == "work")


@pytest.mark.parametrize("kit, round_s", [("pair", 360), ("single", 400)])
def test_a_round_of_the_harbour_circuit_costs_ten_seconds_for_each_change_of_hands(
    capsys: Output, kit: str, round_s: int
) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "60", "--kit", kit)
    assert work_block(answer)["round_s"] == round_s


@pytest.mark.parametrize(
    "kit, rounds, block_s",
    [
        ("pair", 4, 1410),
        ("pair", 5, 1770),
        ("pair", 6, 2130),
        ("single", 4, 1570),
        ("single", 5, 1970),
        ("single", 6, 2370),
    ],
)
def test_the_work_block_of_the_harbour_circuit_drops_its_last_rest(
    capsys: Output, kit: str, rounds: int, block_s: int
) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "60", "--kit", kit, "--rounds", str(rounds))
    block = work_block(answer)
    assert (block["rounds"], block["block_s"], block["work_s"], block["rest_s"]) == (rounds, block_s, 60, 30)


@pytest.mark.parametrize("kit, round_s", [("pair", 370), ("single", 390)])
def test_the_allotment_evening_keeps_its_change_of_legs_with_any_kit(
    capsys: Output, kit: str, round_s: int
) -> None:
    answer = fit(capsys, "allotment-evening", "--minutes", "60", "--kit", kit)
    assert (work_block(answer)["round_s"], answer["side_change_s"]) == (round_s, 10)


@pytest.mark.parametrize(
    "minutes, total_s, rounds, warm_up_rounds", [(18, 960, 3, 1), (19, 1110, 3, 2), (20, 1185, 4, 1)]
)
@pytest.mark.parametrize("kit", ["none", "single"])
def test_the_net_loft_loop_lasts_what_was_worked_out_by_hand(
    capsys: Output, minutes: int, total_s: int, rounds: int, warm_up_rounds: int, kit: str
) -> None:
    answer = fit(capsys, "net-loft-loop", "--minutes", str(minutes), "--kit", kit)
    assert (answer["total_s"], answer["rounds"], answer["warm_up_rounds"]) == (
        total_s,
        rounds,
        warm_up_rounds,
    )
    assert (work_block(answer)["round_s"], answer["side_change_s"]) == (225, 0)


def test_movements_are_chosen_once_for_an_answer(capsys: Output) -> None:
    with calls_of(choose) as calls:
        fit(capsys, "harbour-circuit", "--minutes", "25", "--kit", "single")
    assert len(calls) == 1


def test_the_answer_has_the_promised_keys_and_no_others(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "25", "--kit", "single")
    assert set(answer) == {
        *("total_s", "below_minimum", "reasons", "alternatives", "more_minutes", "blocks", "rounds"),
        *("warm_up_rounds", "practice", "work_s", "rest_s", "side_change_s", "timeline", "movements"),
    }
    assert set(answer["movements"][0]) == {
        *("slug", "variant", "amount", "side_s", "stop_rules", "starting_g")
    }
    assert set(answer["blocks"][0]) == {
        *("id", "kind", "rounds", "round_s", "block_s", "work_s", "rest_s", "side_change_s"),
    }
    assert set(answer["timeline"][0]) == {
        *("start_s", "end_s", "kind", "movement", "side", "round", "place", "block", "pace"),
    }
    assert set(answer["reasons"][0]) == {"code", "arguments", "text", "seconds"}
    assert {"label", "total_s", "rounds"} <= set(answer["alternatives"][0])
    assert [set(one) for one in answer["more_minutes"]] == [{"minutes", "buys"}] * 2
    assert all(one["buys"] for one in answer["more_minutes"])


def test_the_timeline_runs_without_gaps_to_the_total(capsys: Output) -> None:
    answer = fit(capsys, "regatta-week", "--minutes", "40", "--kit", "pair")
    ends = [0, *(segment["end_s"] for segment in answer["timeline"])]
    assert [segment["start_s"] for segment in answer["timeline"]] == ends[:-1]
    assert ends[-1] == answer["total_s"]


def test_the_lengths_of_the_blocks_and_the_ways_between_add_up_to_the_total(capsys: Output) -> None:
    answer = fit(capsys, "regatta-week", "--minutes", "40", "--kit", "single")
    ways_s = sum(
        segment["end_s"] - segment["start_s"]
        for segment in answer["timeline"]
        if segment["kind"] in ("get_ready", "transition")
    )
    assert sum(block["block_s"] for block in answer["blocks"]) + ways_s == answer["total_s"]


def test_rounds_are_summed_over_both_work_blocks(capsys: Output) -> None:
    answer = fit(capsys, "regatta-week", "--minutes", "60", "--kit", "pair", "--rounds", "3")
    assert answer["rounds"] == 6


def test_self_paced_blocks_have_no_interval(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "40", "--kit", "pair")
    first = answer["blocks"][0]
    assert (first["kind"], first["work_s"], first["rest_s"], first["side_change_s"]) == (
        "warm_up",
        None,
        None,
        0,
    )
    assert first["rounds"] * first["round_s"] == first["block_s"]


def test_a_side_change_inside_leaves_the_interval_as_long_as_it_was(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "60", "--kit", "single", "--side-change", "inside")
    assert work_block(answer)["round_s"] == 360
    assert answer["reasons"] == []


def test_a_side_change_inside_needs_no_allowance_of_the_coach(capsys: Output, tmp_path: Path) -> None:
    plan = json.loads(SAMPLE_FILES[1].read_text("utf-8")) | {"allowances": []}
    strict = tmp_path / "strict.json"
    strict.write_text(json.dumps(plan), "utf-8")
    answer = fit(capsys, str(strict), "--minutes", "60", "--kit", "single", "--side-change", "inside")
    assert work_block(answer)["round_s"] == 360


def test_a_session_below_the_minimum_says_so_and_is_still_a_session(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "12", "--kit", "pair")
    assert answer["below_minimum"]
    assert answer["rounds"] < 3


def test_a_sore_joint_swaps_and_says_which_joint_it_spares(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "40", "--kit", "pair", "--pain", "knee-right:3")
    swaps = [reason["text"] for reason in answer["reasons"] if reason["code"] in ("swapped", "left_out")]
    assert swaps
    assert all("knee" in text for text in swaps)


def test_the_first_time_practice_stays_and_no_alternative_spends_levers(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "18", "--kit", "single", "--first-time")
    assert answer["practice"] != "skipped"
    assert not [one for one in answer["alternatives"] if one["label"].startswith("One round more")]


def test_no_session_names_the_shortest_possible_time(capsys: Output) -> None:
    said = refused(capsys, "fit", "net-loft-loop", "--minutes", "15")
    assert "16:00" in said


@pytest.mark.parametrize(
    "arguments",
    [
        ("fit", "harbour-circuit"),
        ("fit", "harbour-circuit", "--minutes", "0"),
        ("fit", "harbour-circuit", "--minutes", "-5"),
        ("fit", "harbour-circuit", "--minutes", "nan"),
        ("fit", "harbour-circuit", "--minutes", "inf"),
        ("fit", "harbour-circuit", "--minutes", "1e999"),
        ("fit", "harbour-circuit", "--minutes", "9" * 5_000),
        ("fit", "harbour-circuit", "--minutes", "soon"),
        ("fit", "harbour-circuit", "--minutes", ""),
        ("fit", "harbour-circuit", "--minutes", "0.000001"),
        ("fit", "harbour-circuit", "--minutes", "30", "--kit", "three"),
        ("fit", "harbour-circuit", "--minutes", "30", "--without", "wings"),
        ("fit", "harbour-circuit", "--minutes", "30", "--without", ""),
        ("fit", "harbour-circuit", "--minutes", "30", "--pain", "tail:2"),
        ("fit", "harbour-circuit", "--minutes", "30", "--pain", "low-back-left:2"),
        ("fit", "harbour-circuit", "--minutes", "30", "--pain", "knee-right"),
        ("fit", "harbour-circuit", "--minutes", "30", "--pain", "knee-right:11"),
        ("fit", "harbour-circuit", "--minutes", "30", "--pain", "knee-right:0"),
        ("fit", "harbour-circuit", "--minutes", "60", "--rounds", "7"),
        ("fit", "harbour-circuit", "--minutes", "60", "--rounds", "0"),
        ("fit", "harbour-circuit", "--minutes", "60", "--rounds", "-1"),
        ("fit", "harbour-circuit", "--minutes", "60", "--rounds", "three"),
        ("fit", "harbour-circuit", "--minutes", "60", "--rounds", "²"),
        ("fit", "net-loft-loop", "--minutes", "60", "--rounds", "1"),
        ("fit", "harbour-circuit", "--minutes", "30", "--side-change", "perhaps"),
        ("fit", "harbour-circuit", "--minutes", "30", "--colour"),
        ("fit", "no-such-plan", "--minutes", "30"),
        ("fit", "no\0plan", "--minutes", "30"),
        ("fit", "p" * 5_000, "--minutes", "30"),
        ("fit", str(ROOT), "--minutes", "30"),
        ("fit", "", "--minutes", "30"),
        ("check", "no-such-plan"),
        ("schema", "novel"),
        ("dance",),
        (),
    ],
)
def test_bad_input_gets_one_sentence_and_no_output(capsys: Output, arguments: tuple[str, ...]) -> None:
    refused(capsys, *arguments)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x00\x01\xfe\xff" * 100,
        b"{",
        b"[]",
        b"null",
        b"[" * 100_000,
        b'{"a":' * 100_000,
        b'{"format": "session-plan", "version": 1' + b"0" * 10_000 + b"}",
        b'{"format": "session-plan", "version": NaN}',
        b'{"format": "session-plan", "version": 2}',
        b'{"format": "session-plan", "version": 1, "name": "\\ud800"}',
        b'{"format": "profile", "version": 1}',
        b'"' + b"x" * 5_000_000 + b'"',
    ],
    ids=lambda content: content[:12].hex(),
)
@pytest.mark.parametrize("command", [("fit", "--minutes", "30"), ("check",)])
def test_a_file_that_is_no_plan_is_refused(
    capsys: Output, tmp_path: Path, content: bytes, command: tuple[str, ...]
) -> None:
    file = tmp_path / "plan.json"
    file.write_bytes(content)
    assert cli.main([command[0], str(file), *command[1:]]) == 2
    said = capsys.readouterr()
    assert (said.out == "") == (command[0] == "fit")
    assert "Traceback" not in said.err


def test_a_plan_with_faults_is_not_fitted_and_its_first_fault_is_named(
    capsys: Output, tmp_path: Path
) -> None:
    file = tmp_path / "faulty.json"
    plan = json.loads(SAMPLE_FILES[0].read_text("utf-8"))
    plan["blocks"][2]["rounds"] = {"min": 5, "max": 3}
    file.write_text(json.dumps(plan), "utf-8")
    assert "The minimum of 5 is more than the maximum of 3" in refused(
        capsys, "fit", str(file), "--minutes", "30"
    )
    assert cli.main(["check", str(file)]) == 2
    assert capsys.readouterr().out == "Block 3 › Rounds: The minimum of 5 is more than the maximum of 3.\n"


@pytest.mark.parametrize("sample", SAMPLE_FILES, ids=lambda sample: sample.stem)
def test_every_sample_is_free_of_faults_by_file_and_by_name(capsys: Output, sample: Path) -> None:
    for written in (str(sample), sample.stem, sample.stem[2:]):
        assert cli.main(["check", written]) == 0
        assert capsys.readouterr().out == "No faults.\n"


@pytest.mark.parametrize("name", FORMATS)
def test_the_schema_printed_is_valid_and_takes_the_golden_example(capsys: Output, name: str) -> None:
    assert cli.main(["schema", name]) == 0
    printed = json.loads(capsys.readouterr().out)
    assert printed == schema(name)
    validator = jsonschema.Draft202012Validator
    validator.check_schema(printed)
    example = json.loads((GOLDEN / f"{name}.json").read_text("utf-8"))
    validator(printed, format_checker=validator.FORMAT_CHECKER).validate(example)
    with pytest.raises(jsonschema.ValidationError):
        validator(printed).validate(example | {"unheard_of": 1})


def test_without_a_name_every_schema_is_printed_as_one_object(capsys: Output) -> None:
    assert cli.main(["schema"]) == 0
    assert list(json.loads(capsys.readouterr().out)) == list(FORMATS)


@pytest.mark.parametrize("width", [1, 40, 80, 500])
def test_the_page_for_a_person_tells_the_session_within_the_width(
    capsys: Output, monkeypatch: pytest.MonkeyPatch, width: int
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    assert cli.main(["fit", "harbour-circuit", "--minutes", "25", "--kit", "single"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1].endswith("Done after 24:06, 0:54 to spare.")
    drawn = lines[3:6]
    assert max(map(len, drawn)) <= max(width, fit_page.NARROWEST)
    assert set(fit_page.MARKS.values()) >= set(drawn[0])
    assert drawn[2].split() == ["0", "5", "10", "15", "20", "25"]
    assert "  You change hands inside the 60 s: 27.5 s a side. Saves 2:00." in lines
    assert [line.split(":")[0].strip() for line in lines if " min more: " in line] == [
        f"{minutes} min more" for minutes in (2, 5)
    ]
    assert "  One round more with nothing cut needs 7:46 more." in lines


def test_every_kind_has_a_mark_that_is_explained_and_work_is_told_from_rest() -> None:
    explained = {part.split()[0] for part in fit_page.legend().split("   ")}
    assert set(fit_page.MARKS.values()) == explained


def companion(*arguments: str, **more: Any) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", "import sys; from companion.cli.main import main; sys.exit(main())"]
    return subprocess.run(
        [*command, *arguments], cwd=ROOT, capture_output=True, text=True, check=False, **more
    )


def test_the_command_line_never_imports_the_interface() -> None:
    script = "import sys; from companion.cli.main import main as go; go(['schema']); print(*sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    )
    loaded = done.stdout.splitlines()[-1].split()
    assert "engine.plan.plan" in loaded
    assert not {name.partition(".")[0] for name in loaded} & {"flet", "flet_web", "tinydb", "asyncio"}


def test_a_reader_that_leaves_early_causes_no_traceback() -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    command = [sys.executable, "-m", "companion.cli", "schema"]
    with os.fdopen(write_end, "wb") as gone:
        done = subprocess.run(command, cwd=ROOT, stdout=gone, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr) == (1, "")


def test_a_terminal_that_knows_only_ascii_gets_its_page() -> None:
    done = companion(
        *("fit", "harbour-circuit", "--minutes", "25"), env=os.environ | {"PYTHONIOENCODING": "ascii"}
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.isascii()


def test_a_name_that_is_not_text_is_refused_in_a_sentence() -> None:
    done = companion("fit", os.fsdecode(b"\xff\xfe"), "--minutes", "25")
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr


def test_the_page_says_what_the_minimum_needs_once_and_the_rounds_of_each_way_once(capsys: Output) -> None:
    assert cli.main(["fit", "harbour-circuit", "--minutes", "17", "--kit", "single"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "This is below the coach's minimum of rounds, which needs 4:01 more." in lines
    assert sum("coach's minimum of rounds, which needs 4:01" in line for line in lines) == 1
    ways = lines[lines.index("Other ways to spend the time:") + 1 :]
    for way in ways[: ways.index("")]:
        assert len(re.findall(r"\d+ rounds?\b", way)) == 1
