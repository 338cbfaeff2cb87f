"""Runs benches, each in a process of its own, and compares their figures with a baseline.

    python3 build/dev.py bench NAME [ARGUMENTS]
    python3 build/dev.py bench all|NAME [--compare] [--keep] [--repeats N] [ARGUMENTS]

The first runs one bench once. The second runs every bench, or one, several times; the last line is one JSON
object with the median of each figure. ``--compare`` prints each figure beside ``baseline.json`` as a ratio,
and says what was noisy. ``--keep`` writes the figures as the new baseline. Running all takes more than an
hour. The repeats of a bench do not follow each other, so that a busy minute does not meet all of them.
"""

from __future__ import annotations

import argparse
import json
import os
import shlex
import subprocess
import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from bench.baseline import Measured, keep, kept_at, medians, table

ALL = "all"


class Bench(NamedTuple):
    """How often a bench is run for a comparison, and with which arguments."""

    repeats: int
    arguments: tuple[str, ...] = ()


BENCHES = {
    "fit": Bench(2, ("1000",)),
    "storage": Bench(2),
    "cues": Bench(2, ("--cues", "500")),
    "phone": Bench(2, ("2",)),
    "desk": Bench(2),
    "simulation": Bench(1),
    "engines": Bench(1),
    "mutants": Bench(1),
}
Run = dict[str, float]


def command(name: str, arguments: Sequence[str]) -> list[str]:
    begin = f"import sys; from bench.{name} import main; sys.exit(main())"
    return [sys.executable, "-c", begin, *arguments]


def run(name: str, arguments: Sequence[str]) -> Run:
    """Runs a bench once, showing what it prints; its figures.

    Raises CalledProcessError where it fails, and ValueError where its last line holds no figures.
    """
    lines: list[str] = []
    with subprocess.Popen(command(name, arguments), stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for one in process.stdout:
            print(one, end="", flush=True)
            lines.append(one)
    if process.returncode:
        raise subprocess.CalledProcessError(process.returncode, process.args)
    return figures_of(lines)


def figures_of(lines: Sequence[str]) -> Run:
    found = json.loads(lines[-1]) if lines else None
    if not isinstance(found, dict):
        raise ValueError("a bench ends with one JSON object of figures")
    return found


def gathered(runs: Sequence[Run]) -> dict[str, list[float]]:
    """The values of each figure, in the order of the runs."""
    return {figure: [one[figure] for one in runs if figure in one] for figure in runs[0]}


def measure(names: Sequence[str], options: argparse.Namespace, more: Sequence[str]) -> dict[str, Measured]:
    """Runs the benches in turn until each had its repeats; one that fails is named and left out."""
    load_average = os.getloadavg()[0] if hasattr(os, "getloadavg") else None
    benches = {name: BENCHES[name] for name in names}
    arguments = {name: tuple(more) or bench.arguments for name, bench in benches.items()}
    repeats = {name: options.repeats or bench.repeats for name, bench in benches.items()}
    runs: dict[str, list[Run]] = {name: [] for name in names}
    for number in range(1, max(repeats.values()) + 1):
        for name in [name for name in runs if number <= repeats[name]]:
            print(f"\n{name}, {number} of {repeats[name]}", flush=True)
            try:
                runs[name].append(run(name, arguments[name]))
            except (subprocess.CalledProcessError, ValueError) as fault:
                print(f"The bench {name} failed and is left out: {fault}", file=sys.stderr)
                del runs[name]
    return {
        name: Measured(
            date=datetime.now(UTC).date().isoformat(),
            command=shlex.join(["python3", "build/dev.py", "bench", *sys.argv[1:]]),
            arguments=arguments[name],
            cores=os.cpu_count() or 1,
            load_average=load_average and round(load_average, 2),
            figures=gathered(found),
        )
        for name, found in runs.items()
    }


def compare(names: Sequence[str], options: argparse.Namespace, more: Sequence[str]) -> int:
    measured = measure(names, options, more)
    before = kept_at()
    if options.keep:
        keep(measured)
    if options.compare:
        print("", *table(measured, before), sep="\n")
    print(json.dumps(medians(measured.values())))
    return int(len(measured) < len(names))


def main() -> int:
    parser = argparse.ArgumentParser(prog="build/dev.py bench", description="Measures.", allow_abbrev=False)
    parser.add_argument("name", choices=(ALL, *BENCHES))
    parser.add_argument("--compare", action="store_true", help="beside the baseline")
    parser.add_argument("--keep", action="store_true", help="as the new baseline")
    parser.add_argument("--repeats", type=int, metavar="N", help="of each bench")
    options, more = parser.parse_known_args()
    if options.name == ALL:
        if more:
            parser.error(f"each bench has arguments of its own: {shlex.join(more)}")
        return compare(tuple(BENCHES), options, ())
    if options.compare or options.keep or options.repeats:
        return compare((options.name,), options, more)
    return subprocess.run(command(options.name, more), check=False).returncode
