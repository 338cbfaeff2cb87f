"""Sample plans and the weeks of the demo, with invented people in an invented rowing club."""

from __future__ import annotations

from importlib import resources

from engine.base.reading import read
from engine.plan.plan import SessionPlan


def sample_plans() -> tuple[SessionPlan, ...]:
    """Every sample plan, by file name."""
    folder = resources.files("companion.samples").joinpath("plans")
    files = sorted(
        (file for file in folder.iterdir() if file.name.endswith(".json")), key=lambda file: file.name
    )
    return tuple(read(SessionPlan, file.read_bytes()) for file in files)
