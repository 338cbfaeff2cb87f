"""``companion fit``: fits a plan to minutes, kit, room and body, and prints it as text or JSON."""

from __future__ import annotations

import argparse
import json
import math
import shutil

from companion.cli.documents import plan_without_faults
from companion.cli.fit_json import answer
from companion.cli.fit_text import page
from companion.cli.options import add_plan, none_of
from companion.cli.refused import Refused
from companion.style.pain_words import no_session_lines
from companion.words.saying import said, say
from engine.base.units import MS_PER_MIN
from engine.fit.asked import Asked, plan_as_asked, rounds_fault
from engine.fit.offer import Offer, offer, shortest_message
from engine.movements.movement import PAIRED_JOINTS, Equipment, Joint, Kit, Side
from engine.movements.room import Room, SoreJoint
from engine.plan.plan import SideChangeMode
from engine.today.no_session import no_session

LONGEST_SESSION_MIN = 600
EXAMPLE = "knee-right:2"
SIDE_CHANGES = {
    "added": SideChangeMode.added,
    "inside": SideChangeMode.inside,
    "rest": SideChangeMode.from_rest,
}


def add_fit_options(fitting: argparse.ArgumentParser) -> None:
    fitting.set_defaults(command=_fit)
    add_plan(fitting)
    fitting.add_argument("--minutes", required=True, type=_minutes, help=say("the minutes you have"))
    fitting.add_argument(
        "--kit", choices=tuple(kit.value for kit in Kit), default="none", help=say("your dumbbells")
    )
    fitting.add_argument(
        "--without",
        type=_equipment,
        action="extend",
        default=[],
        help=say("what is missing: {example}", example="wall,chair"),
    )
    fitting.add_argument(
        "--pain",
        type=_pain,
        action="extend",
        default=[],
        help=say("joints that hurt today, from 1 to 10: {example}", example="knee-right:2,neck:1"),
    )
    fitting.add_argument("--rounds", type=_rounds, help=say("exactly this many rounds of each work block"))
    fitting.add_argument(
        "--side-change",
        choices=tuple(SIDE_CHANGES),
        help=say("where the time to change sides comes from; without it, as the plan says"),
    )
    fitting.add_argument("--first-time", action="store_true", help=say("a movement is new to you"))
    fitting.add_argument("--json", action="store_true", help=say("one JSON object, lengths in seconds"))


def _minutes(written: str) -> float:
    try:
        minutes = float(written)
    except ValueError:
        minutes = math.nan
    if not 0 < minutes <= LONGEST_SESSION_MIN:
        raise argparse.ArgumentTypeError(
            say(
                "“{written}” is not a number of minutes above 0 and up to {most}.",
                written=written,
                most=LONGEST_SESSION_MIN,
            )
        )
    return minutes


def _rounds(written: str) -> int:
    if not (written.isascii() and written.isdigit() and len(written) < 4):
        raise argparse.ArgumentTypeError(say("“{written}” is not a whole number of rounds.", written=written))
    return int(written)


def _equipment(written: str) -> list[Equipment]:
    try:
        return [Equipment(name.strip()) for name in written.split(",")]
    except ValueError:
        raise argparse.ArgumentTypeError(none_of(written, Equipment)) from None


def _pain(written: str) -> list[SoreJoint]:
    return [_sore_joint(one.strip()) for one in written.split(",")]


def _sore_joint(written: str) -> SoreJoint:
    where, _, rating = written.partition(":")
    name, side = where, None
    for one in (Side.left, Side.right):
        if where.endswith(f"-{one}"):
            name, side = where.removesuffix(f"-{one}"), one
    joint = {j.replace("_", "-"): j for j in Joint}.get(name)
    if joint is None:
        raise argparse.ArgumentTypeError(none_of(written, (j.replace("_", "-") for j in Joint)))
    if side is not None and joint not in PAIRED_JOINTS:
        raise argparse.ArgumentTypeError(say("“{written}”: this joint has no side.", written=written))
    if rating not in {str(number) for number in range(1, 11)}:
        rated = say(
            "“{written}” needs a rating from 1 to 10, as in {example}.", written=written, example=EXAMPLE
        )
        raise argparse.ArgumentTypeError(rated)
    return SoreJoint(joint=joint, side=side, rating=int(rating))


def _fit(options: argparse.Namespace) -> int:
    plan = plan_without_faults(options.plan)
    room = Room(kit=Kit(options.kit), without=tuple(options.without), sore=tuple(options.pain))
    asked = Asked(
        minutes=options.minutes,
        room=room,
        rounds=options.rounds,
        side_change=SIDE_CHANGES.get(options.side_change),
        first_time=options.first_time,
    )
    fault = None if options.rounds is None else rounds_fault(plan, options.rounds)
    if fault is not None:
        raise Refused(said(fault))
    pain = no_session(room.sore)
    if pain is not None:
        raise Refused("\n".join(no_session_lines(pain)))
    offered = offer(plan, asked)
    if offered.session is None:
        raise Refused(_nothing_fits(offered, options.minutes))
    if options.json:
        print(json.dumps(answer(plan_as_asked(plan, asked), offered, offered.session), indent=2))
    else:
        print(page(plan, offered, offered.session, width=shutil.get_terminal_size().columns))
    return 0


def _nothing_fits(offered: Offer, minutes: float) -> str:
    if offered.shortest_ms <= minutes * MS_PER_MIN:
        return say(
            "With this kit, this room and these joints none of the plan's work can be done, in any time."
        )
    nothing = say("Nothing the plan permits fits {minutes} min.", minutes=minutes)
    return " ".join([nothing, said(shortest_message(offered.shortest_ms))])
