"""What hurt before, in and after sessions, line by line; what is left out after pain."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import NamedTuple

from engine.base.message import (
    Argument,
    Count,
    Day,
    Message,
    Moves,
    Own,
    Said,
    Seconds,
    listed,
    message,
)
from engine.coach.line import Line, line
from engine.coach.session_report import SessionReport
from engine.live.events import Ending
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.movement import JointPoint
from engine.movements.pain import PainKind, PainNote
from engine.movements.room import SoreJoint
from engine.movements.terms import joint_term, named, pain_kind_term, sign_term
from engine.record.amendment import AmendedField
from engine.record.morning import rating_in
from engine.record.noted_pain import NotedPain

NO_PAIN = message("no_pain_noted")


class Morning(NamedTuple):
    """The latest answers of the next morning: joints, and sore muscles, from 0 to 10."""

    joints: Mapping[JointPoint, int]
    muscles: int | None


def pain(session: SessionReport) -> Iterator[Line]:
    """What hurt before, in and after a session: “Friday 6 March, Side lunge: left knee, pain 4 of 10.”"""
    names = {of_one.movement: of_one.name for of_one in session.movements}
    day, easy = Day(day=session.local_date), session.easy_movement
    for one in session.sore:
        before = message("day_before_easy_movement", day=day) if easy else message("day_before", day=day)
        yield line(before, _rated((one.joint, one.side), one.rating))
    if session.ending is Ending.pain:
        yield line(day, message("easy_movement_stopped") if easy else message("session_stopped"))
    for note in session.pains:
        movement = _movement(note, names)
        when = day if movement is None else message("day_in_movement", day=day, movement=movement)
        yield Line(when, what_hurt(note))
    morning = next_morning(session)
    if any(morning.joints.values()) or morning.muscles or (morning != NOTHING_SAID and session.pains):
        after = message("morning_after", day=day)
        yield from (line(after, _rated(point, rating)) for point, rating in morning.joints.items())
        if morning.muscles is not None:
            yield line(after, message("sore_muscles_rated", rating=Count(count=morning.muscles)))


def pain_in_session(
    sore: Iterable[SoreJoint], pains: Iterable[PainNote], names: Mapping[str, str]
) -> Iterator[Line]:
    """What hurt before a session and in it, for the person: “Side lunge: left knee, pain 4 of 10.”

    ``names`` are those of the movements, by slug.
    """
    for one in sore:
        yield line(message("before_you_started"), _rated((one.joint, one.side), one.rating))
    for note in pains:
        yield Line(_movement(note, names) or message("in_the_session"), what_hurt(note))


def _movement(note: PainNote, names: Mapping[str, str]) -> Argument | None:
    """The movement that hurt; None where the note names none."""
    if note.movement is None:
        return None
    known = names.get(note.movement)
    return Moves(movement=note.movement) if known is None else named(note.movement, known)


def after_pain(one: AfterPain, today: date) -> Line:
    """“Left out after pain: Side lunge, left knee, since Friday 6 March. It hurt in 2 sessions.”"""
    out, back = message("out_after_pain"), message("back_after_pain")
    since = message(
        "hurt_since",
        movement=named(one.movement, one.name),
        joint=joint_term((one.joint, one.side)),
        since=Day(day=one.since),
        times=Count(count=one.times),
    )
    asks = [message("see_a_clinician")] if one.asks_for_clinician(today) else []
    return line(out if one.stage is Stage.left_out else back, since, *asks)


def noted_pains(notes: Iterable[NotedPain], sessions: Iterable[SessionReport]) -> Iterator[Line]:
    """The pain noted outside a session, each thing once: what the day's session says of it already is left
    out.

    “Friday 6 March, no session: left knee, pain 6 of 10.” On a day with a session, “outside the session”.
    """
    by_day: dict[date, list[SessionReport]] = {}
    for session in sessions:
        by_day.setdefault(session.local_date, []).append(session)
    for note in notes:
        of_day, day = by_day.get(note.local_date, []), Day(day=note.local_date)
        if not any(_tells(session, note) for session in of_day):
            trained = any(not session.easy_movement for session in of_day)
            outside, alone = message("day_outside", day=day), message("day_without", day=day)
            yield Line(outside if trained else alone, what_hurt(note.note))


def _tells(session: SessionReport, note: NotedPain) -> bool:
    """Whether what hurt before a session, as it is told there, is all that an earlier note says."""
    told = {(one.joint, one.side, one.rating) for one in session.sore}
    more = note.kind is not PainKind.joint or note.qualities or note.words
    return not more and note.at <= session.started_at and (note.joint, note.side, note.rating) in told


NOTHING_SAID = Morning({}, None)


def next_morning(session: SessionReport) -> Morning:
    """The latest answers of the next morning. What is no such answer is ignored."""
    joints, muscles = dict[JointPoint, int](), None
    for one in sorted(session.amendments, key=lambda one: (one.at, one.id)):
        if one.field is AmendedField.next_morning_pain and (told := rating_in(one)) is not None:
            joints[told.joint, told.side] = told.rating
        elif one.field is AmendedField.soreness and type(one.value) is int and 0 <= one.value <= 10:
            muscles = one.value
    return Morning(joints, muscles)


def hurts(session: SessionReport) -> bool:
    """Whether anything hurt before, during or after the session; sore muscles are no pain."""
    stopped = session.ending is Ending.pain
    return stopped or bool(session.sore or session.pains) or any(next_morning(session).joints.values())


def what_hurt(note: PainNote) -> Said:
    """“left knee, pain 4 of 10. Signs: sharp. “A sting on the way down.””"""
    where = _where(note)
    rating = Count(count=note.rating) if note.rating is not None else None
    said = [message("hurts", where=where) if rating is None else message("rated", where=where, rating=rating)]
    if note.qualities:
        said.append(message("signs", signs=listed(map(sign_term, note.qualities))))
    if note.gone_after_s is not None:
        said.append(message("gone_after", gone=Seconds(seconds=note.gone_after_s)))
    if note.after_try:
        said.append(message("after_the_try"))
    return (*said, *([message("own_words", words=Own(own=note.words))] if note.words else []))


def _where(note: PainNote) -> Argument:
    if note.joint is None:
        return pain_kind_term(note.kind) if note.kind else message("something")
    joint = joint_term((note.joint, note.side))
    return message("muscle_near", joint=joint) if note.kind is PainKind.muscle else joint


def _rated(point: JointPoint, rating: int) -> Message:
    return message("rated", where=joint_term(point), rating=Count(count=rating))
