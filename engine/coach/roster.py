"""The roster: everyone whose pages came back, those who hurt first, each in a paragraph.

Pages that share a trainee id are one person's. Several pages of one person are put together, with the weeks
of all. Of a session that is on several pages the newest copy that tells pain counts, or else the newest. No
page hides the pain that another one tells.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from pydantic import AwareDatetime

from engine.base.message import Message, message
from engine.base.model import Model, canonical_json
from engine.base.phrases import number_of
from engine.base.units import MS_PER_MIN, LoadUnit
from engine.coach import pain_sentences as say_pain
from engine.coach import sentences as say
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
    left_out: tuple[str, ...]
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
        hurts=out or bool(notes) or any(map(say_pain.hurts, copies)),
        stopped=any(session.ending is Ending.pain for session in copies),
        made_at=newest.made_at,
        unit=newest.unit,
        weeks=tuple(sorted({week for page in different for week in page.weeks})),
        left_out=tuple(dict.fromkeys(part for page in reversed(different) for part in say.left_out(page))),
        questions=newest.questions,
        sessions=tuple(sorted(sessions.values(), key=lambda one: (one.started_at, one.record_id))),
        after_pain=of_last_week.after_pain if of_last_week else (),
        pain_notes=tuple(sorted(notes.values(), key=lambda one: (one.at, one.id))),
        duplicates=len(pages) - len(different),
        older=len(different) - 1,
    )


def _age(page: CoachPage) -> tuple[object, ...]:
    return page.made_at, page.weeks[-1], len(page.sessions), canonical_json(page)


def sentences(person: Person) -> Iterator[str | Message]:
    """One person's paragraph: what is left out after pain, what hurt, and the rest of the page.

    Names and notes in it come from outside: show it as text.
    """
    recent = person.sessions
    yield f"{person.name}, {say.span(person.weeks)}."
    if len(person.names) > 1:
        yield say.several_names(person.names)
    out, hurt = left_out_after_pain(person), pain(person)
    yield from out
    yield from person.left_out
    yield from hurt or _no_pain(person, told=bool(out))
    yield from _done(counted(recent))
    easy = easy_movements(recent)
    yield from say.easy_movement(len(easy), sum(one.active_ms for one in easy) / MS_PER_MIN)
    yield from say.loads_sentence(load_trends(recent, person.weeks), person.unit)
    for side in sides_trends(recent):
        if side.weaker:
            yield say.sides_sentence(side, person.unit)
    for most in (given_up_most(recent), swapped_most(recent)):
        yield from (one.in_sessions for one in most[:MOST_GIVEN_UP])
    yield from (sentence for session in recent for sentence in say.session_more(session))
    for session in recent:
        if session.note:
            yield f"{say.day(session.local_date)}, noted: {session.note}"
    yield from (message("asks", question=question) for question in person.questions)


def _no_pain(person: Person, *, told: bool) -> Iterator[str]:
    """That no pain was noted, only where all pages agree; ``told`` where pain was spoken of already."""
    if person.hurts and not told:
        yield say.PAIN_BEFORE
    elif not person.hurts and say.LEFT_OUT["pain"] not in person.left_out:
        yield say_pain.NO_PAIN


def left_out_after_pain(person: Person) -> list[str]:
    """What is left out after pain or on its way back, as the page of the last weeks says."""
    return [say_pain.after_pain(one, person.made_at.date()) for one in person.after_pain]


def pain(person: Person) -> list[str]:
    """What hurt in the weeks of the pages, in sessions and outside."""
    return [
        *(sentence for session in person.sessions for sentence in say_pain.pain(session)),
        *say_pain.noted_pains(person.pain_notes, person.sessions),
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
    early, hurt = (sum(one.ending is ending for one in sessions) for ending in (Ending.early, Ending.pain))
    parts = [
        number_of(len(sessions), "session"),
        f"{sum(sum(session.rounds_done) for session in sessions)} of {number_of(planned, 'round')}",
        number_of(round(minutes), "minute"),
        *say.effort(session.effort for session in sessions),
        f"{early} ended early" if early else "",
        f"{hurt} stopped for pain" if hurt else "",
    ]
    yield f"Done: {', '.join(filter(None, parts))}."
