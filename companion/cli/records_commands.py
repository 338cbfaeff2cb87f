"""What page, export and read do."""

from __future__ import annotations

import argparse
import shutil
import textwrap
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.cli.data_folder import ask_folder, file_as
from companion.cli.documents import write_new
from companion.cli.refused import Refused
from companion.paper.coach_page import page_html
from companion.services.clock import SystemClock
from companion.words.lines import in_unit, line_text
from companion.words.saying import msgid, said, say, several
from engine.base.message import Own
from engine.base.periods import iso_week, weeks_until
from engine.base.printable import printable_lines
from engine.base.reading import LARGEST_DOCUMENT_BYTES
from engine.coach import figures
from engine.coach.page import CoachPage, PageAsked
from engine.coach.roster import copies, head, in_full, roster
from engine.coach.session_report import SessionReport, counted, report_of
from engine.coach.spreadsheet import sessions_csv, sets_csv
from engine.coach.withheld import PageChoice
from engine.record.profile import Profile
from storage.exchange.coach_page import coach_page, person_of, read_page, session_line
from storage.exchange.duckdb_columns import loading_sql
from storage.store import Store

NO_PAGE = msgid("“{file}” cannot be read as a page. {fault}")
NARROWEST, WIDEST = 40, 100
"""Columns of a paragraph."""


def write_page(options: argparse.Namespace) -> int:
    """Writes a person's page for the coach."""
    made = ask_folder(options.folder, lambda store: _page(store, options))
    write_new(options.out, page_html(made).encode(), replace=options.replace)
    weeks = several("{count} week", "{count} weeks", len(made.weeks))
    print(
        several(
            "{file}: {count} session of {weeks}.",
            "{file}: {count} sessions of {weeks}.",
            len(counted(made.sessions)),
            file=options.out,
            weeks=weeks,
        )
    )
    print(*(f"  {said(one)}\n" for one in figures.left_out(made)), sep="", end="")
    return 0


async def _page(store: Store, options: argparse.Namespace) -> CoachPage:
    profile = await person_of(store)
    try:
        now = SystemClock().now().astimezone(ZoneInfo(profile.zone)).replace(microsecond=0)
    except (ZoneInfoNotFoundError, ValueError):
        raise Refused(
            say("The time zone of the profile, “{zone}”, is not known here.", zone=profile.zone)
        ) from None
    asked = PageAsked(
        weeks=weeks_until(options.until or iso_week(now.date()), options.weeks),
        choice=PageChoice(**dict.fromkeys(options.without, False)),
        questions=tuple(Own(own=one) for one in options.question),
        name=options.name,
    )
    return await coach_page(store, asked, made_at=now)


def export(options: argparse.Namespace) -> int:
    """Writes every record: a table of sets and one of sessions, or a line of JSON for each session."""
    profile, sessions = ask_folder(options.folder, _everything)
    held = len(counted(sessions))
    if options.jsonl:
        lines = "".join(f"{session_line(profile.trainee_id, one)}\n" for one in sessions)
        path = _file_named(options.jsonl)
        columns = path.with_suffix(".sql")
        write_new(str(columns), loading_sql(path.name).encode(), replace=options.replace)
        write_new(str(path), lines.encode(), replace=options.replace)
        print(
            several(
                "{file}: {count} session. {columns} loads it into DuckDB.",
                "{file}: {count} sessions. {columns} loads them into DuckDB.",
                held,
                file=str(path),
                columns=str(columns),
            )
        )
        return 0
    csv = _file_named(options.csv)
    beside = csv.with_name(f"{csv.stem}-sessions{csv.suffix}")
    for path, table in ((beside, sessions_csv), (csv, sets_csv)):
        # Some spreadsheets recognise UTF-8 only by the byte order mark that this codec writes.
        write_new(str(path), table(sessions, profile.unit).encode("utf-8-sig"), replace=options.replace)
    print(
        several(
            "{sets}: the sets. {sessions}: {count} session.",
            "{sets}: the sets. {sessions}: {count} sessions.",
            held,
            sets=str(csv),
            sessions=str(beside),
        )
    )
    return 0


def _file_named(written: str) -> Path:
    path = Path(written)
    if not path.name:
        raise Refused(say("“{file}” is not the name of a file.", file=written))
    return path


async def _everything(store: Store) -> tuple[Profile, tuple[SessionReport, ...]]:
    profile, amendments = await person_of(store), await store.sessions.amendments_in()
    records, everything = await store.sessions.records(), PageChoice()
    return profile, tuple(report_of(record, amendments, everything) for record in records)


def show_pages(options: argparse.Namespace) -> int:
    """Prints what the pages say of each person, a line for each thing."""
    width = max(NARROWEST, min(shutil.get_terminal_size().columns, WIDEST))
    people = roster(_page_in(path) for path in options.pages)
    for number, person in enumerate(people):
        lines = (line_text(one, in_unit(person.unit)) for one in in_full(person))
        told = map(printable_lines, (said(head(person)), *lines, *map(said, copies(person))))
        wrapped = (textwrap.fill(one, width, subsequent_indent="  ") for one in told)
        print(*([""] if number else []), *wrapped, sep="\n")
    return 0


def _page_in(path: Path) -> CoachPage:
    read = partial(read_page, now=SystemClock().now())
    return file_as(NO_PAGE, path, read, most_bytes=LARGEST_DOCUMENT_BYTES)
