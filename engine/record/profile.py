"""The profile of the person who trains here."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import AwareDatetime

from engine.base.model import Model, Name
from engine.base.units import LoadUnit


class ProfileFlag(StrEnum):
    """A statement of the person about themselves that makes sessions more careful."""

    novice = "novice"
    older = "older"
    pregnant = "pregnant"
    high_blood_pressure = "high_blood_pressure"


class Profile(Model):
    """``cautions_read_at`` is the moment the person confirmed having read the cautions."""

    format: Literal["profile"] = "profile"
    version: Literal[1] = 1
    trainee_id: str
    name: Name
    zone: str = "UTC"
    """IANA name of the time zone."""
    unit: LoadUnit = LoadUnit.kg
    flags: tuple[ProfileFlag, ...] = ()
    cautions_read_at: AwareDatetime | None = None
