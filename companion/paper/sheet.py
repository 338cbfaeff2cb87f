"""A plan as a sheet to print: one HTML file without script or request, in which every word is text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from html import escape
from importlib import resources
from string import Template

from companion.paper.html_file import html_file
from companion.paper.qr import qr_for_paper
from companion.paper.strip import printed_key, printed_strip
from companion.style.safety import CAUTIONS, ROOM, URGENT
from companion.style.strip import strip_of
from companion.style.words import in_series
from companion.words.lines import ABOUT
from companion.words.saying import own, said, say, several, words_here
from engine.base.message import Seconds
from engine.base.printable import printable_line
from engine.base.units import format_duration
from engine.fit.as_planned import planned_row, planned_session, rounds_planned
from engine.movements.movement import Kit, Movement
from engine.movements.terms import kit_term
from engine.plan.link import TooLong, link
from engine.plan.plan import (
    Block,
    CoolDownBlock,
    PracticeBlock,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.plan.sentences import block_title, cut_sentences, side_change_sentence
from engine.plan.terms import amount_term, side_changes, starting_term, substitutes_term, tempo_terms
from engine.session.fitted import FittedSession

MOST_BOXES = 8
"""How many rounds have a box to write in, and a column in the table of minutes."""
TEXT_PT = ((3_600, 8.75), (4_600, 8.25), (5_500, 7.75), (6_300, 7.25))
SMALLEST_TEXT_PT = 7
"""The size of the text, by the most characters that a sheet may have for it. A longer sheet takes the
smallest size and several pages. † Our judgement, no source."""


def sheet_html(plan: SessionPlan, *, base_address: str | None = None) -> str:
    """The sheet of a plan without faults. With an address it also shows the QR code of the plan's link."""
    style = Template(resources.files("companion.paper").joinpath("sheet.css").read_text("utf-8"))
    content = "\n".join(_content(plan, base_address))
    return html_file(
        title=_text(own(plan.name)),
        style=style.substitute(text_pt=_text_pt(content)),
        body=content,
    )


def _text_pt(content: str) -> float:
    characters = len(re.sub(r"<[^>]*>", "", content))
    return next((pt for most, pt in TEXT_PT if characters <= most), SMALLEST_TEXT_PT)


def _content(plan: SessionPlan, base_address: str | None) -> Iterator[str]:
    known = plan.known_movements()
    sections = [
        f"<section>{_heading(number, block)}{_block(block, known)}</section>"
        for number, block in enumerate(plan.blocks, 1)
    ]
    before_work = next(at for at, block in enumerate(plan.blocks) if isinstance(block, WorkBlock))
    yield f'<header><div class="head"><h1><bdi>{_text(own(plan.name))}</bdi></h1>'
    if plan.author:
        yield f"<p>{say('by {author}', author=f'<bdi>{_text(plan.author)}</bdi>')}</p>"
    yield f"<p>{_text(own(plan.note))}</p>" if plan.note else ""
    yield from sections[:before_work]
    yield f"</div>{_code(plan, base_address)}</header>"
    yield from _times(plan)
    yield from sections[before_work:]
    yield f'<div class="columns"><section>{_title(say("Minutes as planned"))}{_minutes(plan)}</section>'
    yield f"<section>{_title(say('Before and during'))}{_lines(_before(plan))}</section></div>"
    yield f'<p class="urgent">{_text(say(URGENT))}</p>'
    yield from _to_write()


def _before(plan: SessionPlan) -> Iterator[str]:
    """The plan's stop rules, then the cautions that these do not say already."""
    yield from map(own, plan.stop_rules)
    yield from (say(caution) for caution in (*CAUTIONS, ROOM) if caution not in plan.stop_rules)


def _code(plan: SessionPlan, base_address: str | None) -> str:
    """The QR code; nothing where the plan is too long for a link or its code too fine for paper."""
    try:
        made = link(base_address, plan)
    except TooLong:
        return ""
    drawn = qr_for_paper(made) if made else None
    opens = _text(say("opens this plan"))
    return f'<div class="qr">{drawn}<span class="small">{opens}</span></div>' if drawn else ""


def _times(plan: SessionPlan) -> Iterator[str]:
    """Draws the shortest planned session as a strip, with one dumbbell where the plan uses any."""
    session = _usual(plan)
    if session is None:
        return
    words = say(
        "Minimum of rounds, {kit}: {length}. Each tick is one minute.",
        kit=kit_term(session.kit),
        length=format_duration(session.total_ms),
    )
    strip = strip_of(session.segments)
    yield f"<section>{printed_strip(strip, words)}"
    yield f'<p class="small">{_text(words)} {printed_key(strip)}</p></section>'


def _usual(plan: SessionPlan) -> FittedSession | None:
    fewest = min(block.rounds.min for block in plan.work_blocks())
    sessions = [planned_session(plan, kit, fewest) for kit in (Kit.single, Kit.pair, Kit.none)]
    done = [one for one in sessions if one is not None]
    return next((one for one in done if _takes_weight(one)), done[-1] if done else None)


def _takes_weight(session: FittedSession) -> bool:
    return any(item.chosen.dumbbells for block in session.blocks for item in block.items)


def _heading(number: int, block: Block) -> str:
    boxes = say("Load or repetitions by round") if isinstance(block, WorkBlock) else ""
    title = say("{number}. {block}", number=number, block=block_title(block))
    return f"<h2>{_text(title)}{boxes and f'<span>{_text(boxes)}</span>'}</h2>"


