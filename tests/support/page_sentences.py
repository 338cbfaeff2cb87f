"""Every sentence that a page for the coach must contain, from its data."""

from __future__ import annotations

from collections.abc import Iterable

from companion.paper.coach_page import head_sentence
from companion.style.safety import CAUTIONS, URGENT
from companion.words.lines import line_text
from companion.words.words import Words
from engine.base.periods import iso_week
from engine.coach import figures, pain_lines
from engine.coach.line import Line
from engine.coach.page import CoachPage
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends, swapped_most


def written(told: Iterable[Line]) -> list[str]:
    return list(map(line_text, told))


def sentences(made: CoachPage) -> list[str]:
    """Every sentence of a whole page."""
    words = Words(made.unit)
    lines = [
        *(told for session in made.sessions for told in pain_lines.pain(session)),
        *(
            figures.week_line(r, [s for s in made.sessions if iso_week(s.local_date) == r.iso_week])
            for r in made.reviews
        ),
        *map(figures.pattern_line, pattern_trends(made.reviews)),
        *(figures.load_line(trend, made.weeks) for trend in load_trends(made.sessions, made.weeks)),
        *(one.line for one in given_up_most(made.sessions)),
        *(one.line for one in swapped_most(made.sessions)),
        *figures.sides_lines(sides_trends(made.sessions)),
        *map(figures.session_line, made.sessions),
    ]
    return [
        head_sentence(made),
        *(line_text(one, words) for one in lines),
        *map(words.argument, made.questions),
        *(words.say(more) for session in made.sessions for more in figures.session_more(session)),
        *(session.note for session in made.sessions if session.note),
        *CAUTIONS,
        URGENT,
    ]
