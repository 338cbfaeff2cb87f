"""How many small mistakes in engine and storage the tests notice.

    python3 build/dev.py bench mutants [--size N] [--seed N] [--at FILE[:LINE] …] [--seconds S]

Draws places of engine and storage by a seed (tests/mutants/changes.py), changes one at a time in a
copy of the checkout, and runs what tests it: first the file's own tests, then the quickest that enter its
function, up to S seconds of processor time. A change is noticed when a test fails that passes without it, or
the tests do not end. Each verdict is printed at once. What was noticed is kept in ``dist/mutants/`` while the
changed file is the same, and which test enters which function while the file of tests is, so a run that was
cut goes on; to begin anew, delete the folder. ``--at`` tries every change of some files or lines instead.

Changes that mean the same stand in tests/mutants/same.txt, each with why; they count neither for nor against.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path
from queue import SimpleQueue

from mutants.changes import Mutant, changes_at, every_place, sample
from mutants.checkout import changed, copied, failing, not_noted, note
from mutants.reach import Reach
from mutants.verdicts import Kept, Verdict, key, same
from places import ROOT

SIZE = 240
SEED = 1
MOST_S = 60.0
"""† Our judgement, no source: what a person would wait for."""
FOLDER = ROOT / "dist" / "mutants"
AT_ONCE = 2
NICE = 5


def options_of(arguments: Sequence[str]) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="build/dev.py bench mutants", description="Changes the code.")
    parser.add_argument("--size", type=int, default=SIZE, help=f"how many places ({SIZE})")
    parser.add_argument("--seed", type=int, default=SEED, help=f"which places ({SEED})")
    parser.add_argument("--at", nargs="+", metavar="FILE[:LINE]", help="these places instead")
    parser.add_argument("--seconds", type=float, default=MOST_S, help=f"of tests for each ({MOST_S:g})")
    return parser.parse_args(arguments)


class Trying:
    """Tries changes in copies of the checkout, one in each at a time."""

    def __init__(self, scratch: Path, most_s: float) -> None:
        notes = FOLDER / "notes"
        notes.mkdir(parents=True, exist_ok=True)
        if files := not_noted(notes):
            note(copied(scratch / "noted"), files, notes, AT_ONCE)
        self.reach = Reach(notes)
        self.most_s = most_s
        self.sound = set[str]()
        """The tests that were seen to pass without a change."""
        self.free = SimpleQueue[Path]()
        for number in range(AT_ONCE):
            self.free.put(copied(scratch / str(number)))

    def tried(self, mutants: Sequence[Mutant]) -> Iterator[tuple[Mutant, Verdict]]:
        """Each verdict as it comes."""
        pool = ThreadPoolExecutor(AT_ONCE)
        try:
            begun = {pool.submit(self.verdict, one): one for one in mutants}
            for done in as_completed(begun):
                yield begun[done], done.result()
        finally:
            pool.shutdown(cancel_futures=True)

    def verdict(self, mutant: Mutant) -> Verdict:
        folder = self.free.get()
        try:
            return self.judged(folder, mutant, self.reach.tests(mutant, self.most_s))
        finally:
            self.free.put(folder)

    def judged(self, folder: Path, mutant: Mutant, tests: Sequence[str]) -> Verdict:
        """What fails without the change as well notices nothing, and is left out."""
        with changed(folder, mutant):
            by = failing(folder, tests, self.reach.seconds_of(tests))
        suspects = [by] if by in tests else tests
        if by and by not in self.sound and failing(folder, suspects, self.reach.seconds_of(suspects)):
            return self.judged(folder, mutant, [one for one in tests if one not in suspects])
        self.sound.add(by)
        return Verdict(by, len(tests))


def line(mutant: Mutant, verdict: Verdict) -> str:
    word, about = ("noticed", verdict.by) if verdict.by else ("ALIVE", f"after {verdict.tests} tests")
    return f"{word:<8}{mutant.where}  {mutant.statement}\n        {mutant.told} | {about}"


def main() -> int:
    options = options_of(sys.argv[1:])
    drawn = changes_at(options.at) if options.at else sample(every_place(), options.size, options.seed)
    if not drawn:
        print("There is nothing to change at these places.", file=sys.stderr)
        return 2
    os.nice(NICE)
    chosen = [one for one in drawn if key(one) not in same()]
    FOLDER.mkdir(parents=True, exist_ok=True)
    kept = Kept(FOLDER / "noticed.jsonl")
    found = {one: verdict for one in chosen if (verdict := kept.of(one))}
    print(f"{len(drawn)} changes, {len(found)} of them noticed before", flush=True)
    if left := [one for one in chosen if one not in found]:
        with tempfile.TemporaryDirectory() as scratch:
            for one, verdict in Trying(Path(scratch), options.seconds).tried(left):
                found[one] = verdict
                print(line(one, verdict), flush=True)
                if verdict.by:
                    kept.add(one, verdict)
    noticed = sum(bool(verdict.by) for verdict in found.values())
    figures = {
        "mutants": len(found),
        "killed_share": round(noticed / max(1, len(found)), 4),
        "alive": len(found) - noticed,
        "same": len(drawn) - len(chosen),
    }
    print(json.dumps(figures))
    return 0
