"""What ``companion fit`` is asked besides the minutes: sides, pain today, and the coach's own word."""

from __future__ import annotations

import json
from typing import Any

import pytest

from companion.cli import main as cli
from companion.style.pain_words import EASY_MOVEMENT_LATER

Output = pytest.CaptureFixture[str]


def fit(output: Output, *arguments: str) -> dict[str, Any]:
    """The answer of a fit that has to succeed."""
    code = cli.main(["fit", *arguments, "--json"])
    said = output.readouterr()
    assert (code, said.err) == (0, "")
    answer: dict[str, Any] = json.loads(said.out)
    return answer


def work_block(answer: dict[str, Any]) -> dict[str, Any]:
    return next(block for block in answer["blocks"] if block["kind"] == "work")


@pytest.mark.parametrize(
    "mode, round_s, side_s, change_s",
    [("added", 400, 30, 10), ("inside", 360, 27.5, 5), ("rest", 370, 30, 10)],
)
def test_each_mode_of_the_change_of_sides_keeps_its_promise(
    capsys: Output, mode: str, round_s: int, side_s: float, change_s: int
) -> None:
    """30 + 10 + 30 with the interval grown or the next rest shorter, and 27.5 + 5 + 27.5 (the rules of the
    trade that the plan's modes follow): four movements with one weight, 60 s of work and 30 s of rest.
    The rest before the floor press is at its floor and cannot pay."""
    asked = ("--minutes", "60", "--kit", "single", "--rounds", "3", "--side-change", mode)
    answer = fit(capsys, "harbour-circuit", *asked)
    block = work_block(answer)
    assert (block["round_s"], block["side_change_s"]) == (round_s, change_s)
    assert {one["side_s"] for one in answer["movements"] if one["side_s"]} == {side_s}
    assert any(one["amount"] == f"{side_s:g} s a side" for one in answer["movements"])


def test_the_movements_of_an_answer_are_those_of_its_timeline(capsys: Output) -> None:
    answer = fit(capsys, "harbour-circuit", "--minutes", "40", "--kit", "pair")
    told = {one["slug"] for one in answer["movements"]}
    assert told == {one["movement"] for one in answer["timeline"] if one["movement"]}
    assert all(isinstance(one["stop_rules"], list) and one["amount"] for one in answer["movements"])


@pytest.mark.parametrize("pain", ["knee-right:6", "neck:10,shoulder-left:8,shoulder-right:8"])
def test_a_joint_at_six_or_more_gets_advice_and_no_session(capsys: Output, pain: str) -> None:
    """Above 5 the published model stops the exercise (Thomeé 1997, Phys Ther 77:1690–1703, from memory)."""
    assert cli.main(["fit", "harbour-circuit", "--minutes", "25", "--pain", pain, "--json"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    first, urgent, *asked = said.err.splitlines()
    assert first.startswith("No strength session today: ")
    assert first.count(" of 10") == pain.count(":")
    assert "chest pain" in urgent
    assert "local emergency number" in urgent
    for word in ("numbness or weakness", "swollen", "fall, a blow", "a doctor or a physiotherapist", "coach"):
        assert any(word in line for line in asked)


@pytest.mark.parametrize(
    "pain, may",
    [("knee-right:6", True), ("neck:6", False), ("low-back:7", False), ("knee-right:6,hip-left:8", False)],
)
def test_a_terminal_says_that_easy_movement_has_questions_first(capsys: Output, pain: str, may: bool) -> None:
    """It asks nothing, so it offers nothing; of the neck, the low back and two joints it says no word."""
    assert cli.main(["fit", "harbour-circuit", "--minutes", "25", "--pain", pain]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.splitlines().count(EASY_MOVEMENT_LATER) == may


def test_pain_of_five_still_gets_a_session(capsys: Output) -> None:
    assert fit(capsys, "harbour-circuit", "--minutes", "40", "--pain", "knee-right:5")["rounds"]


@pytest.mark.parametrize(
    "plan, minutes, pain, rounds, held_back",
    [
        ("harbour-circuit", "25", "shoulder-left:4", 3, False),
        ("slipway-without-weights", "30", "hip-left:4", 3, True),
        ("regatta-week", "30", "shoulder-left:4", 5, True),
    ],
)
def test_pain_buys_no_rounds_though_more_would_fit(
    capsys: Output, plan: str, minutes: str, pain: str, rounds: int, held_back: bool
) -> None:
    """The rounds of a day without pain are not exceeded where sparing a joint makes the round shorter."""
    free = fit(capsys, plan, "--minutes", minutes)
    hurt = fit(capsys, plan, "--minutes", minutes, "--pain", pain)
    assert hurt["rounds"] == free["rounds"] == rounds
    assert hurt["warm_up_rounds"] <= free["warm_up_rounds"]
    codes = {reason["code"] for reason in hurt["reasons"]}
    assert ("no_more_for_pain" in codes) is held_back
    assert "no_more_for_pain" not in {reason["code"] for reason in free["reasons"]}
    assert not [one for one in hurt["alternatives"] if one["rounds"] > rounds]


def test_the_coachs_own_choice_and_starting_loads_are_told(capsys: Output) -> None:
    asked = ("allotment-evening", "--minutes", "40", "--kit")
    without, single, pair = (fit(capsys, *asked, kit) for kit in ("none", "single", "pair"))
    (own,) = (reason for reason in without["reasons"] if reason["code"] == "own_choice")
    press_up = {"movement": {"movement": "incline-press-up"}}
    on_a_table = {"version": {"movement": "incline-press-up", "version": "table"}}
    assert own["arguments"] == {
        "replacement": {"code": "in_version", "arguments": press_up | on_a_table},
        "planned": {"movement": "overhead-press"},
        "why": {"listed": [{"code": "kit_none"}]},
    }
    assert own["text"].endswith(" instead of Overhead press, as the coach chose: no dumbbells.")
    for answer, loads in ((without, {None}), (single, {8_000, 6_000, 5_000}), (pair, {8_000, 5_000, 4_000})):
        told = {one["starting_g"] for one in answer["movements"] if one["starting_g"] is not None}
        assert told == loads - {None}
    sore = fit(capsys, *asked, "single", "--pain", "knee-left:3")
    (refused,) = (one for one in sore["reasons"] if one["code"] == "own_choice_not_used")
    assert refused["arguments"]["own"] == {"movement": "glute-bridge"}
    assert refused["text"].endswith("cannot be done today: too hard on the left knee.")
