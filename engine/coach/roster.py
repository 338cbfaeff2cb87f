"""The roster: everyone whose pages came back, those who hurt first.

Pages that share a trainee id are one person's. Several pages of one person are put together, with the weeks
of all. Of a session that is on several pages the newest copy that tells pain counts, or else the newest. No
page hides the pain that another one tells.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pydantic import AwareDatetime

from engine.base.message import Count, Day, Message, Own, Said, message
from engine.base.model import Model, canonical_json
from engine.base.periods import days_of
from engine.base.units import MS_PER_MIN, LoadUnit
from engine.coach import figures, pain_lines
from engine.coach.line import Line, line
from engine.coach.page import CoachPage
from engine.coach.question import Asked
from engine.coach.session_report import SessionReport, counted, easy_movements
from engine.coach.trend import given_up_most, load_trends, sides_trends, swapped_most
from engine.live.events import Ending
from engine.movements.after_pain import AfterPain
from engine.record.noted_pain import NotedPain

MOST_GIVEN_UP = 3


class Person(Model):
    """One person's pages together.

    ``weeks`` are those of all pages, ``sessions`` all that are known, in order of time. ``names`` are all
    names on the pages, ``name`` is that of the newest. ``hurts`` and ``stopped`` say whether any page tells
    of pain, or of a session that it stopped. ``duplicates`` counts pages that came more than once, ``older``
    the different pages before the newest.
    """

    trainee_id: str
    name: str
    names: tuple[str, ...] = ()
    hurts: bool = False
    stopped: bool = False
    made_at: AwareDatetime
    unit: LoadUnit
    weeks: tuple[str, ...]
    left_out: Said
    questions: tuple[Asked, ...]
    sessions: tuple[SessionReport, ...]
    after_pain: tuple[AfterPain, ...] = ()
    pain_notes: tuple[NotedPain, ...] = ()
    duplicates: int = 0
    older: int = 0


def roster(pages: Iterable[CoachPage]) -> tuple[Person, ...]:
    """Everyone on the pages, by name: first whom pain stopped, then those with pain, then the others."""
    people = map(_person, _by_person(pages))
    return tuple(sorted(people, key=lambda one: (not one.stopped, not one.hurts, one.name, one.trainee_id)))


def _by_person(pages: Iterable[CoachPage]) -> Iterator[list[CoachPage]]:
    """The pages of each person. A page made after two devices became one joins those made before."""
    people: list[tuple[frozenset[str], list[CoachPage]]] = []
    for page in pages:
        same = [one for one in people if not one[0].isdisjoint(page.trainee.ids)]
        people = [one for one in people if one not in same]
        ids = page.trainee.ids.union(*(ids for ids, _ in same))
        people.append((ids, [*(one for _, theirs in same for one in theirs), page]))
    return (theirs for _, theirs in people)


def _person(pages: Sequence[CoachPage]) -> Person:
    different: list[CoachPage] = []
    for page in sorted(pages, key=_age):
        if page not in different:
            different.append(page)
    newest, with_pain = different[-1], [page for page in different if page.choice.pain]
    of_last_week = max(with_pain, key=lambda page: (page.weeks[-1], _age(page)), default=None)
    telling = sorted(different, key=lambda page: page.choice.pain)  # stable: of these the newest comes last
    sessions = {session.record_id: session for page in telling for session in page.sessions}
    notes = {note.id: note for page in different for note in page.pain_notes}
    copies = [session for page in different for session in page.sessions]
    out = any(page.after_pain for page in different)
    return Person(
        trainee_id=min(min(page.trainee.ids) for page in pages),
        name=newest.trainee.name,
        names=tuple(sorted({page.trainee.name for page in different})),
        hurts=out or bool(notes) or any(map(pain_lines.hurts, copies)),
        stopped=any(session.ending is Ending.pain for session in copies),
        made_at=newest.made_at,
        unit=newest.unit,
        weeks=tuple(sorted({week for page in different for week in page.weeks})),
        left_out=tuple(
            dict.fromkeys(part for page in reversed(different) for part in figures.left_out(page))
        ),
        questions=newest.questions,
        sessions=tuple(sorted(sessions.values(), key=lambda one: (one.started_at, one.record_id))),
        after_pain=of_last_week.after_pain if of_last_week else (),
        pain_notes=tuple(sorted(notes.values(), key=lambda one: (one.at, one.id))),
        duplicates=len(pages) - len(different),
        older=len(different) - 1,
    )


def _kept_back(pages: Iterable[CoachPage]) -> Said:
    return tuple(dict.fromkeys(part for page in pages for part in figures.left_out(page)))


def _age(page: CoachPage) -> tuple[object, ...]:
    return page.made_at, page.weeks[-1], len(page.sessions), canonical_json(page)


def head(person: Person) -> Message:
    """“Runa, 2 March 2026 to 8 March 2026”."""
    first, last = days_of(person.weeks[0])[0], days_of(person.weeks[-1])[-1]
    name, first_day, last_day = Own(own=person.name), Day(day=first), Day(day=last)
    return message("name_from_to", name=name, first=first_day, last=last_day)


def in_short(person: Person) -> Iterator[Line]:
    """What a coach looks for first: what is left out after pain, what hurt, what was done and is asked.

    Names and notes in it come from outside: show it as text.
    """
    yield from _above(person)
    yield from _asked(person)


def in_full(person: Person) -> Iterator[Line]:
    """Everything of one person's pages, in the same order."""
    yield from _above(person)
    yield from trends(person)
    yield from (told for session in person.sessions for told in of_session(session))
    yield from _asked(person)


