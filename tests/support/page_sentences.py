"""Every sentence that a page for the coach must contain, from its data."""

from __future__ import annotations

from companion.paper.coach_page import head_sentence
from companion.style.safety import CAUTIONS, URGENT
from companion.words.words import Words, english
from engine.base.periods import iso_week
from engine.coach import pain_sentences as say_pain
from engine.coach import sentences as say
from engine.coach.page import CoachPage
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends, swapped_most


def sentences(made: CoachPage) -> list[str]:
    """Every sentence of a whole page."""
    return [
        head_sentence(made),
        *(sentence for session in made.sessions for sentence in say_pain.pain(session)),
        *map(Words(made.unit).argument, made.questions),
        *(
            say.week_sentence(r, [s for s in made.sessions if iso_week(s.local_date) == r.iso_week])
            for r in made.reviews
        ),
        *(say.pattern_sentence(trend, made.unit) for trend in pattern_trends(made.reviews)),
        *(say.load_sentence(t, made.weeks, made.unit) for t in load_trends(made.sessions, made.weeks)),
        *(english(one.in_sessions) for one in given_up_most(made.sessions)),
        *(english(one.in_sessions) for one in swapped_most(made.sessions)),
        *say.sides_sentences(sides_trends(made.sessions), made.unit),
        *map(say.session_sentence, made.sessions),
        *(english(more) for session in made.sessions for more in say.session_more(session)),
        *(session.note for session in made.sessions if session.note),
        *CAUTIONS,
        URGENT,
    ]
