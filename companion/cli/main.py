"""The command line: fits plans, hands them over, and keeps, hands over and reads back records.

    companion fit PLAN --minutes M [--kit none|single|pair] [--without wall,…] [--pain knee-right:2,…]
                       [--rounds N] [--side-change added|inside|rest] [--first-time] [--json]
    companion check PLAN
    companion link PLAN --base ADDRESS [--qr FILE.svg] [--replace]
    companion sheet PLAN --out FILE.html [--base ADDRESS] [--replace]
    companion open-link LINK [--out FILE.json] [--replace]
    companion schema [NAME]
    companion page|export|read …         see records_options.py
    companion backup|restore|merge|erase … see folder_options.py

``--language CODE`` stands before or after the command. PLAN is a file, or the name of a sample; a link also
carries an adjustment. Exit 0: done. Exit 2: bad input, a plan with faults, no permitted session, or none
because of pain: the reason goes to the error stream and the output stays empty, except that ``check`` prints
the faults.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from typing import Any, NoReturn, TextIO

from companion.cli.documents import plan_named
from companion.cli.fit import add_fit_options
from companion.cli.folder_options import add_folder_commands
from companion.cli.hand_over import add_hand_over_commands
from companion.cli.options import add_plan, argparse_speaking
from companion.cli.records_options import add_records_commands
from companion.cli.refused import Refused
from companion.words.faults import fault_words
from companion.words.language import NAMES, SOURCE, language
from companion.words.saying import say, speaking
from companion.words.words import Words
from engine.base.issue import Unreadable
from engine.base.printable import printable_lines
from engine.formats import FORMATS, schema, schemas
from engine.plan.check import check


class PrintableStream:
    """A stream that prints nothing of what steers a terminal, whoever wrote it."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream

    def write(self, text: str) -> int:
        self._stream.write(printable_lines(text))
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise Refused(message)


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command; returns the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a name may hold what the terminal cannot show
    out, err = PrintableStream(sys.stdout), PrintableStream(sys.stderr)
    with redirect_stdout(out), redirect_stderr(err):
        return _run(argv)


def _run(argv: Sequence[str] | None) -> int:
    try:
        with argparse_speaking():
            asked, rest = _language().parse_known_args(argv)
        with argparse_speaking(), speaking(Words(language=language(asked.language))):
            options = _parser().parse_args(rest)
            code: int = options.command(options)
        sys.stdout.flush()
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # The reader has gone. The interpreter flushes once more when it ends, which must not fail.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return code


def _language() -> argparse.ArgumentParser:
    """Takes the language from wherever it stands, before or after the command."""
    parser = _Parser(add_help=False, allow_abbrev=False)
    parser.add_argument("--language", choices=tuple(NAMES), default=SOURCE)
    return parser


def _parser() -> argparse.ArgumentParser:
    about = say("Fits a written strength session to the time you have.")
    parser = _Parser(prog="companion", description=about)
    commands = parser.add_subparsers(
        required=True,
        metavar="fit|check|link|sheet|open-link|schema|page|export|read|backup|restore|merge|erase",
    )
    fitting = commands.add_parser(
        "fit", help=say("fit a plan to minutes, kit and joint pain"), allow_abbrev=False
    )
    add_fit_options(fitting)
    checking = commands.add_parser("check", help=say("list the faults of a plan"))
    add_plan(checking)
    checking.set_defaults(command=_check)
    add_hand_over_commands(commands)
    printing = commands.add_parser("schema", help=say("print the JSON Schema of a format, or of all"))
    printing.add_argument("name", metavar="NAME", nargs="?", choices=tuple(FORMATS), help=", ".join(FORMATS))
    printing.set_defaults(command=_schema)
    add_records_commands(commands)
    add_folder_commands(commands)
    return parser


def _check(options: argparse.Namespace) -> int:
    try:
        faults = check(plan_named(options.plan))
    except Unreadable as unreadable:
        faults = unreadable.issues
    print("\n".join(map(fault_words, faults)) or say("No faults."))
    return 2 if faults else 0


def _schema(options: argparse.Namespace) -> int:
    print(json.dumps(schemas() if options.name is None else schema(options.name), indent=2))
    return 0


if __name__ == "__main__":
    sys.exit(main())
