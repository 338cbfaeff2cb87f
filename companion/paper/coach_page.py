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
from companion.words.lines import ABOUT, in_unit
from companion.words.saying import msgid, say
from companion.words.words import Words
from engine.base.periods import iso_week
from engine.base.printable import printable_lines
from engine.coach import figures, pain_lines
from engine.coach.line import Line, line
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted, easy_movements
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends, swapped_most
from storage.exchange.coach_page import embedded

NOTHING = msgid("Nothing was cut.")
HEAVIEST = msgid("The heaviest of each week, in whatever round.")
ON_PAPER = {"background": "#fff", "ink": "#000", "work": "#000", "caution": "#000", "danger": "#000"}
"""Colours that change in print, which has to be read in black and white."""


def page_html(page: CoachPage) -> str:
    """The page as a file."""
    words = in_unit(page.unit)
    return html_file(
        images="data:",
        title=_text(say("{name}, {weeks}", name=page.trainee.name, weeks=figures.span(page.weeks))),
        style=_style(),
        body="\n".join(("<main>", *_Paper(page, words).content(), "</main>", embedded(page))),
    )


def _style() -> str:
    text = resources.files("companion.paper").joinpath("coach_page.css").read_text("utf-8")
    on_paper = "; ".join(f"--{name}: {colour}" for name, colour in ON_PAPER.items())
    return Template(text).substitute(light=_colours(LIGHT), dark=_colours(DARK), on_paper=on_paper)


def _colours(palette: Palette) -> str:
    return "; ".join(f"--{f.name.replace('_', '-')}: {getattr(palette, f.name)}" for f in fields(palette))


def head_sentence(page: CoachPage) -> str:
    """Which weeks the page covers, and when it was made."""
    return say(
        "{weeks}. This page was made at {clock} on {day:date}.",
        weeks=figures.span(page.weeks),
        clock=page.made_at.time(),
        day=page.made_at.date(),
    )


