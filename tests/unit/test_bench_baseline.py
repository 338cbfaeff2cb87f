"""What a comparison of benches says, tried on invented figures."""

from __future__ import annotations

import importlib
import json
from collections.abc import Sequence
from pathlib import Path

import pytest
from bench.all import BENCHES, figures_of, gathered
from bench.baseline import GOALS, Measured, Row, keep, kept_at, line, medians, spread, table
from fit_times import fit_times
from places import ROOT


def measured(cores: int = 2, arguments: Sequence[str] = (), **figures: Sequence[float]) -> Measured:
    return Measured(
        date="2026-03-02",
        command="python3 build/dev.py bench all --keep",
        arguments=list(arguments),
        cores=cores,
        load_average=0.25,
        figures={name: list(values) for name, values in figures.items()},
    )


def told(now: Measured, kept: Measured | None) -> str:
    return "\n".join(table({"harbour": now}, {"harbour": kept} if kept else {}))


def test_a_figure_stands_for_its_median_and_its_ratio_to_the_baseline_s() -> None:
    assert Row("a", [3, 1, 2], [4, 4, 5]).ratio == 0.5
    words = line(Row("start_ms", [2.1, 2, 2.05], [4.1])).split()
    assert words == ["start_ms", "2.050", "5%", "4.100", "–", "0.50"]


def test_a_figure_of_nothing_has_a_ratio_only_to_nothing() -> None:
    assert Row("faults", [0], [0]).ratio == 1
    assert Row("faults", [2], [0]).ratio is None
    assert Row("faults", [2], []).ratio is None
    assert Row("faults", [0], [2]).ratio == 0


def test_the_spread_is_a_share_of_the_median_and_unknown_for_one_value() -> None:
    assert spread([9, 10, 12]) == pytest.approx(0.3)
    assert spread([7]) is None
    assert spread([0, 0]) == 0
    assert spread([-1, 0, 1]) == 1


def test_repeats_more_than_a_tenth_apart_are_named_as_noisy_on_either_side() -> None:
    text = told(measured(a=[10, 11.1], b=[10, 10.9], c=[10, 10]), measured(a=[10, 10], b=[10, 10], c=[5, 10]))
    assert "Noisy, with repeats more than 10% apart: a, c." in text
    assert "Nothing was noisy." in told(measured(a=[10, 10.9]), None)


def test_what_was_measured_once_is_not_called_quiet() -> None:
    text = told(measured(a=[10], b=[10, 10]), None)
    assert "Measured once, so the noise is unknown: a." in text
    assert "Nothing was noisy." not in text


def test_a_goal_stands_beside_its_figure_and_a_miss_is_said() -> None:
    text = told(measured(cold_s=[5.5, 5.6], transfer_mb=[12, 12], finish_within_60s_share=[0.94, 0.94]), None)
    assert "Goals missed: cold_s, finish_within_60s_share." in text
    (cold,) = [one for one in text.splitlines() if "cold_s " in one]
    assert "≤ 5" in cold
    assert "misses its goal" in cold
    assert "≥ 0.95" in text
    assert "No goal was missed." in told(measured(cold_s=[5, 5]), None)


def test_other_conditions_of_the_baseline_are_said() -> None:
    text = told(measured(a=[1, 1]), measured(cores=8, arguments=["--cues", "100"], a=[1, 1]))
    assert "2026-03-02, 2 × on 2 cores, load at the start 0.25" in text
    assert "The baseline is of 8 cores" in text
    assert "with other arguments: --cues 100." in text
    assert "no baseline." in told(measured(a=[1, 1]), None)


def test_a_kept_baseline_is_read_as_it_was_and_leaves_the_other_benches(tmp_path: Path) -> None:
    path = tmp_path / "baseline.json"
    assert kept_at(path) == {}
    first, second = measured(a=[1.5, 2]), measured(b=[3])
    keep({"one": first, "two": measured(b=[4])}, path)
    keep({"two": second}, path)
    assert kept_at(path) == {"one": first, "two": second}


def test_the_last_line_of_a_bench_is_its_figures_and_anything_else_is_refused() -> None:
    assert figures_of(["a table\n", '{"a": 1}\n']) == {"a": 1}
    for lines in ([], ["[1]\n"], ["a table\n"]):
        with pytest.raises(ValueError):
            figures_of(lines)


def test_repeats_are_gathered_by_figure_and_told_as_medians() -> None:
    values = gathered([{"a": 1, "b": 5}, {"a": 3, "b": 5}])
    assert values == {"a": [1, 3], "b": [5, 5]}
    assert medians([measured(**values), measured(c=[1, 2, 9])]) == {"a": 2, "b": 5, "c": 2}


def test_every_bench_of_the_folder_is_run_and_every_goal_is_of_a_figure_that_one_of_them_gives() -> None:
    folder = ROOT / "tests" / "bench"
    texts = {path.stem: path.read_text(encoding="utf-8") for path in folder.glob("*.py")}
    assert texts.keys() - {"all", "baseline"} == BENCHES.keys()
    assert [name for name in GOALS if not any(f'"{name}"' in texts[bench] for bench in BENCHES)] == []


@pytest.mark.parametrize("name", BENCHES)
def test_a_bench_finds_everything_it_measures(name: str) -> None:
    """Nothing else of a test run imports the benches."""
    assert callable(importlib.import_module(f"bench.{name}").main)


def test_what_the_phone_bench_hands_to_the_browser_runs() -> None:
    middle, longest = json.loads(fit_times())
    assert 0 < middle <= longest
