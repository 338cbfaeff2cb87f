"""The coach's desk at scale: a roster of 30 people of three years, and 300 people's exported lines in DuckDB.

    python3 build/dev.py bench desk [PEOPLE_IN_DUCKDB]

The people are invented at random from fixed seeds, and each page holds four weeks. The bench times what a
coach waits for: reading everybody's newest page, merging it with the pages read before, and writing every
sentence. The table also shows how long it takes to read all pages of the three years, which happens once.

The times of the roster are processor time, which equals the wait on an idle machine. DuckDB works on all
processors at once, so its time is wall-clock time, the quickest of three runs.
"""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import datetime, time
from pathlib import Path
from time import perf_counter, process_time
from zoneinfo import ZoneInfo

import duckdb
from lines_in_duckdb import ByWeek, duckdb_figures, engine_figures, load, mismatched, write_lines
from qr_size import qr_modules
from three_years import FIRST_MONDAY, person, sessions

from companion.paper.coach_page import page_html
from companion.samples import sample_plans
from engine.base.periods import days_of, iso_week, week_before, weeks_until
from engine.coach.page import CoachPage, PageAsked, page_from
from engine.coach.roster import in_full, roster
from storage.exchange.coach_page import read_page

PEOPLE_ON_THE_ROSTER, PEOPLE_IN_DUCKDB = 30, 300
WEEKS, WEEKS_A_PAGE = 156, 4
TIMES = 3
BASE_ADDRESS = "https://coach.example.org/companion/"


def pages_of(number: int) -> Iterator[CoachPage]:
    """One person's pages, earliest first, each made on the last evening of its weeks."""
    whose = person(number)
    records = [one.record for one in sessions(number, weeks=WEEKS)]
    by_week = {week: [r for r in records if iso_week(r.local_date) == week] for week in all_weeks()}
    for last in all_weeks()[WEEKS_A_PAGE - 1 :: WEEKS_A_PAGE]:
        weeks = weeks_until(last, WEEKS_A_PAGE)
        evening = datetime.combine(days_of(last)[-1], time(20), ZoneInfo(whose.zone))
        held = [record for week in weeks for record in by_week[week]]
        yield page_from(held, (), profile=whose, asked=PageAsked(weeks=weeks), made_at=evening)


def all_weeks() -> tuple[str, ...]:
    return weeks_until(week_before(iso_week(FIRST_MONDAY), 1 - WEEKS), WEEKS)


def taken_s(of: Callable[[], object], *, clock: Callable[[], float] = process_time) -> float:
    """The time of the quickest of three runs."""
    found = []
    for _ in range(TIMES):
        started_s = clock()
        of()
        found.append(clock() - started_s)
    return min(found)


def roster_figures() -> dict[str, float]:
    files = [[page_html(page) for page in pages_of(number)] for number in range(PEOPLE_ON_THE_ROSTER)]
    started_s = process_time()
    pages = [read_page(file) for of_one in files for file in of_one]
    all_read_s = process_time() - started_s
    newest_read_s = taken_s(lambda: [read_page(of_one[-1]) for of_one in files])
    roster_s = taken_s(lambda: [list(in_full(one)) for one in roster(pages)])
    return {
        "pages": len(pages),
        "sessions": sum(len(page.sessions) for page in pages),
        "reading all pages once, s": all_read_s,
        "reading everybody's newest page, s": newest_read_s,
        "roster of pages already read, s": roster_s,
        "roster_s_30x3y": newest_read_s + roster_s,
    }


def duckdb_figures_of(people: int) -> dict[str, float]:
    ours: ByWeek = {}
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "records.jsonl"
        for number in range(people):
            held = tuple(sessions(number, weeks=WEEKS))
            write_lines(path, number, held)
            ours |= engine_figures(one.record for one in held)
        with duckdb.connect() as connection:
            connection.execute("SET enable_progress_bar = false")
            load_s = taken_s(lambda: load(connection, path), clock=perf_counter)
            worked_s = taken_s(lambda: load(connection, path))
            theirs = duckdb_figures(connection)
        return {
            "megabytes": path.stat().st_size / 1e6,
            "weeks": len(ours),
            "loading, s of all processors together": worked_s,
            "duckdb_load_s_300x3y": load_s,
            "figures_mismatched": mismatched(ours, theirs),
        }


KEYS = ("roster_s_30x3y", "duckdb_load_s_300x3y", "figures_mismatched", "qr_modules")


def main() -> int:
    people = int(sys.argv[1]) if len(sys.argv) > 1 else PEOPLE_IN_DUCKDB
    figures = (
        roster_figures()
        | duckdb_figures_of(people)
        | {"qr_modules": max(qr_modules(plan, BASE_ADDRESS) for plan in sample_plans())}
    )
    for name, figure in figures.items():
        print(f"{name:<40}{figure:>12,.3f}")
    print(json.dumps({key: round(figures[key], 3) for key in KEYS}))
    return 0
