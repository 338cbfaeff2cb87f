"""Figures of the benches beside those that were kept: ratios, goals, and what was noisy.

A figure is measured several times. Its median is compared; its spread is the largest value less the
smallest, as a share of the median. ``baseline.json`` keeps every value, with the day, the command, the cores
and the load average at the start.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from statistics import median
from typing import NamedTuple, Self

KEPT = Path(__file__).with_name("baseline.json")
NOISY_SHARE = 0.10
"""† Our judgement, no source: a change smaller than a tenth is nothing to act on."""

Values = Sequence[float]


class Goal(NamedTuple):
    limit: float
    at_least: bool = False

    def is_met(self, value: float) -> bool:
        return value >= self.limit if self.at_least else value <= self.limit

    def __str__(self) -> str:
        return f"{'≥' if self.at_least else '≤'} {self.limit:g}"


GOALS = {
    "optimum_mismatches": Goal(0),
    "finish_within_60s_share": Goal(0.95, at_least=True),
    "save_p50_ms_10y": Goal(3),
    "save_times_sqlite_10y": Goal(10),
    "event_p50_ms": Goal(1),
    "server_vibrate_p99_ms": Goal(3),
    "offline_vibrate_p99_ms": Goal(3),
    "drift_60min_ms": Goal(17),  # a frame
    "python_cpu_percent": Goal(2),
    "transfer_mb": Goal(12),
    "cold_s": Goal(5),
    "warm_offline_s": Goal(3),
    "warm_snapshot_s": Goal(2),
    "outside_requests": Goal(0),
    "figures_mismatched": Goal(0),
    "qr_modules": Goal(85),
    "sessions": Goal(5_000, at_least=True),
    "violations": Goal(0),
    "sessions_per_min": Goal(2_000, at_least=True),
    "firefox_screens": Goal(16, at_least=True),
    "webkit_screens": Goal(16, at_least=True),
    "cues_p99_ms_firefox": Goal(10),
    "cues_p99_ms_webkit": Goal(20),
    "foreign_requests": Goal(0),
    "mutants": Goal(200, at_least=True),
    "killed_share": Goal(0.95, at_least=True),
}
"""Of the median. A figure without a goal is only compared."""


class Measured(NamedTuple):
    """What the repeats of one bench gave: for each figure as many values as there were repeats."""

    date: str
    command: str
    arguments: Sequence[str]
    cores: int
    load_average: float | None
    """Over the minute before the start; None where the system does not tell it."""
    figures: Mapping[str, Values]

    @classmethod
    def read(cls, document: Mapping[str, object]) -> Self:
        return cls(**document)

    @property
    def repeats(self) -> int:
        return max(map(len, self.figures.values()), default=0)


class Row(NamedTuple):
    """A figure beside the one that was kept."""

    figure: str
    values: Values
    kept: Values

    @property
    def ratio(self) -> float | None:
        """Of the medians; None where nothing was kept, or 0 was and something else is now."""
        if not self.kept:
            return None
        now, then = median(self.values), median(self.kept)
        if now == then:
            return 1.0
        return now / then if then else None

    @property
    def is_noisy(self) -> bool:
        return any((spread(values) or 0) > NOISY_SHARE for values in (self.values, self.kept))

    @property
    def misses_goal(self) -> bool:
        goal = GOALS.get(self.figure)
        return goal is not None and not goal.is_met(median(self.values))


def spread(values: Values) -> float | None:
    """How far apart the repeats are, as a share of their median; None for a single value."""
    if len(values) < 2:
        return None
    apart, middle = max(values) - min(values), median(values)
    return apart / abs(middle) if middle else float(apart > 0)


def rows(now: Measured, kept: Measured | None) -> list[Row]:
    then = kept.figures if kept else {}
    return [Row(figure, values, then.get(figure, ())) for figure, values in now.figures.items()]


def medians(measured: Iterable[Measured]) -> dict[str, float]:
    return {figure: median(values) for one in measured for figure, values in one.figures.items()}


HEADER = f"{'':<26}{'now':>10}{'spread':>8}{'baseline':>11}{'spread':>8}{'ratio':>7}  {'goal':<8}"


def table(now: Mapping[str, Measured], kept: Mapping[str, Measured]) -> Iterator[str]:
    """The lines that tell how every bench compares, and below them what was noisy or missed its goal."""
    every: list[Row] = []
    yield HEADER
    for name, measured in now.items():
        yield name
        found = rows(measured, kept.get(name))
        yield from map(line, found)
        every += found
    yield ""
    yield from sentences(every)
    for name, measured in now.items():
        yield from about(name, measured, kept.get(name))


def line(row: Row) -> str:
    now, then = number(median(row.values)), number(median(row.kept)) if row.kept else "none"
    ratio = "–" if row.ratio is None else f"{row.ratio:.2f}"
    remarks = [*(["misses its goal"] if row.misses_goal else []), *(["noisy"] if row.is_noisy else [])]
    goal = str(GOALS.get(row.figure, ""))
    figures = f"{now:>10}{share(row.values):>8}{then:>11}{share(row.kept):>8}{ratio:>7}"
    return f"  {row.figure:<24}{figures}  {goal:<8}  {', '.join(remarks)}".rstrip()


def number(value: float) -> str:
    return f"{value:,.0f}" if value == int(value) else f"{value:,.3f}"


def share(values: Values) -> str:
    found = spread(values)
    return "–" if found is None else f"{found:.0%}"


def sentences(found: Sequence[Row]) -> Iterator[str]:
    noisy = [row.figure for row in found if row.is_noisy]
    missed = [row.figure for row in found if row.misses_goal]
    once = [row.figure for row in found if spread(row.values) is None]
    if noisy:
        yield f"Noisy, with repeats more than {NOISY_SHARE:.0%} apart: {', '.join(noisy)}."
    if once:
        yield f"Measured once, so the noise is unknown: {', '.join(once)}."
    if not noisy and not once:
        yield "Nothing was noisy."
    yield f"Goals missed: {', '.join(missed)}." if missed else "No goal was missed."


def about(name: str, now: Measured, kept: Measured | None) -> Iterator[str]:
    """Under which conditions a bench ran, and where those of the baseline were others."""
    yield f"{name}: {conditions(now)}; {f'baseline {conditions(kept)}' if kept else 'no baseline'}."
    if kept and now.cores != kept.cores:
        yield f"  The baseline is of {kept.cores} cores: its ratios say little here."
    if kept and list(now.arguments) != list(kept.arguments):
        yield f"  The baseline was measured with other arguments: {' '.join(kept.arguments) or 'none'}."


def conditions(of: Measured) -> str:
    load = "unknown" if of.load_average is None else f"{of.load_average:.2f}"
    return f"{of.date}, {of.repeats} × on {of.cores} cores, load at the start {load}"


def kept_at(path: Path = KEPT) -> dict[str, Measured]:
    """The baseline by bench; nothing where there is none."""
    if not path.is_file():
        return {}
    benches = json.loads(path.read_text(encoding="utf-8"))
    return {name: Measured.read(document) for name, document in benches.items()}


def keep(measured: Mapping[str, Measured], path: Path = KEPT) -> None:
    """Writes what was measured in place of the same benches' baseline; the others stay."""
    benches = {name: one._asdict() for name, one in (kept_at(path) | dict(measured)).items()}
    path.write_text(json.dumps(benches, indent=2, ensure_ascii=False) + "\n", encoding="utf-8")
