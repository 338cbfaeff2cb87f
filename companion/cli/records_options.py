"""What the commands that hand records over and read pages back can be asked; records_commands.py does it.

    companion page FOLDER --out FILE [--weeks N] [--until WEEK] [--without pain,notes] [--question TEXT]
                          [--name NAME] [--replace]
    companion export FOLDER --csv FILE | --jsonl FILE [--replace]
    companion read PAGE…

FOLDER is a data folder, which is only read. A file that exists is replaced only with ``--replace``.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from pydantic import Field, TypeAdapter, ValidationError

from companion.cli.options import later
from engine.base.model import Name, Sentence
from engine.base.periods import IsoWeek
from engine.coach.page import MOST_WEEKS
from engine.coach.withheld import PageChoice

if TYPE_CHECKING:
    from companion.cli.options import Commands

WEEKS = 4
PARTS = tuple(name.replace("_", "-") for name in PageChoice.model_fields)


def add_records_commands(commands: Commands) -> None:
    _add_page(commands.add_parser("page", help="write a person's page for the coach", allow_abbrev=False))
    _add_export(commands.add_parser("export", help="write all records for a spreadsheet or a database"))
    reading = commands.add_parser("read", help="put the pages that came back into sentences")
    reading.set_defaults(command=later("records_commands", "show_pages"))
    reading.add_argument("pages", metavar="PAGE", nargs="+", type=Path, help="pages of any number of people")


def _add_page(making: argparse.ArgumentParser) -> None:
    making.set_defaults(command=later("records_commands", "write_page"))
    _add_folder(making)
    making.add_argument("--out", required=True, metavar="FILE", help="where the page goes")
    making.add_argument("--weeks", type=_weeks, default=WEEKS, metavar="N", help=f"{WEEKS} if not said")
    making.add_argument("--until", type=_week, metavar="WEEK", help="the last, as in 2026-W09")
    making.add_argument(
        "--without", type=_parts, action="extend", default=[], help=f"what is kept back: {','.join(PARTS)}"
    )
    making.add_argument(
        "--question", type=_question, action="append", default=[], metavar="TEXT", help="for the coach"
    )
    making.add_argument("--name", type=_name, help="another name than the profile's")


def _add_export(exporting: argparse.ArgumentParser) -> None:
    exporting.set_defaults(command=later("records_commands", "export"))
    _add_folder(exporting)
    one = exporting.add_mutually_exclusive_group(required=True)
    one.add_argument("--csv", metavar="FILE", help="a line for each set; the sessions stand beside")
    one.add_argument(
        "--jsonl", metavar="FILE", help="a line of JSON a session; SQL to load them stands beside"
    )


def _add_folder(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", metavar="FOLDER", type=Path, help="a data folder; it is only read")
    command.add_argument("--replace", action="store_true", help="a file that is there may be replaced")


def _checked(kind: Any, what: str) -> Callable[[str], Any]:
    """A reader for an option that checks it as the engine's formats do."""
    adapter = TypeAdapter(kind)

    def read(written: str) -> object:
        try:
            return adapter.validate_python(written)
        except ValidationError:
            raise argparse.ArgumentTypeError(f"“{written}” is not {what}.") from None

    return read


_weeks = _checked(
    Annotated[int, Field(ge=1, le=MOST_WEEKS)], f"a whole number of weeks from 1 to {MOST_WEEKS}"
)
_week = _checked(IsoWeek, "an ISO week such as 2026-W09")
_question = _checked(Sentence, "a question of 1 to 400 letters")
_name = _checked(Name, "a name of 1 to 120 letters")


def _parts(written: str) -> list[str]:
    named = [name.strip() for name in written.split(",")]
    if not set(named) <= set(PARTS):
        raise argparse.ArgumentTypeError(f"“{written}” names something other than {', '.join(PARTS)}.")
    return [name.replace("-", "_") for name in named]
