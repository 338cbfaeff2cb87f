"""What hurt before, in and after sessions, as sentences; what is left out after pain.

Names and notes come from outside: pass these sentences through ``printable_lines`` before showing them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date

from engine.base.phrases import number_of, upper_first
from engine.coach.sentences import day
from engine.coach.session_report import SessionReport
from engine.live.events import Ending
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.pain import PainKind, PainNote
from engine.movements.room import SoreJoint
from engine.movements.words import joint_word, pain_number
from engine.record.amendment import AmendedField
from engine.record.morning import rating_in
from engine.record.noted_pain import NotedPain

SEE_CLINICIAN = "A health professional should look at it."
SORE_MUSCLES = "sore muscles"
NO_PAIN = "No pain was noted."


def pain(session: SessionReport) -> Iterator[str]:
    """What hurt before, in and after a session: “Friday 6 March, Side lunge: left knee, pain 4 of 10.”"""
    names = {of_one.movement: of_one.name for of_one in session.movements}
    for one in session.sore:
        where = joint_word(one.joint, one.side)
        what = "the easy movement" if session.easy_movement else "the session"
        yield f"{day(session.local_date)}, before {what}: {where}, {pain_number(one.rating)}."
    if session.ending is Ending.pain:
        what = "the easy movement" if session.easy_movement else "the session"
        yield f"{day(session.local_date)}: {what} was stopped for pain."
    for note in session.pains:
        during = _during(note, names)
        when = f"{day(session.local_date)}{', ' if during else ''}{during}"
        yield f"{when}: {what_hurt(note)}."
    morning = next_morning(session)
    if any(morning.values()) or (morning and session.pains):
        said = "; ".join(_morning(what, rating) for what, rating in morning.items())
        yield f"{day(session.local_date)}, the next morning: {said}."


def _morning(what: str, rating: int) -> str:
    return f"{what} {rating} of 10" if what == SORE_MUSCLES else f"{what}, {pain_number(rating)}"


def pain_in_session(
    sore: Iterable[SoreJoint], pains: Iterable[PainNote], names: Mapping[str, str]
) -> Iterator[str]:
    """What hurt before a session and in it, for the person: “Side lunge: left knee, pain 4 of 10, sharp.”

    ``names`` are those of the movements, by slug.
    """
    for one in sore:
        yield f"Before you started: {joint_word(one.joint, one.side)}, {pain_number(one.rating)}."
    for note in pains:
        during = _during(note, names)
        yield f"{upper_first(f'{during}: {what_hurt(note)}' if during else what_hurt(note))}."


def _during(note: PainNote, names: Mapping[str, str]) -> str:
    """The movement that hurt, by name; empty where the note names none."""
    return names.get(note.movement or "", (note.movement or "").replace("-", " "))


def after_pain(one: AfterPain, today: date) -> str:
    """“Left out after pain: Side lunge, left knee, since Friday 6 March (2 sessions that hurt).”"""
    what = "Left out after pain" if one.stage is Stage.left_out else "Coming back after pain"
    where = f"{joint_word(one.joint, one.side)}, since {day(one.since)}"
    said = f"{what}: {one.name}, {where} ({number_of(one.times, 'session')} that hurt)."
    return f"{said} {SEE_CLINICIAN}" if one.asks_for_clinician(today) else said


def noted_pains(notes: Iterable[NotedPain], sessions: Iterable[SessionReport]) -> Iterator[str]:
    """The pain noted outside a session, each thing once: what the day's session says of it already is left
    out.

    “Friday 6 March, no session: left knee, pain 6 of 10.” On a day with a session, “outside the session”.
    """
    by_day: dict[date, list[SessionReport]] = {}
    for session in sessions:
        by_day.setdefault(session.local_date, []).append(session)
    for note in notes:
        of_day = by_day.get(note.local_date, [])
        if not any(_tells(session, note) for session in of_day):
            trained = any(not session.easy_movement for session in of_day)
            when = "outside the session" if trained else "no session"
            yield f"{day(note.local_date)}, {when}: {what_hurt(note.note)}."


def _tells(session: SessionReport, note: NotedPain) -> bool:
    """Whether what hurt before a session, as it is told there, is all that an earlier note says."""
    told = {(one.joint, one.side, one.rating) for one in session.sore}
    more = note.kind is not PainKind.joint or note.qualities or note.words
    return not more and note.at <= session.started_at and (note.joint, note.side, note.rating) in told


def next_morning(session: SessionReport) -> dict[str, int]:
    """The latest answers of the next morning, by joint and for sore muscles, where they were given.

    What is no such answer is ignored.
    """
    said: dict[str, int] = {}
    for one in sorted(session.amendments, key=lambda one: (one.at, one.id)):
        if one.field is AmendedField.next_morning_pain and (told := rating_in(one)) is not None:
            said[joint_word(told.joint, told.side)] = told.rating
        elif one.field is AmendedField.soreness and type(one.value) is int and 0 <= one.value <= 10:
            said[SORE_MUSCLES] = one.value
    return said


def hurts(session: SessionReport) -> bool:
    """Whether anything hurt before, during or after the session; sore muscles are no pain."""
    stopped = session.ending is Ending.pain
    morning = any(rating for what, rating in next_morning(session).items() if what != SORE_MUSCLES)
    return stopped or bool(session.sore or session.pains) or morning


def what_hurt(note: PainNote) -> str:
    """“left knee, pain 4 of 10, sharp: a sting on the way down”."""
    kind = note.kind.replace("_", " ") if note.kind else "something hurt"
    where = joint_word(note.joint, note.side) if note.joint else kind
    if note.joint and note.kind is PainKind.muscle:
        where = f"muscle near the {where}"
    number = [] if note.rating is None else [pain_number(note.rating)]
    tried = ["after the try without weight"] if note.after_try else []
    gone = [] if note.gone_after_s is None else [f"gone after {note.gone_after_s} s"]
    said = ", ".join(
        [where, *number, *(quality.replace("_", " ") for quality in note.qualities), *gone, *tried]
    )
    return f"{said}: {note.words.rstrip('.')}" if note.words else said