def _title(words: str) -> str:
    return f"<h2>{_text(words)}</h2>"


def _block(block: Block, known: dict[str, Movement]) -> str:
    match block:
        case WarmUpBlock():
            return _row(_warmed(item, known) for item in block.items)
        case PracticeBlock() | CoolDownBlock():
            return _row(own(known[slug].name) for slug in movements_named_in(block))
        case WorkBlock():
            return "".join(_worked(item, block, known) for item in _as_it_is_done(block))


def _warmed(item: WarmUpItem, known: dict[str, Movement]) -> str:
    """“Squat, 6–8; instead: Half squat (pain: knee)”."""
    name, amount = own(known[item.movement].name), amount_term(item.amount)
    done = say("{movement}, {amount}", movement=name, amount=amount)
    return in_series((done, *_instead(item, known)))


def _instead(item: WarmUpItem | WorkMovement, known: dict[str, Movement]) -> Iterator[str]:
    if instead := substitutes_term(item, known):
        yield say("instead: {movements}", movements=instead)


def _as_it_is_done(block: WorkBlock) -> Iterator[WorkMovement]:
    """The movements with what is written of each one's first place in the round and holds for every place."""
    first = {item.movement: item for item in reversed(block.movements)}
    for item in block.movements:
        everywhere = first[item.movement].model_dump(include={"starting_g", "starting_pair_g"})
        substitutes = item.substitutes or first[item.movement].substitutes
        yield item.model_copy(update={**everywhere, "substitutes": substitutes})


def _worked(item: WorkMovement, block: WorkBlock, known: dict[str, Movement]) -> str:
    """A movement of a work block: its name, how it is done, and a box for the load of each round."""
    movement = known[item.movement]
    numbers = range(1, min(block.rounds.max, MOST_BOXES) + 1)
    about = (
        say("work interval {length}", length=Seconds(seconds=item.work_s)) if item.work_s else "",
        words_here().listed(map(said, tempo_terms(item, movement))),
        *map(said, side_changes(movement)),
        say("start with {loads}", loads=starting) if (starting := starting_term(item)) else "",
        say("may be left out") if item.optional else "",
        say("may be cut while the session runs") if item.may_go else "",
        say("easier: {movement}", movement=own(known[item.easier].name)) if item.easier else "",
        *_instead(item, known),
    )
    return (
        f'<article><div class="loads">{"".join(f"<span>{number}</span>" for number in numbers)}</div>'
        f"<h3>{_text(own(movement.name))}</h3><p>{_text(in_series(filter(None, about)))}</p>"
        f'<p class="small">{_how(item, movement)}</p></article>'
    )


def _how(item: WorkMovement, movement: Movement) -> str:
    """End point, cues, stop rules and safe placing; the coach's words replace or precede ours."""
    parts = (
        (say("End point"), (item.end_point or movement.end_point,)),
        (say("Cues"), item.cues or movement.cues),
        (say("When to stop"), (*item.stop_rules, *movement.stop_rules)),
        *_placing(movement),
    )
    return " ".join(_labelled(label, " ".join(map(own, told))) for label, told in parts if told)


def _labelled(label: str, words: str) -> str:
    return say(ABOUT, about=f"<b>{_text(label)}</b>", said=_text(words))


def _placing(movement: Movement) -> Iterator[tuple[str, tuple[str, ...]]]:
    """How to place the weight in the variant for one dumbbell and in the variant for two."""
    for label, kit in ((say("One weight"), Kit.single), (say("Two weights"), Kit.pair)):
        variant = movement.variant_for(kit)
        if variant is not None and variant.kit is kit and variant.placing:
            yield label, (variant.placing,)


def _minutes(plan: SessionPlan) -> str:
    rounds = rounds_planned(plan)[:MOST_BOXES]
    table = [planned_row(plan, kit, rounds) for kit in Kit]
    heads = (several("{count} round", "{count} rounds", number) for number in rounds)
    head = "".join(f"<td>{_text(one)}</td>" for one in heads)
    rows = "".join(
        f"<tr><th>{_text(said(kit_term(row.kit)))}</th>"
        + "".join(f"<td>{_length(row.by_rounds[number])}</td>" for number in rounds)
        + "</tr>"
        for row in table
    )
    below = map(said, (side_change_sentence(plan), *cut_sentences(plan)))
    return f'<table class="minutes"><tr><th></th>{head}</tr>{rows}</table>{_lines(below)}'


def _length(length_ms: int | None) -> str:
    return "–" if length_ms is None else format_duration(length_ms)


def _to_write() -> Iterator[str]:
    for words in (
        (say("Date"), say("Minutes"), say("Kit"), say("Rounds done"), say("Effort 0–10")),
        (say("What hurt: where, joint or muscle, 0–10"), say("Note to the coach")),
    ):
        yield f'<div class="write">{"".join(f"<span>{_text(word)}</span>" for word in words)}</div>'


def _row(words: Iterable[str]) -> str:
    return f'<ul class="row">{"".join(f"<li>{_text(one)}</li>" for one in words)}</ul>'


def _lines(words: Iterable[str]) -> str:
    return f'<ul class="small">{"".join(f"<li>{_text(one)}</li>" for one in dict.fromkeys(words))}</ul>'


def _text(words: str) -> str:
    return escape(printable_line(words))
