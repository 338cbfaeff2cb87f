"""How many small mistakes in engine and storage the tests notice.

    python3 build/dev.py bench mutants [--size N] [--seed N] [--at FILE[:LINE] …] [--seconds S]

Draws places of engine and storage by a seed (tests/mutants/changes.py), changes one at a time in a
copy of the checkout, and runs what tests it: first the file's own tests, then the quickest that enter its
function, up to S seconds of processor time. A change is noticed when a test fails or does not end. Each
verdict is printed at once. What was noticed is kept in ``dist/mutants/`` while the changed file is the same
(``--again`` forgets it), and which test enters which function while the sources are (``--stale``: or another
time), so a run that was cut goes on. ``--at`` tries every change of some files or lines instead.

Changes that mean the same stand in tests/mutants/same.txt, each with why; they count neither for nor against.
"""

from __future__ import annotations

import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from pathlib import Path

from mutants.changes import Mutant, changes_at, every_place, sample
from mutants.verdicts import Kept, Verdict, key, same
from places import ROOT

SIZE = 240
SEED = 1
MOST_S = 60.0
"""† Our judgement, no source: what a person would wait for."""
FOLDER = ROOT / "dist" / "mutants"
AT_ONCE = 2


def options_of(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="build/dev.py bench mutants", description="Changes the code.")
    parser.add_argument("--size", type=int, default=SIZE, help=f"how many places ({SIZE})")
    parser.add_argument("--seed", type=int, default=SEED, help=f"which places ({SEED})")
    parser.add_argument("--at", nargs="+", metavar="FILE[:LINE]", help="these places instead")
    parser.add_argument("--seconds", type=float, default=MOST_S, help=f"of tests for each ({MOST_S:g})")
    parser.add_argument("--at-once", type=int, default=AT_ONCE, help=f"processes ({AT_ONCE})")
    parser.add_argument("--stale", action="store_true", help="takes what was measured of other sources")
    parser.add_argument("--again", action="store_true", help="forgets what was noticed before")
    return parser.parse_args(arguments)


def copy_of_checkout(to: Path) -> None:
    """Everything that git knows or would add."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, cwd=ROOT, capture_output=True, check=True, text=True).stdout
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).is_file():
            (to / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, to / name)
    (to / ".venv").symlink_to(sys.prefix)


def tried(mutants: Sequence[Mutant], options: argparse.Namespace) -> Iterator[tuple[Mutant, Verdict]]:
    """Tries changes in a copy of the checkout, and tells each verdict as it comes."""
    with tempfile.TemporaryDirectory() as scratch:
        checkout, order = Path(scratch, "checkout"), Path(scratch, "order.json")
        copy_of_checkout(checkout)
        measured = FOLDER / "measured"
        measured.mkdir(parents=True, exist_ok=True)
        asked = [mutants, str(measured), options.stale, options.seconds, options.at_once]
        order.write_text(json.dumps(asked), encoding="utf-8")
        settings = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
        folders = settings["tool"]["pytest"]["ini_options"]["pythonpath"]
        path = os.pathsep.join(str(checkout / folder) for folder in folders)
        command = [sys.executable, "-c", "from mutants.tried import main; main()", str(order)]
        variables = os.environ | {"PYTHONPATH": path, "TMPDIR": scratch}
        with subprocess.Popen(
            command, cwd=checkout, env=variables, stdout=subprocess.PIPE, text=True
        ) as process:
            assert process.stdout is not None
            for line in process.stdout:
                number, *verdict = json.loads(line)
                yield mutants[number], Verdict(*verdict)
        if process.returncode:
            raise subprocess.CalledProcessError(process.returncode, command)


def line(mutant: Mutant, verdict: Verdict) -> str:
    word, about = ("noticed", verdict.by) if verdict.is_noticed else ("ALIVE", f"after {verdict.tests} tests")
    return f"{word:<8}{mutant.where}  {mutant.statement}\n        {mutant.told} | {about}"


def main() -> int:
    options = options_of(sys.argv[1:])
    drawn = changes_at(options.at) if options.at else sample(every_place(), options.size, options.seed)
    if not drawn:
        print("There is nothing to change at these places.", file=sys.stderr)
        return 2
    chosen = [one for one in drawn if key(one) not in same()]
    FOLDER.mkdir(parents=True, exist_ok=True)
    kept = Kept(FOLDER / "noticed.jsonl", again=options.again)
    found = {one: verdict for one in chosen if (verdict := kept.of(one))}
    left = [one for one in chosen if one not in found]
    print(f"{len(drawn)} changes, {len(found)} of them noticed before", flush=True)
    for one, verdict in tried(left, options) if left else ():
        found[one] = verdict
        print(line(one, verdict), flush=True)
        if verdict.is_noticed:
            kept.add(one, verdict)
    noticed = sum(verdict.is_noticed for verdict in found.values())
    figures = {
        "mutants": len(found),
        "killed_share": round(noticed / max(1, len(found)), 4),
        "alive": len(found) - noticed,
        "same": len(drawn) - len(chosen),
    }
    print(json.dumps(figures))
    return 0
