"""The profile of the person who trains here."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field

from engine.base.model import Identifier, Model, Name
from engine.base.units import LoadUnit


class ProfileFlag(StrEnum):
    """A statement of the person about themselves that makes sessions more careful."""

    novice = "novice"
    older = "older"
    pregnant = "pregnant"
    after_birth = "after_birth"
    high_blood_pressure = "high_blood_pressure"
    fragile_bones = "fragile_bones"


LAST_WEEK = 42
"""A pregnancy ends by this week: from then on it is asked again."""


class WeekSaid(Model):
    """A week of pregnancy, and the day on which it was said: it grows from there."""

    week: Annotated[int, Field(ge=1, le=LAST_WEEK)]
    said_on: date

    def on(self, day: date) -> int:
        """The week on a day; never earlier than the one that was said."""
        return self.week + max(0, (day - self.said_on).days) // 7


class Birth(Model):
    """The day of a birth, and whether it was by caesarean."""

    on: date
    caesarean: bool = False


def read_week(written: str) -> int | None:
    """A week of pregnancy as somebody wrote it; None for what is not one."""
    text = written.strip()
    is_number = text.isascii() and text.isdigit() and len(text) < 3
    return int(text) if is_number and 1 <= int(text) <= LAST_WEEK else None


def read_birthday(written: str, today: date) -> date | None:
    """The day of a birth as somebody wrote it, year-month-day; None for what is not a day up to today."""
    try:
        day = date.fromisoformat(written.strip())
    except ValueError:
        return None
    return day if day <= today else None


UNNAMED = "Trainee"
MOST_IDS = 200
"""† Our judgement, no source: far more devices than anybody has, and still a small profile."""
OtherIds = Annotated[tuple[Identifier, ...], Field(max_length=MOST_IDS)]


class Profile(Model):
    """``pregnancy`` and ``birth`` are told by those who tick them. ``cautions_read_at`` is the moment
    the person confirmed having read the cautions.

    A person who trained on several devices before they became one has an id from each: ``trainee_id`` is the
    smallest, ``also`` are the others. Records keep the id under which they were made.
    """

    format: Literal["profile"] = "profile"
    version: Literal[1] = 1
    trainee_id: Identifier
    also: OtherIds = ()
    name: Name
    zone: str = "UTC"
    """IANA name of the time zone."""
    unit: LoadUnit = LoadUnit.kg
    flags: tuple[ProfileFlag, ...] = ()
    pregnancy: WeekSaid | None = None
    birth: Birth | None = None
    cautions_read_at: AwareDatetime | None = None

    @property
    def tells_nothing(self) -> bool:
        """Whether nobody has said a name or anything of their body."""
        return self.name == UNNAMED and not (self.flags or self.pregnancy or self.birth)

    @property
    def ids(self) -> frozenset[str]:
        """Every id of the person."""
        return frozenset((self.trainee_id, *self.also))


def under_all_ids(profile: Profile, ids: Iterable[str]) -> Profile:
    """The profile of somebody who turns out to have these ids too; of too many, the smallest are kept."""
    smallest, *others = sorted({*profile.ids, *ids})
    return profile.model_copy(update={"trainee_id": smallest, "also": tuple(others[:MOST_IDS])})
