"""What ``companion fit`` prints for a person: the session to scale, what was given up, and other ways."""

from __future__ import annotations

from collections.abc import Iterator

from companion.cli.fit_json import practice_kind
from companion.style.kinds import KIND_PATTERN, KIND_WORD, PRINTED_KINDS, Pattern
from companion.style.safety import CAUTION_IN_BRIEF
from companion.style.strip import Strip, strip_of, ticks
from companion.style.words import rounds_and
from companion.words.saying import msgid, own, said, say, several, words_here
from engine.base.units import MS_PER_MIN, format_duration
from engine.fit.offer import Offer
from engine.movements.terms import kit_term
from engine.plan.plan import PracticeKind, SessionPlan
from engine.session.fitted import FittedBlock, FittedSession
from engine.session.reason import grouped
from engine.session.segment import Kind, total_ms

NARROWEST, WIDEST = 40, 120

MARKS = {
    Pattern.solid: "#",
    Pattern.rising: "~",
    Pattern.falling: "=",
    Pattern.dots: "o",
    Pattern.wedges: "x",
    Pattern.blank: ".",
    Pattern.thread: "-",
}
PRACTICE = {
    PracticeKind.timed: msgid("practice by the clock"),
    PracticeKind.repetitions: msgid("practice by repetitions"),
    PracticeKind.skipped: msgid("no practice"),
}


def page(plan: SessionPlan, offered: Offer, session: FittedSession, *, width: int) -> str:
    """The page as plain text. The strip is ``width`` columns wide, within limits; sentences may be longer."""
    width = max(NARROWEST, min(width, WIDEST)) - 3  # the last number goes past the end
    return "\n".join(
        [
            *_head(plan, offered, session),
            "",
            *strip_lines(session, width=width),
            legend(),
            "",
            *_blocks(session),
            *_given_up(session),
            *_other_ways(offered),
            *_more(offered),
            "",
            say(CAUTION_IN_BRIEF),
        ]
    )


def _head(plan: SessionPlan, offered: Offer, session: FittedSession) -> Iterator[str]:
    minutes, kit = session.minutes, kit_term(session.kit)
    yield say("{plan}: {minutes} min, {kit}", plan=own(plan.name), minutes=minutes, kit=kit)
    spare_ms = int(session.minutes * MS_PER_MIN) - session.total_ms
    yield say(
        "{session}. Done after {length}, {spare} to spare."
        if spare_ms
        else "{session}. Done after {length}.",
        session=summary(session),
        length=format_duration(session.total_ms),
        spare=format_duration(spare_ms),
    )
    if session.below_minimum:
        missing_ms = offered.missing_to_minimum_ms
        yield say(
            "This is below the coach's minimum of rounds, which needs {missing} more."
            if missing_ms
            else "This is below the coach's minimum of rounds.",
            missing=format_duration(missing_ms),
        )


def legend() -> str:
    return "   ".join(f"{MARKS[KIND_PATTERN[kind]]} {say(KIND_WORD[kind])}" for kind in PRINTED_KINDS)


def summary(session: FittedSession) -> str:
    """The session in one line: rounds, warm-up, practice."""
    return rounds_and(session, say(PRACTICE[practice_kind(session)]))


def strip_lines(session: FittedSession, *, width: int) -> list[str]:
    """The minutes asked for, to scale, in three lines: a mark in each column, a tick a minute, numbers as
    often as they fit."""
    drawn_ms, strip = max(session.total_ms, int(session.minutes * MS_PER_MIN)), strip_of(session.segments)
    marks = "".join(_mark(strip, (2 * c + 1) * drawn_ms // (2 * width)) for c in range(width))
    marked, numbers = [" "] * width, [" "] * (width + 4)
    numbered_every = next(n for n in (5, 10, 30, 60) if n * MS_PER_MIN * width >= 5 * drawn_ms or n == 60)
    for tick in ticks(drawn_ms):
        column, number = min(tick.at_ms * width // drawn_ms, width - 1), str(tick.minute)
        if tick.minute % numbered_every == 0:
            marked[column] = "|"
            numbers[column : column + len(number)] = number
        elif marked[column] == " ":
            marked[column] = "'"
    return [marks.rstrip(), "".join(marked).rstrip(), "".join(numbers).rstrip()]


def _mark(strip: Strip, at_ms: int) -> str:
    kind = strip.kind_at(at_ms)
    return " " if kind is None else MARKS[KIND_PATTERN[kind]]


def _blocks(session: FittedSession) -> Iterator[str]:
    """Each block with its movements and its length, including the way into it."""
    for block in session.blocks:
        length_ms = total_ms(s for s in session.segments if s.block == block.id)
        yield f"{format_duration(length_ms):>6}  {_block(block)}"


def _block(block: FittedBlock) -> str:
    name = say(KIND_WORD[Kind(block.kind)])
    movements = words_here().listed(own(item.chosen.name) for item in block.items)
    if block.kind not in ("warm_up", "work"):
        return say("{block}: {movements}", block=name, movements=movements)
    return several(
        "{block}, {count} round: {movements}",
        "{block}, {count} rounds: {movements}",
        block.rounds,
        block=name,
        movements=movements,
    )


def _given_up(session: FittedSession) -> Iterator[str]:
    """What was changed, by what it is about; the head says what is missing to the minimum."""
    for of in grouped(session.reasons):
        yield from ("", say("{about}:", about=of.about))
        yield from (f"  {said(one.with_seconds)}" for one in of.reasons)


def _other_ways(offered: Offer) -> Iterator[str]:
    if not offered.alternatives:
        return
    yield from ("", say("Other ways to spend the time:"))
    for one in offered.alternatives:
        length, way = format_duration(one.session.total_ms), one.label
        yield f"  {say('{way}: {length}, {session}', way=way, length=length, session=summary(one.session))}"


def _more(offered: Offer) -> Iterator[str]:
    lines = [
        say("{minutes} min more: {gives}", minutes=one.minutes, gives=one.buys)
        for one in offered.more_minutes
        if one.buys
    ]
    lines += [said(offered.a_round_more)] if offered.a_round_more else []
    if lines:
        yield from ("", say("With more time:"), *(f"  {line}" for line in lines))
