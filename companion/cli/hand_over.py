"""link, sheet and open-link: commands that hand a plan over or take one in."""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from typing import TYPE_CHECKING

from companion.cli.documents import document_named, plan_without_faults, write_new
from companion.cli.options import add_plan, add_replace
from companion.cli.refused import Refused
from companion.services.clock import SystemClock
from companion.words.faults import fault_words
from companion.words.saying import said, say
from engine.base.issue import Unreadable
from engine.base.printable import printable_line
from engine.base.reading import read
from engine.fit.as_planned import shortest_and_longest_ms
from engine.movements.movement import library
from engine.plan.adjustment import Adjustment, adjustment_faults, describe, is_adjustment
from engine.plan.link import Carried, TooLong, base_address_fault, link, read_link
from engine.plan.plan import SessionPlan
from engine.plan.sentences import plan_sentences

if TYPE_CHECKING:
    from companion.cli.options import Commands


def add_hand_over_commands(commands: Commands) -> None:
    making = commands.add_parser("link", help=say("print the link that carries a plan"))
    making.set_defaults(command=_link)
    what = say("a file, also of an adjustment, or the name of a sample")
    making.add_argument("plan", metavar="PLAN", help=what)
    served = say("the address where the companion is served")
    making.add_argument("--base", required=True, type=_base_address, metavar="ADDRESS", help=served)
    making.add_argument("--qr", metavar="FILE.svg", help=say("save the link as a QR code too"))
    printing = commands.add_parser("sheet", help=say("save a plan as a sheet to print"))
    printing.set_defaults(command=_sheet)
    add_plan(printing)
    printing.add_argument("--out", required=True, metavar="FILE.html", help=say("the file to save to"))
    with_code = say("the address where the companion is served, for a QR code of the link")
    printing.add_argument("--base", type=_base_address, metavar="ADDRESS", help=with_code)
    opening = commands.add_parser("open-link", help=say("say what a link carries, and save it"))
    opening.set_defaults(command=_open_link)
    opening.add_argument("link", metavar="LINK", help=say("in quotation marks"))
    opening.add_argument("--out", metavar="FILE.json", help=say("the file to save to"))
    for command in (making, printing, opening):
        add_replace(command)


def _base_address(written: str) -> str:
    fault = base_address_fault(written)
    if fault is not None:
        raise argparse.ArgumentTypeError(said(fault))
    return written


def _link(options: argparse.Namespace) -> int:
    made = _made_link(_carried(options.plan), options.base)
    if options.qr:
        from companion.paper.qr import qr_file  # most commands draw nothing

        drawn = qr_file(made)
        if drawn is None:
            raise Refused(say("This link is too long for any QR code: send the link, or the file."))
        write_new(options.qr, drawn, replace=options.replace)
    print(made)
    return 0


def _carried(written: str) -> Carried:
    """The plan or the adjustment of that name. Raises Refused where it has a fault."""
    raw = document_named(written)
    if not is_adjustment(raw):
        return plan_without_faults(written)
    try:
        adjustment = read(Adjustment, raw)
        faults = adjustment_faults(adjustment, today=SystemClock().now().date())
    except Unreadable as unreadable:
        faults = unreadable.issues
    if faults:
        fault = fault_words(faults[0])
        raise Refused(
            say("The adjustment “{adjustment}” has a fault. {fault}", adjustment=written, fault=fault)
        )
    return adjustment


def _made_link(document: Carried, base_address: str) -> str:
    try:
        return str(link(base_address, document))
    except TooLong as too_long:
        raise Refused(said(too_long.what)) from None


def _sheet(options: argparse.Namespace) -> int:
    from companion.paper.sheet import sheet_html

    html = sheet_html(plan_without_faults(options.plan), base_address=options.base)
    write_new(options.out, html.encode(), replace=options.replace)
    print(say("Print “{file}” from a browser, on A4 or Letter.", file=options.out))
    return 0


def _open_link(options: argparse.Namespace) -> int:
    try:
        document = read_link(options.link)
    except Unreadable as unreadable:
        raise Refused(fault_words(unreadable.issues[0])) from None
    print("\n".join(map(printable_line, _sentences(document))))
    if options.out:
        text = json.dumps(document.model_dump(mode="json"), indent=1, ensure_ascii=False)
        write_new(options.out, f"{text}\n".encode(), replace=options.replace)
        print(say("Saved to “{file}”.", file=options.out))
    return 0


def _sentences(document: Carried) -> Iterator[str]:
    """What is said of a plan or an adjustment before it is kept."""
    if isinstance(document, SessionPlan):
        yield from map(said, plan_sentences(document, shortest_and_longest_ms(document)))
    else:
        yield from map(said, describe(document, library()))
