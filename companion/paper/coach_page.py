"""The page for the coach as one HTML file, without script or request.

Whatever a person wrote is shown as text. The file also carries its data, for the coach's desk to read.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields
from html import escape
from importlib import resources
from string import Template

from companion.paper.coach_chart import bar, columns
from companion.paper.html_file import html_file
from companion.style.palette import DARK, LIGHT, Palette
from companion.style.safety import CAUTIONS, URGENT
from companion.words.words import Words, english
from engine.base.periods import iso_week
from engine.base.phrases import upper_first
from engine.base.printable import printable_lines
from engine.coach import pain_sentences as say_pain
from engine.coach import sentences as say
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted, easy_movements
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends, swapped_most
from storage.exchange.coach_page import embedded

POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"
NOTHING = "Nothing."
ON_PAPER = {"background": "#fff", "ink": "#000", "work": "#000", "caution": "#000", "danger": "#000"}
"""Colours that change in print, which has to be read in black and white."""


def page_html(page: CoachPage) -> str:
    """The page as a file."""
    return html_file(
        policy=POLICY,
        title=_text(f"{page.trainee.name}, {say.span(page.weeks)}"),
        style=_style(),
        body="\n".join(("<main>", *_content(page), "</main>", embedded(page))),
    )


def _style() -> str:
    text = resources.files("companion.paper").joinpath("coach_page.css").read_text("utf-8")
    on_paper = "; ".join(f"--{name}: {colour}" for name, colour in ON_PAPER.items())
    return Template(text).substitute(light=_colours(LIGHT), dark=_colours(DARK), on_paper=on_paper)


def _colours(palette: Palette) -> str:
    return "; ".join(f"--{f.name.replace('_', '-')}: {getattr(palette, f.name)}" for f in fields(palette))


def _content(page: CoachPage) -> Iterator[str]:
    yield "<header>"
    yield f"<h1><bdi>{_text(page.trainee.name)}</bdi></h1>"
    yield _line(head_sentence(page))
    if page.plans:
        yield _line(f"Plans: {', '.join(page.plans)}.", "soft")
    yield from (_line(sentence, "soft") for sentence in say.left_out(page))
    yield "</header>"
    yield from _section("Left out after pain", _after_pain(page))
    yield from _section("Pain", _pain(page))
    asked = map(Words(page.unit).argument, page.questions)
    yield from _section("Questions for the coach", (f"<li>{_line(one)}</li>" for one in asked))
    yield from _section("Done against planned", _weeks(page), lead=say.how_done_is_drawn(page.reviews))
    how_sets = say.how_sets_are_drawn(pattern_trends(page.reviews))
    yield from _section("By movement pattern", _patterns(page), lead=how_sets)
    yield from _section(
        "Loads by movement", _loads(page), lead=f"{upper_first(say.HEAVIEST)}, in whatever round."
    )
    yield from _section("What the fit gave up most", _given_up(page))
    swapped = (english(one.in_sessions) for one in swapped_most(page.sessions))
    yield from _section(say.SWAPPED, map(_item, swapped))
    yield from _section("Left and right", _sides(page))
    yield from _section("Sessions", _sessions(counted(page.sessions)))
    yield from _section("Easy movement", _sessions(easy_movements(page.sessions)), lead=say.NOT_COUNTED)
    yield from _section("Cautions", map(_item, CAUTIONS))
    yield _line(URGENT, "urgent")


def head_sentence(page: CoachPage) -> str:
    """Which weeks the page covers, and when it was made."""
    made = f"{page.made_at:%H:%M} on {say.day(page.made_at.date())} {page.made_at.year}"
    return f"{say.span(page.weeks)}. This page was made at {made}."


def _section(title: str, items: Iterable[str], *, lead: str = "") -> Iterator[str]:
    """A section with its list; nothing where there is nothing to list."""
    held = list(items)
    if held:
        yield f"<section>\n<h2>{title}</h2>"
        if lead:
            yield _line(lead, "soft")
        yield from ("<ul>", *held, "</ul>", "</section>")


def _after_pain(page: CoachPage) -> Iterator[str]:
    today = page.made_at.date()
    return (_item(say_pain.after_pain(one, today), kind="pain") for one in page.after_pain)


def _pain(page: CoachPage) -> Iterator[str]:
    if not page.choice.pain:
        return
    said = [sentence for session in page.sessions for sentence in say_pain.pain(session)]
    said += say_pain.noted_pains(page.pain_notes, page.sessions)
    if said:
        yield from (_item(sentence, kind="pain") for sentence in said)
    else:
        yield _item(say_pain.NO_PAIN)


def _weeks(page: CoachPage) -> Iterator[str]:
    """A sentence and a bar of rounds for each week, then minutes and session loads over the weeks."""
    by_week: dict[str, list[SessionReport]] = {week: [] for week in page.weeks}
    for session in page.sessions:
        by_week[iso_week(session.local_date)].append(session)
    most_rounds = max(max(review.rounds_planned, review.rounds_done) for review in page.reviews)
    for review in page.reviews:
        drawn = bar(review.rounds_done, review.rounds_planned, most=most_rounds)
        sentence = say.week_sentence(review, by_week[review.iso_week])
        yield _item(sentence, drawn=drawn if review.sessions else "")
    if len(page.weeks) > 1:
        minutes = [review.minutes for review in page.reviews]
        yield _item(say.by_week("Minutes", map(round, minutes)), drawn=columns(minutes, minutes))
        loads, in_part = zip(*((one.session_load, one.load_in_part) for one in page.reviews), strict=True)
        if any(loads):
            whole = [load - part for load, part in zip(loads, in_part, strict=True)]
            yield _item(say.session_loads(page.reviews), drawn=columns(loads, whole, in_part))


def _patterns(page: CoachPage) -> Iterator[str]:
    for trend in pattern_trends(page.reviews):
        sets = [week.sets for week in trend.by_week]
        sentence = say.pattern_sentence(trend, page.unit)
        if len(sets) > 1:
            sentence += f" {say.by_week('Sets', sets)}"
        hard, unrated = (
            [getattr(week, of) for week in trend.by_week] for of in ("hard_sets", "unrated_sets")
        )
        yield _item(sentence, drawn=columns(sets, hard, unrated))


def _loads(page: CoachPage) -> Iterator[str]:
    for trend in load_trends(page.sessions, page.weeks):
        loads = [load_g or 0 for load_g in trend.by_week_g]
        drawn = columns(loads, loads) if len(loads) > 1 else ""
        yield _item(say.load_sentence(trend, page.weeks, page.unit), drawn=drawn)


def _given_up(page: CoachPage) -> Iterator[str]:
    if page.choice.given_up:
        found = [_item(english(one.in_sessions)) for one in given_up_most(page.sessions)]
        yield from found or [_item(NOTHING)]


def _sides(page: CoachPage) -> Iterator[str]:
    return map(_item, say.sides_sentences(sides_trends(page.sessions), page.unit))


def _sessions(sessions: Iterable[SessionReport]) -> Iterator[str]:
    for session in sessions:
        more = "".join(_line(english(more), "soft") for more in say.session_more(session))
        note = _line(session.note, "note") if session.note else ""
        yield _item(say.session_sentence(session), more=more + note)


def _item(sentence: str, *, kind: str = "", drawn: str = "", more: str = "") -> str:
    """A sentence with its chart beside it. What comes before the colon is set in bold."""
    named = f' class="{kind}"' if kind else ""
    about, colon, rest = sentence.partition(": ")
    said = f"<b>{_text(about)}:</b> {_text(rest)}" if colon else _text(sentence)
    return f'<li{named}><div dir="auto">{said}{more}</div>{drawn}</li>'


def _line(sentence: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<p{named} dir="auto">{_text(sentence)}</p>'


def _text(written: str) -> str:
    return escape(printable_lines(written))
