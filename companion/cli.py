"""The command line: fit a plan to minutes, check it, hand it over, print the JSON Schemas, hand records over.

    companion fit PLAN --minutes M [--kit none|single|pair] [--without wall,…] [--sore knee-right:2,…]
                       [--rounds N] [--side-change on|off] [--first-time] [--json]
    companion check PLAN
    companion link PLAN --base ADDRESS [--qr FILE.svg] [--replace]
    companion sheet PLAN --out FILE.html [--base ADDRESS] [--replace]
    companion open-link LINK [--out FILE.json] [--replace]
    companion schema [NAME]
    companion page|export|roster …         see desk_options.py
    companion backup|restore|merge|erase … see keep_options.py

PLAN is a file, or the name of a sample. Exit 0: a session, or no faults. Exit 2: bad input, a plan with
faults, or no permitted session; the reason then stands on the error stream, and the output is empty.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import shutil
import sys
from collections.abc import Sequence
from typing import NoReturn

from companion import hand_over
from companion.desk_options import add_desk_commands
from companion.fit_answer import answer
from companion.fit_page import page
from companion.keep_options import add_keep_commands
from companion.named_plans import plan_named, plan_without_faults
from companion.refusal import Refused
from engine.fit import Asked, rounds_fault
from engine.formats import FORMATS, schema, schemas
from engine.movement import PAIRED_JOINTS, Equipment, Joint, Kit, Side
from engine.offer import Offer, offer, shortest_sentence
from engine.plan_check import check
from engine.reading import Unreadable
from engine.room import Room, SoreJoint
from engine.units import MS_PER_MIN

LONGEST_SESSION_MIN = 600


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise Refused(message.removeprefix("argument "))


def main(argv: Sequence[str] | None = None) -> int:
    """Runs one command; returns the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a name may hold what the terminal cannot show
    try:
        options = _parser().parse_args(argv)
        code: int = options.command(options)
        sys.stdout.flush()
    except Refused as refused:
        print(refused, file=sys.stderr)
        return 2
    except BrokenPipeError:
        # Whoever read has gone; the interpreter's own flush at the end has to find somewhere to go.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1
    return code


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(prog="companion", description="Fits a written strength session to the time you have.")
    commands = parser.add_subparsers(
        required=True,
        metavar="fit|check|link|sheet|open-link|schema|page|export|roster|backup|restore|merge|erase",
    )
    _add_fit(
        commands.add_parser("fit", help="fit a plan to minutes, kit and sore joints", allow_abbrev=False)
    )
    checking = commands.add_parser("check", help="list the faults of a plan")
    checking.add_argument("plan", metavar="PLAN", help="a file, or the name of a sample")
    checking.set_defaults(command=_check)
    hand_over.add_to(commands)
    printing = commands.add_parser("schema", help="print the JSON Schema of a format, or of all")
    printing.add_argument("name", metavar="NAME", nargs="?", choices=tuple(FORMATS), help=", ".join(FORMATS))
    printing.set_defaults(command=_schema)
    add_desk_commands(commands)
    add_keep_commands(commands)
    return parser


def _add_fit(fitting: argparse.ArgumentParser) -> None:
    fitting.set_defaults(command=_fit)
    fitting.add_argument("plan", metavar="PLAN", help="a file, or the name of a sample")
    fitting.add_argument("--minutes", required=True, type=_minutes, help="the time you have")
    fitting.add_argument(
        "--kit", choices=tuple(kit.value for kit in Kit), default="none", help="dumbbells on hand"
    )
    fitting.add_argument(
        "--without",
        type=_equipment,
        action="extend",
        default=[],
        help="what is missing: wall,chair …",
    )
    fitting.add_argument(
        "--sore",
        type=_sore,
        action="extend",
        default=[],
        help="joints that hurt: knee-right:2,neck:1",
    )
    fitting.add_argument("--rounds", type=_rounds, help="exactly so many rounds of each work block")
    fitting.add_argument(
        "--side-change", choices=("on", "off"), default="on", help="off takes it out of the interval"
    )
    fitting.add_argument("--first-time", action="store_true", help="a movement was never done before")
    fitting.add_argument("--json", action="store_true", help="one JSON object, durations in seconds")


def _minutes(written: str) -> float:
    try:
        minutes = float(written)
    except ValueError:
        minutes = math.nan
    if not 0 < minutes <= LONGEST_SESSION_MIN:
        raise argparse.ArgumentTypeError(
            f"“{written}” is not a number of minutes above 0 and up to {LONGEST_SESSION_MIN}."
        )
    return minutes


def _rounds(written: str) -> int:
    if not (written.isascii() and written.isdigit() and len(written) < 4):
        raise argparse.ArgumentTypeError(f"“{written}” is not a whole number of rounds.")
    return int(written)


def _equipment(written: str) -> list[Equipment]:
    known = ", ".join(Equipment)
    try:
        return [Equipment(name.strip()) for name in written.split(",")]
    except ValueError:
        raise argparse.ArgumentTypeError(f"“{written}” names something other than {known}.") from None


def _sore(written: str) -> list[SoreJoint]:
    return [_sore_joint(one.strip()) for one in written.split(",")]


def _sore_joint(written: str) -> SoreJoint:
    where, _, rating = written.partition(":")
    name, side = where, None
    for one in (Side.left, Side.right):
        if where.endswith(f"-{one}"):
            name, side = where.removesuffix(f"-{one}"), one
    joint = {j.replace("_", "-"): j for j in Joint}.get(name)
    if joint is None:
        known = ", ".join(j.replace("_", "-") for j in Joint)
        raise argparse.ArgumentTypeError(f"“{written}” names no joint of {known}.")
    if side is not None and joint not in PAIRED_JOINTS:
        raise argparse.ArgumentTypeError(f"“{written}”: the {name} has no side.")
    if rating not in {str(number) for number in range(1, 11)}:
        raise argparse.ArgumentTypeError(f"“{written}” lacks a rating from 1 to 10, as in knee-right:2.")
    return SoreJoint(joint=joint, side=side, rating=int(rating))


def _fit(options: argparse.Namespace) -> int:
    plan = plan_without_faults(options.plan)
    room = Room(kit=Kit(options.kit), without=tuple(options.without), sore=tuple(options.sore))
    asked = Asked(
        minutes=options.minutes,
        room=room,
        rounds=options.rounds,
        side_change=options.side_change == "on",
        first_time=options.first_time,
    )
    fault = None if options.rounds is None else rounds_fault(plan, options.rounds)
    if fault is not None:
        raise Refused(fault)
    offered = offer(plan, asked)
    if offered.session is None:
        raise Refused(_nothing_fits(offered, options.minutes))
    if options.json:
        print(json.dumps(answer(plan, offered, offered.session), indent=2))
    else:
        print(page(plan, offered, offered.session, width=shutil.get_terminal_size().columns))
    return 0


def _nothing_fits(offered: Offer, minutes: float) -> str:
    if offered.shortest_ms <= minutes * MS_PER_MIN:
        return "With this kit, this room and these joints none of the plan's work can be done, in any time."
    return f"Nothing the plan permits fits {minutes:g} min. {shortest_sentence(offered.shortest_ms)}"


def _check(options: argparse.Namespace) -> int:
    try:
        faults = check(plan_named(options.plan))
    except Unreadable as unreadable:
        faults = unreadable.issues
    print("\n".join(str(fault) for fault in faults) or "No faults.")
    return 2 if faults else 0


def _schema(options: argparse.Namespace) -> int:
    print(json.dumps(schemas() if options.name is None else schema(options.name), indent=2))
    return 0


if __name__ == "__main__":
    sys.exit(main())