def trends(person: Person) -> Iterator[Line]:
    """Loads, sides of which one falls behind, and what was cut or swapped most."""
    recent = person.sessions
    yield from figures.load_ranges(load_trends(recent, person.weeks))
    yield from (figures.sides_line(side) for side in sides_trends(recent) if side.weaker)
    for most in (given_up_most(recent), swapped_most(recent)):
        yield from (one.line for one in most[:MOST_GIVEN_UP])


def of_session(session: SessionReport) -> Iterator[Line]:
    """What changed in a session and later, and what the person noted."""
    day = Day(day=session.local_date)
    if more := tuple(figures.session_more(session)):
        yield Line(day, more)
    if session.note:
        yield line(message("day_noted", day=day), message("own_words", words=Own(own=session.note)))


def _above(person: Person) -> Iterator[Line]:
    if len(person.names) > 1:
        yield line(None, figures.several_names(person.names))
    out, hurt = left_out_after_pain(person), pain(person)
    yield from out
    yield from (line(None, part) for part in person.left_out)
    yield from hurt or _no_pain(person, told=bool(out))
    yield _done(counted(person.sessions))
    easy = easy_movements(person.sessions)
    for said in figures.easy_movement(len(easy), sum(one.active_ms for one in easy) / MS_PER_MIN):
        yield line(None, said)


def _asked(person: Person) -> Iterator[Line]:
    return (line(None, message("asks", question=question)) for question in person.questions)


def _no_pain(person: Person, *, told: bool) -> Iterator[Line]:
    """That no pain was noted, only where all pages agree; ``told`` where pain was spoken of already."""
    if person.hurts and not told:
        yield line(None, figures.PAIN_BEFORE)
    elif not person.hurts and figures.LEFT_OUT["pain"] not in person.left_out:
        yield line(None, pain_lines.NO_PAIN)


def left_out_after_pain(person: Person) -> list[Line]:
    """What is left out after pain or on its way back, as the page of the last weeks says."""
    return [pain_lines.after_pain(one, person.made_at.date()) for one in person.after_pain]


def pain(person: Person) -> list[Line]:
    """What hurt in the weeks of the pages, in sessions and outside."""
    return [
        *(told for session in person.sessions for told in pain_lines.pain(session)),
        *pain_lines.noted_pains(person.pain_notes, person.sessions),
    ]


def copies(person: Person) -> Said:
    """What became of the person's other pages."""
    older, again = Count(count=person.older), Count(count=person.duplicates)
    return (
        *([message("put_together", pages=older)] if person.older else []),
        *([message("came_again", pages=again)] if person.duplicates else []),
    )


def _done(sessions: Sequence[SessionReport]) -> Line:
    about = message("done")
    if not sessions:
        return line(about, figures.NO_SESSION)
    minutes = sum(session.active_ms for session in sessions) / MS_PER_MIN
    done, planned = (
        sum(map(sum, of_all))
        for of_all in ([one.rounds_done for one in sessions], [one.rounds_planned for one in sessions])
    )
    early, hurt = (
        Count(count=sum(one.ending is ending for one in sessions)) for ending in (Ending.early, Ending.pain)
    )
    return line(
        about,
        figures.sessions_done(len(sessions), minutes),
        figures.rounds_done([done], [planned]),
        *figures.effort(session.effort for session in sessions),
        *figures.form_slips(sessions),
        *([message("sessions_ended_early", sessions=early)] if early.count else []),
        *([message("sessions_stopped", sessions=hurt)] if hurt.count else []),
    )