class _Paper:
    """The sections of a page, in the words of one language."""

    def __init__(self, page: CoachPage, words: Words) -> None:
        self._page, self._words = page, words

    def content(self) -> Iterator[str]:
        page, words = self._page, self._words
        yield "<header>"
        yield f"<h1><bdi>{_text(page.trainee.name)}</bdi></h1>"
        yield _line(head_sentence(page))
        if page.plans:
            yield _line(say("Plans: {plans}.", plans=words.listed(page.plans)), "soft")
        yield from (_line(words.say(one), "soft") for one in figures.left_out(page))
        yield "</header>"
        yield from _section(say("Left out after pain"), self._after_pain())
        yield from _section(say("Pain"), self._pain())
        asked = (f"<li>{_line(words.argument(one))}</li>" for one in page.questions)
        yield from _section(say("Questions for the coach"), asked)
        how_done = words.sentences(figures.how_done_is_drawn(page.reviews))
        yield from _section(say("Done against planned"), self._weeks(), lead=how_done)
        how_sets = words.sentences(figures.how_sets_are_drawn(pattern_trends(page.reviews)))
        yield from _section(say("By movement pattern"), self._patterns(), lead=how_sets)
        yield from _section(say("Loads by movement"), self._loads(), lead=say(HEAVIEST))
        yield from _section(say("Cut to save time"), self._given_up())
        swapped = (self._item(one.line) for one in swapped_most(page.sessions))
        yield from _section(say("Swapped or left out"), swapped)
        sides = map(self._item, figures.sides_lines(sides_trends(page.sessions)))
        yield from _section(say("Left and right"), sides)
        yield from _section(say("Sessions"), self._sessions(counted(page.sessions)))
        not_counted = words.say(figures.NOT_COUNTED)
        easy = self._sessions(easy_movements(page.sessions))
        yield from _section(say("Easy movement"), easy, lead=not_counted)
        yield from _section(say("Cautions"), (f"<li>{_line(say(one))}</li>" for one in CAUTIONS))
        yield _line(say(URGENT), "urgent")

    def _after_pain(self) -> Iterator[str]:
        today = self._page.made_at.date()
        return (self._item(pain_lines.after_pain(one, today), kind="pain") for one in self._page.after_pain)

    def _pain(self) -> Iterator[str]:
        page = self._page
        if not page.choice.pain:
            return
        said = [told for session in page.sessions for told in pain_lines.pain(session)]
        said += pain_lines.noted_pains(page.pain_notes, page.sessions)
        yield from (self._item(told, kind="pain") for told in said)
        if not said:
            yield self._item(line(None, pain_lines.NO_PAIN))

    def _weeks(self) -> Iterator[str]:
        """A line and a bar of rounds for each week, then minutes and session loads over the weeks."""
        page, reviews = self._page, self._page.reviews
        by_week: dict[str, list[SessionReport]] = {week: [] for week in page.weeks}
        for session in page.sessions:
            by_week[iso_week(session.local_date)].append(session)
        most_rounds = max(max(review.rounds_planned, review.rounds_done) for review in reviews)
        for review in reviews:
            drawn = bar(review.rounds_done, review.rounds_planned, most=most_rounds)
            told = figures.week_line(review, by_week[review.iso_week])
            yield self._item(told, drawn=drawn if review.sessions else "")
        if len(page.weeks) > 1:
            minutes = [review.minutes for review in reviews]
            yield self._item(figures.minutes_by_week(reviews), drawn=columns(minutes, minutes))
            loads, in_part = zip(*((one.session_load, one.load_in_part) for one in reviews), strict=True)
            if any(loads):
                whole = [load - part for load, part in zip(loads, in_part, strict=True)]
                yield self._item(figures.session_loads(reviews), drawn=columns(loads, whole, in_part))

    def _patterns(self) -> Iterator[str]:
        for trend in pattern_trends(self._page.reviews):
            sets = [week.sets for week in trend.by_week]
            told = figures.pattern_line(trend)
            if len(sets) > 1:
                told = line(told.about, *told.said, figures.sets_by_week(trend))
            hard, unrated = (
                [getattr(week, of) for week in trend.by_week] for of in ("hard_sets", "unrated_sets")
            )
            yield self._item(told, drawn=columns(sets, hard, unrated))

    def _loads(self) -> Iterator[str]:
        for trend in load_trends(self._page.sessions, self._page.weeks):
            loads = [load_g or 0 for load_g in trend.by_week_g]
            drawn = columns(loads, loads) if len(loads) > 1 else ""
            yield self._item(figures.load_line(trend, self._page.weeks), drawn=drawn)

    def _given_up(self) -> Iterator[str]:
        if self._page.choice.given_up:
            found = [self._item(one.line) for one in given_up_most(self._page.sessions)]
            yield from found or [f"<li>{_line(say(NOTHING))}</li>"]

    def _sessions(self, sessions: Iterable[SessionReport]) -> Iterator[str]:
        for session in sessions:
            more = "".join(_line(self._words.say(one), "soft") for one in figures.session_more(session))
            note = _line(session.note, "note") if session.note else ""
            yield self._item(figures.session_line(session), more=more + note)

    def _item(self, told: Line, *, kind: str = "", drawn: str = "", more: str = "") -> str:
        """A line with its chart beside it. What it is about is set in bold."""
        named = f' class="{kind}"' if kind else ""
        said = _text(self._words.sentences(told.said))
        if told.about is not None:
            said = say(ABOUT, about=f"<b>{_text(self._words.argument(told.about))}</b>", said=said)
        return f'<li{named}><div dir="auto">{said}{more}</div>{drawn}</li>'


def _section(title: str, items: Iterable[str], *, lead: str = "") -> Iterator[str]:
    """A section with its list; nothing where there is nothing to list."""
    held = list(items)
    if held:
        yield f"<section>\n<h2>{_text(title)}</h2>"
        if lead:
            yield _line(lead, "soft")
        yield from ("<ul>", *held, "</ul>", "</section>")


def _line(sentence: str, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<p{named} dir="auto">{_text(sentence)}</p>'


def _text(written: str) -> str:
    return escape(printable_lines(written))
