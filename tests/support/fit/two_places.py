"""A round A-B-A-C: the lift comes in the first and the third place."""

from __future__ import annotations

from typing import Any

from builders import BOTH, FLOOR, HAND, plan, session, work

from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange, SessionPlan, WorkMovement
from engine.session.fitted import FittedSession

TWICE = (1, 3)
"""The places of the lift."""


def two_places(first: dict[str, Any] | None = None, second: dict[str, Any] | None = None) -> SessionPlan:
    """Two rounds of lift, press, lift and floor work; ``first`` and ``second`` are what the coach wrote about
    the lift in each of its places."""
    items = (
        WorkMovement(movement=BOTH.slug, **(first or {})),
        WorkMovement(movement=HAND.slug),
        WorkMovement(movement=BOTH.slug, **(second or {})),
        WorkMovement(movement=FLOOR.slug),
    )
    return plan(work(movements=items, rounds=RoundsRange(min=2, max=2)))


def in_two_places(of: SessionPlan | None = None, **asked: Any) -> FittedSession:
    return session(of or two_places(), **({"minutes": 20, "kit": Kit.single} | asked))
