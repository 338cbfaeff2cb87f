"""The formats of the project's documents by name, and their JSON Schemas."""

from __future__ import annotations

from pydantic import BaseModel

from engine.base.model import JsonObject
from engine.coach.page import CoachPage
from engine.live.events import RunningRecord
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.amendment import Amendment
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile
from engine.record.record import Record
from engine.session.fitted import FittedSession

DIALECT = "https://json-schema.org/draft/2020-12/schema"

FORMATS: dict[str, type[BaseModel]] = {
    "plan": SessionPlan,
    "fitted-session": FittedSession,
    "running-record": RunningRecord,
    "record": Record,
    "amendment": Amendment,
    "profile": Profile,
    "coach-page": CoachPage,
    "adjustment": Adjustment,
    "pain-note": NotedPain,
}


def schema(name: str) -> JsonObject:
    """The JSON Schema of a format. Raises KeyError for a name that is not in ``FORMATS``."""
    return {"$schema": DIALECT, **FORMATS[name].model_json_schema()}


def schemas() -> dict[str, JsonObject]:
    """Every JSON Schema by name."""
    return {name: schema(name) for name in FORMATS}
