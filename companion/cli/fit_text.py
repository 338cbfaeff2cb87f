"""What ``companion fit`` prints for a person: the strip of the session to scale, and why it looks so."""

from __future__ import annotations

from collections.abc import Iterator

from companion.cli.fit_json import practice_form
from engine.base.phrases import rounds_words
from engine.base.units import MS_PER_MIN, format_duration
from engine.fit.offer import Offer
from engine.movements.words import KIT_WORDS
from engine.plan.plan import PracticeForm, SessionPlan
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Segment, segment_at, total_ms

NARROWEST, WIDEST = 40, 120

MARKS: dict[Kind, str] = {
    Kind.get_ready: "-",
    Kind.warm_up: "~",
    Kind.practice: "o",
    Kind.work: "#",
    Kind.side_change: "x",
    Kind.rest: ".",
    Kind.transition: "-",
    Kind.cool_down: "=",
}
"""One mark for each kind, told apart by shape alone."""

LEGEND = "~ warm-up   o practice   # work   x change of sides   . rest   - change of block   = cool-down"
CAUTIONS = (
    "Clear about 2 × 2 m of dry floor; stop at any joint pain; get help for chest pain, fainting or "
    "unusual breathlessness; your clinician and local rules come first."
)
PRACTICE = {
    PracticeForm.timed: "practice by the clock",
    PracticeForm.repetitions: "practice by repetitions",
    PracticeForm.skipped: "no practice",
}


def page(plan: SessionPlan, offered: Offer, session: FittedSession, *, width: int) -> str:
    """The whole page as plain text, no wider than the terminal where a line can be drawn to scale."""
    width = max(NARROWEST, min(width, WIDEST)) - 3  # the last number stands past the end
    return "\n".join(
        [
            *_head(plan, offered, session),
            "",
            *strip(session, width=width),
            LEGEND,
            "",
            *_blocks(session),
            *_given_up(session),
            *_other_ways(offered),
            *_more(offered),
            "",
            CAUTIONS,
        ]
    )


def _head(plan: SessionPlan, offered: Offer, session: FittedSession) -> Iterator[str]:
    yield f"{plan.name}: {session.minutes:g} min, {KIT_WORDS[session.kit]}"
    spare_ms = int(session.minutes * MS_PER_MIN) - session.total_ms
    spare = f", {format_duration(spare_ms)} to spare" if spare_ms else ""
    yield f"{summary(session)}. Done after {format_duration(session.total_ms)}{spare}."
    if session.below_minimum:
        missing_ms = offered.missing_to_minimum_ms
        needs = f", which needs {format_duration(missing_ms)} more" if missing_ms else ""
        yield f"This is below the coach's minimum of rounds{needs}."


def summary(session: FittedSession) -> str:
    """The session in one line: rounds, warm-up, practice."""
    warm_up = session.warm_up_rounds()
    parts = [rounds_words(session.rounds())]
    parts += [f"warm-up {warm_up}"] if warm_up else []
    return ", ".join([*parts, PRACTICE[practice_form(session)]])


def strip(session: FittedSession, *, width: int) -> list[str]:
    """The minutes to scale: a mark for each stretch of time, a tick a minute, a number every five."""
    span_ms = max(session.total_ms, int(session.minutes * MS_PER_MIN))
    marks = "".join(_mark(session.segments, (2 * c + 1) * span_ms // (2 * width)) for c in range(width))
    ticks, numbers = [" "] * width, [" "] * (width + 4)
    minutes = span_ms // MS_PER_MIN
    numbered_every = next(n for n in (5, 10, 30, 60) if n * MS_PER_MIN * width >= 5 * span_ms or n == 60)
    for minute in range(minutes + 1):
        column = min(minute * MS_PER_MIN * width // span_ms, width - 1)
        if minute % numbered_every == 0:
            ticks[column] = "|"
            numbers[column : column + len(str(minute))] = str(minute)
        elif ticks[column] == " ":
            ticks[column] = "'"
    return [marks.rstrip(), "".join(ticks).rstrip(), "".join(numbers).rstrip()]


def _mark(segments: tuple[Segment, ...], at_ms: int) -> str:
    if at_ms >= total_ms(segments):
        return " "
    return MARKS[segment_at(segments, at_ms).kind]


def _blocks(session: FittedSession) -> Iterator[str]:
    """Each block with its length, the way into it included, and its movements."""
    for block in session.blocks:
        length_ms = total_ms(s for s in session.segments if s.block == block.id)
        name = block.kind.replace("_", "-").capitalize()
        names = ", ".join(item.chosen.name for item in block.items)
        rounds = f", {rounds_words(block.rounds)}" if block.kind in ("warm_up", "work") else ""
        yield f"{format_duration(length_ms):>6}  {name}{rounds}: {names}"


def _given_up(session: FittedSession) -> Iterator[str]:
    reasons = [reason for reason in session.reasons if reason.code != "below_minimum"]  # said in the head
    if not reasons:
        return
    yield from ("", "Given up or changed:")
    for reason in reasons:
        gained = f" ({reason.seconds:g} s)" if reason.seconds else ""
        yield f"  {reason.text}{gained}"


def _other_ways(offered: Offer) -> Iterator[str]:
    if not offered.alternatives:
        return
    yield from ("", "Other ways to spend the time:")
    for one in offered.alternatives:
        yield f"  {one.label}: {summary(one.session)}, {format_duration(one.session.total_ms)}"


def _more(offered: Offer) -> Iterator[str]:
    yield from ("", "What more minutes would buy:")
    for one in offered.more_minutes:
        yield f"  +{one.minutes} min: {one.buys or 'nothing whole'}"
    if offered.missing_ms:
        yield f"One round more needs {format_duration(offered.missing_ms)} more."
