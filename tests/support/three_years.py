"""Invented people who train for years: the demo's sessions repeated, varied from fixed seeds."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from typing import NamedTuple
from uuid import UUID

from companion.samples import sample_plans
from companion.samples.demo import WEEKS, demo_records, story_until
from engine.coach.session_report import SessionReport, report_of
from engine.coach.withheld import PageChoice
from engine.record.profile import Profile
from engine.record.record import Record, SetDone

FIRST_MONDAY = date(2023, 1, 2)
LAST_OF_STORY = date(2026, 3, 1)
"""A Sunday."""
VARIANTS = 10
MISSED = 0.1
"""The share of sessions that are missed."""


class Session(NamedTuple):
    record: Record
    report: SessionReport


def person(number: int) -> Profile:
    return Profile(trainee_id=str(UUID(int=number)), name=f"Person {number}", zone="Europe/Lisbon")


def sessions(number: int, *, weeks: int) -> Iterator[Session]:
    """One person's sessions of a number of weeks, in order of time."""
    chance = random.Random(number)
    whose = person(number).trainee_id
    for week in range(weeks):
        for variants in _by_week()[week % WEEKS]:
            if chance.random() < MISSED:
                continue
            model = variants[chance.randrange(VARIANTS)]
            later = timedelta(weeks=week - week % WEEKS)
            when = {
                "started_at": model.record.started_at + later,
                "local_date": model.record.local_date + later,
            }
            record_id = str(UUID(int=chance.getrandbits(128)))
            yield Session(
                model.record.model_copy(update={**when, "id": record_id, "trainee_id": whose}),
                model.report.model_copy(update={**when, "record_id": record_id}),
            )


@cache
def _by_week() -> tuple[tuple[tuple[Session, ...], ...], ...]:
    """The demo's sessions by week, moved to begin on the first Monday, each in some variants."""
    profile, plans = person(0), sample_plans()
    by_week: list[list[tuple[Session, ...]]] = [[] for _ in range(WEEKS)]
    moved = FIRST_MONDAY - (LAST_OF_STORY - timedelta(days=6) - timedelta(weeks=WEEKS - 1))
    story = [(told, day + moved) for told, day in story_until(LAST_OF_STORY)]
    for (told, _), base in zip(story, demo_records(story, plans, profile), strict=True):
        by_week[told.week - 1].append(tuple(_variant(base, number) for number in range(VARIANTS)))
    return tuple(map(tuple, by_week))


def _variant(base: Record, number: int) -> Session:
    """The same session with heavier loads or none, with fewer or no repetitions counted, or without an
    effort."""
    sets = tuple(_set(done, number) for done in base.sets)
    record = base.model_copy(update={"sets": sets, "effort": None if number == 3 else base.effort})
    return Session(record, report_of(record, (), PageChoice()))


def _set(done: SetDone, number: int) -> SetDone:
    heavier = None if done.load_g is None or number == 5 else done.load_g + 500 * number
    if heavier is not None and number == 7 and done.round == 1:
        heavier = 0
    counted = None if number % 4 == 2 or done.repetitions is None else max(0, done.repetitions - number % 3)
    return done.model_copy(update={"load_g": heavier, "repetitions": counted})
