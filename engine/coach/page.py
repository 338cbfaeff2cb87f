"""The page for the coach: some weeks of one person, as data that the coach's desk reads back.

The page itself is made to be read by people and carries this inside.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from datetime import datetime, timedelta
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, model_validator

from engine.base.issue import Issue, Unreadable, WrongValue
from engine.base.message import Day, message
from engine.base.model import Identifier, Model, Name
from engine.base.periods import IsoWeek, iso_week
from engine.base.units import LoadUnit
from engine.coach.question import MOST_QUESTIONS, Asked
from engine.coach.session_report import SessionReport, counted, report_of
from engine.coach.withheld import PageChoice, shown_at_all, shown_pain, shown_record
from engine.movements.after_pain import AfterPain
from engine.record.amendment import Amendment, amended
from engine.record.noted_pain import NotedPain
from engine.record.profile import OtherIds, Profile
from engine.record.record import Record
from engine.record.week import WeekReview, review_week

MOST_LEFT_OUT, MOST_NOTED = 500, 5_000
MOST_WEEKS = 520
"""Ten years."""
Questions = Annotated[tuple[Asked, ...], Field(max_length=MOST_QUESTIONS)]


CLOCK_AHEAD = timedelta(days=1)
"""How far another device's clock may be ahead before what it made counts as made in the future. † Our
judgement, no source."""


class Trainee(Model):
    """Whose page it is. ``name`` is what the person wants to be called on it; ``also`` are further ids, from
    other devices of the person."""

    id: Identifier
    also: OtherIds = ()
    name: Name

    @property
    def ids(self) -> frozenset[str]:
        """Every id of the person."""
        return frozenset((self.id, *self.also))


class PageAsked(Model):
    """What a page is to show. Where ``name`` is None, the page takes the name of the profile."""

    weeks: tuple[IsoWeek, ...]
    choice: PageChoice = PageChoice()
    questions: Questions = ()
    name: Name | None = None
    complete_weeks: tuple[IsoWeek, ...] = ()
    """The weeks in which all activity is logged, other sport and work too."""


class CoachPage(Model):
    """Some weeks of one person, without what ``choice`` keeps back.

    ``weeks`` are all that the page covers, with or without sessions, the earliest first; ``reviews`` are the
    figures of each. ``sessions`` are those of these weeks in order of time, as corrected, with easy movement
    among them.
    """

    format: Literal["coach-page"] = "coach-page"
    version: Literal[1] = 1
    made_at: AwareDatetime
    trainee: Trainee
    zone: Annotated[str, Field(max_length=100)]
    unit: LoadUnit = LoadUnit.kg
    choice: PageChoice = PageChoice()
    weeks: Annotated[tuple[IsoWeek, ...], Field(min_length=1, max_length=MOST_WEEKS)]
    plans: tuple[Name, ...] = ()
    reviews: tuple[WeekReview, ...]
    sessions: Annotated[tuple[SessionReport, ...], Field(max_length=20_000)] = ()
    questions: Questions = ()
    after_pain: Annotated[tuple[AfterPain, ...], Field(max_length=MOST_LEFT_OUT)] = ()
    """The movements left out after pain, or on their way back, at the end of the weeks."""
    pain_notes: Annotated[tuple[NotedPain, ...], Field(max_length=MOST_NOTED)] = ()
    """The pain of these weeks that was noted without a session, in order of time."""

    @model_validator(mode="after")
    def _agrees_with_itself(self) -> CoachPage:
        if list(self.weeks) != sorted(set(self.weeks)):
            raise WrongValue(message("page_contradicts_itself"))
        if tuple(review.iso_week for review in self.reviews) != self.weeks:
            raise WrongValue(message("page_contradicts_itself"))
        if len({one.record_id for one in self.sessions}) < len(self.sessions):
            raise WrongValue(message("page_contradicts_itself"))
        in_week = Counter(iso_week(one.local_date) for one in counted(self.sessions))
        if in_week != Counter({r.iso_week: r.sessions for r in self.reviews if r.sessions}):
            raise WrongValue(message("page_contradicts_itself"))
        return self


def page_from(
    records: Iterable[Record],
    amendments: Iterable[Amendment],
    *,
    profile: Profile,
    asked: PageAsked,
    made_at: datetime,
    after_pain: Iterable[AfterPain] = (),
    pain_notes: Iterable[NotedPain] = (),
) -> CoachPage:
    """The page of the weeks that are asked for, from records as saved; records of other weeks are ignored.

    ``made_at`` carries its offset.
    """
    late, weeks = tuple(amendments), tuple(sorted(set(asked.weeks)))
    in_weeks = _in_weeks(records, weeks, asked.choice)
    return CoachPage(
        made_at=made_at,
        trainee=Trainee(id=profile.trainee_id, also=profile.also, name=asked.name or profile.name),
        zone=profile.zone,
        unit=profile.unit,
        choice=asked.choice,
        weeks=weeks,
        plans=tuple(
            dict.fromkeys(one.session.plan_name for one in in_weeks if not one.session.easy_movement)
        ),
        reviews=_reviews([shown_record(amended(one, late), asked.choice) for one in in_weeks], weeks, asked),
        sessions=tuple(report_of(record, late, asked.choice) for record in in_weeks),
        questions=asked.questions,
        after_pain=shown_pain(after_pain, asked.choice),
        pain_notes=shown_pain(
            sorted(
                (note for note in pain_notes if iso_week(note.local_date) in weeks),
                key=lambda note: (note.at, note.id),
            ),
            asked.choice,
        ),
    )


def refuse_future(page: CoachPage, now: datetime) -> None:
    """Raises Unreadable for a page from a clock that is wrong: it would count as the newest for ever."""
    if page.made_at - now > CLOCK_AHEAD:
        made = Day(day=page.made_at.date())
        raise Unreadable(Issue(("made_at",), message("made_in_the_future", made=made)))


def _in_weeks(records: Iterable[Record], weeks: Collection[str], choice: PageChoice) -> list[Record]:
    """The records that are on a page, in order of time."""
    return sorted(
        (one for one in records if iso_week(one.local_date) in weeks and shown_at_all(one, choice)),
        key=lambda record: (record.started_at, record.id),
    )


def _reviews(shown: Sequence[Record], weeks: Sequence[str], asked: PageAsked) -> tuple[WeekReview, ...]:
    by_week: dict[str, list[Record]] = {week: [] for week in weeks}
    for record in shown:
        by_week[iso_week(record.local_date)].append(record)
    complete = frozenset(asked.complete_weeks)
    return tuple(review_week(by_week[week], week, all_activity_logged=week in complete) for week in weeks)
