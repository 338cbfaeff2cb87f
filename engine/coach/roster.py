"""The roster: everyone whose pages came back, those who hurt first, each in a paragraph.

A person is known by the trainee id. Several pages of one person are put together: the newest gives the weeks
to look at and the person's name, and of a session that is on several pages the newest copy counts.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pydantic import AwareDatetime

from engine.base.model import Model
from engine.base.periods import iso_week
from engine.base.phrases import number_of
from engine.base.units import MS_PER_MIN, LoadUnit
from engine.coach import sentences as say
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted, easy_movements
from engine.coach.trend import given_up_most, load_trends, sides_trends
from engine.live.events import Ending
from engine.movements.after_pain import AfterPain
from engine.record.noted_pain import NotedPain

MOST_GIVEN_UP = 3


class Person(Model):
    """One person's pages together.

    ``weeks`` are those of the newest page. ``sessions`` are all that are known, in order of time.
    ``duplicates`` counts pages that came more than once, ``older`` the different pages before the newest.
    """

    trainee_id: str
    name: str
    made_at: AwareDatetime
    unit: LoadUnit
    weeks: tuple[str, ...]
    left_out: tuple[str, ...]
    questions: tuple[str, ...]
    sessions: tuple[SessionReport, ...]
    after_pain: tuple[AfterPain, ...] = ()
    pain_notes: tuple[NotedPain, ...] = ()
    duplicates: int = 0
    older: int = 0

    @property
    def recent(self) -> tuple[SessionReport, ...]:
        """The sessions of the newest page's weeks."""
        return tuple(one for one in self.sessions if iso_week(one.local_date) in self.weeks)

    @property
    def hurts(self) -> bool:
        return bool(self.after_pain or self.noted) or any(map(say.hurts, self.recent))

    @property
    def noted(self) -> tuple[NotedPain, ...]:
        """The pain of the newest page's weeks that was noted without a session."""
        return tuple(one for one in self.pain_notes if iso_week(one.local_date) in self.weeks)

    @property
    def stopped(self) -> bool:
        return any(session.ending is Ending.pain for session in self.recent)


def roster(pages: Iterable[CoachPage]) -> tuple[Person, ...]:
    """Everyone on the pages, by name: first whom pain stopped, then those with pain, then the others."""
    by_person: dict[str, list[CoachPage]] = {}
    for page in pages:
        by_person.setdefault(page.trainee.id, []).append(page)
    people = map(_person, by_person.values())
    return tuple(sorted(people, key=lambda one: (not one.stopped, not one.hurts, one.name, one.trainee_id)))


def _person(pages: Sequence[CoachPage]) -> Person:
    different: list[CoachPage] = []
    for page in sorted(pages, key=lambda page: (page.made_at, page.weeks[-1], len(page.sessions))):
        if page not in different:
            different.append(page)
    newest = different[-1]
    sessions = {session.record_id: session for page in different for session in page.sessions}
    notes = {note.id: note for page in different for note in page.pain_notes}
    return Person(
        trainee_id=newest.trainee.id,
        name=newest.trainee.name,
        made_at=newest.made_at,
        unit=newest.unit,
        weeks=newest.weeks,
        left_out=say.left_out(newest),
        questions=newest.questions,
        sessions=tuple(sorted(sessions.values(), key=lambda one: (one.started_at, one.record_id))),
        after_pain=newest.after_pain,
        pain_notes=tuple(sorted(notes.values(), key=lambda one: (one.at, one.id))),
        duplicates=len(pages) - len(different),
        older=len(different) - 1,
    )


def sentences(person: Person) -> Iterator[str]:
    """One person's paragraph: what is left out after pain, what hurt, and the rest of the page.

    Names and notes in it come from outside: show it as text.
    """
    recent = person.recent
    yield f"{person.name}, {say.span(person.weeks)}."
    out, hurt = left_out_after_pain(person), pain(person)
    yield from out
    yield from person.left_out
    yield from hurt or ([] if out or say.LEFT_OUT["pain"] in person.left_out else [say.NO_PAIN])
    yield from _done(counted(recent))
    easy = easy_movements(recent)
    yield from say.easy_movement(len(easy), sum(one.active_ms for one in easy) / MS_PER_MIN)
    yield from say.loads_sentence(load_trends(recent, person.weeks), person.unit)
    for side in sides_trends(recent):
        if side.weaker:
            yield say.sides_sentence(side, person.unit)
    yield from (say.given_up_sentence(one) for one in given_up_most(recent)[:MOST_GIVEN_UP])
    yield from (sentence for session in recent for sentence in say.session_more(session))
    for session in recent:
        if session.note:
            yield f"{say.day(session.local_date)}, noted: {session.note}"
    yield from (f"Asks: {question}" for question in person.questions)


def left_out_after_pain(person: Person) -> list[str]:
    """What is left out after pain or on its way back, as the newest page says."""
    return [say.after_pain(one, person.made_at.date()) for one in person.after_pain]


def pain(person: Person) -> list[str]:
    """What hurt in the weeks of the newest page, in sessions and outside."""
    return [
        *(sentence for session in person.recent for sentence in say.pain(session)),
        *say.noted_pains(person.noted, person.recent),
    ]


def copies(person: Person) -> Iterator[str]:
    """What became of the person's other pages."""
    if person.older:
        yield f"Put together with {number_of(person.older, 'older page')}."
    if person.duplicates:
        yield f"{number_of(person.duplicates, 'page')} came again."


def _done(sessions: Sequence[SessionReport]) -> Iterator[str]:
    if not sessions:
        yield "No session."
        return
    minutes = sum(session.active_ms for session in sessions) / MS_PER_MIN
    planned = sum(sum(session.rounds_planned) for session in sessions)
    early = sum(session.ending is not Ending.finished for session in sessions)
    parts = [
        number_of(len(sessions), "session"),
        f"{sum(sum(session.rounds_done) for session in sessions)} of {number_of(planned, 'round')}",
        number_of(round(minutes), "minute"),
        *say.effort(session.effort for session in sessions),
        f"{early} ended early" if early else "",
    ]
    yield f"Done: {', '.join(filter(None, parts))}."
