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

from companion.cli.options import add_replace, later, none_of
from companion.words.saying import msgid, say
from engine.base.model import Name, Sentence
from engine.base.periods import IsoWeek
from engine.coach.page import MOST_WEEKS
from engine.coach.withheld import PageChoice

if TYPE_CHECKING:
    from companion.cli.options import Commands

WEEKS = 4
PARTS = tuple(name.replace("_", "-") for name in PageChoice.model_fields)


def add_records_commands(commands: Commands) -> None:
    writing, exporting = say("write a person's page for the coach"), say("save all records as tables")
    _add_page(commands.add_parser("page", help=writing, allow_abbrev=False))
    _add_export(commands.add_parser("export", help=exporting))
    reading = commands.add_parser("read", help=say("say what the pages received hold"))
    reading.set_defaults(command=later("records_commands", "show_pages"))
    reading.add_argument(
        "pages", metavar="PAGE", nargs="+", type=Path, help=say("pages of any number of people")
    )


def _add_page(making: argparse.ArgumentParser) -> None:
    making.set_defaults(command=later("records_commands", "write_page"))
    _add_folder(making)
    making.add_argument("--out", required=True, metavar="FILE", help=say("the file to save to"))
    making.add_argument(
        "--weeks",
        type=_weeks,
        default=WEEKS,
        metavar="N",
        help=say("how many weeks; without it {weeks}", weeks=WEEKS),
    )
    making.add_argument(
        "--until", type=_week, metavar="WEEK", help=say("the last week, as in {example}", example="2026-W09")
    )
    making.add_argument(
        "--without",
        type=_parts,
        action="extend",
        default=[],
        help=say("what to leave out: {parts}", parts=",".join(PARTS)),
    )
    making.add_argument(
        "--question",
        type=_question,
        action="append",
        default=[],
        metavar="TEXT",
        help=say("a question for the coach"),
    )
    making.add_argument("--name", type=_name, help=say("another name than in the profile"))


def _add_export(exporting: argparse.ArgumentParser) -> None:
    exporting.set_defaults(command=later("records_commands", "export"))
    _add_folder(exporting)
    one = exporting.add_mutually_exclusive_group(required=True)
    one.add_argument(
        "--csv", metavar="FILE", help=say("a line for each set, and beside it a file of the sessions")
    )
    one.add_argument(
        "--jsonl", metavar="FILE", help=say("a line of JSON for each session, and beside it SQL to load them")
    )


def _add_folder(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "folder", metavar="FOLDER", type=Path, help=say("a data folder; nothing in it changes")
    )
    add_replace(command)


def _checked(kind: Any, refusal: str) -> Callable[[str], Any]:
    """A reader for an option that checks it as the engine's formats do; ``refusal`` is what it says else."""
    adapter = TypeAdapter(kind)

    def read(written: str) -> object:
        try:
            return adapter.validate_python(written)
        except ValidationError:
            raise argparse.ArgumentTypeError(say(refusal, written=written, most=MOST_WEEKS)) from None

    return read


_weeks = _checked(
    Annotated[int, Field(ge=1, le=MOST_WEEKS)],
    msgid("“{written}” is not a whole number of weeks from 1 to {most}."),
)
_week = _checked(IsoWeek, msgid("“{written}” is not an ISO week such as 2026-W09."))
_question = _checked(Sentence, msgid("“{written}” is not a question of 1 to 400 letters."))
_name = _checked(Name, msgid("“{written}” is not a name of 1 to 120 letters."))


def _parts(written: str) -> list[str]:
    named = [name.strip() for name in written.split(",")]
    if not set(named) <= set(PARTS):
        raise argparse.ArgumentTypeError(none_of(written, PARTS))
    return [name.replace("-", "_") for name in named]
