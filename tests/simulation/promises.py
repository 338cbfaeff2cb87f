"""What must hold in and after a session: stopping stops, no pain is lost, sides are equal, the finish is kept
or its change is said."""

from __future__ import annotations

from collections import defaultdict
from datetime import timedelta
from typing import Any

from simulation.facts import Facts, RunFact
from simulation.hand import Violation

from engine.live.refit import LATE_FROM_MS
from engine.live.state import RunState, Status
from engine.movements.movement import Side
from engine.session.segment import Kind

LOOKED_MS = 100
"""A window looks at its clock a little after each switch."""


UNDISTURBED = frozenset(("started", "mark", "ticked", "load_found", "ended"))


def is_stopped(one: Any) -> None:
    """After pause, hurt and end nothing runs and no cue is to come."""
    live = one.live
    if live is not None and live.state.status is Status.running:
        raise Violation("a session that was stopped runs")
    if one.cues.pending:
        raise Violation(f"a session that was stopped has cues to come: {one.cues.pending[0]}")


def sides_are_equal(run: RunState) -> None:
    """Left and right of a movement have the same time in each round."""
    planned: dict[tuple[object, ...], dict[Side, int]] = defaultdict(lambda: defaultdict(int))
    for one in run.segments:
        if one.kind in (Kind.work, Kind.practice) and one.side in (Side.left, Side.right):
            planned[one.block, one.round, one.place, one.movement][one.side] += one.planned_ms
    for place, sides in planned.items():
        if set(sides) == {Side.left, Side.right} and sides[Side.left] != sides[Side.right]:
            raise Violation(f"the sides of {place} differ: {dict(sides)}")


def finished_as_promised(one: Any) -> None:
    """A session that was run to its end ends when it was promised to, or a later finish was said."""
    live = one.live
    run, now = live.state, one.device.clock.now()
    sides_are_equal(run)
    holds = any(
        item.chosen.most_hold_s or item.chosen.is_hold for b in run.session.blocks for item in b.items
    )
    late_ms = (now - live.finish_at) / timedelta(milliseconds=1)
    if late_ms > LATE_FROM_MS + 10_000 and not run.finish_released and not holds:
        raise Violation(f"late by {late_ms:.0f} ms without a word")
    fact = one.device.facts.run
    if (
        fact is not None
        and not live.unsaved
        and {event.kind for event in fact.events} <= UNDISTURBED
        and not holds
    ):
        promised_ms = sum(segment.planned_ms for segment in run.session.segments)
        worked_ms = sum(done.worked_ms for done in run.done)
        if abs(worked_ms - promised_ms) > LOOKED_MS * len(run.done):
            raise Violation(f"{promised_ms} ms were promised, {worked_ms} ms were run")


def record_tells_all(facts: Facts, live: Any, run: RunFact | None) -> None:
    """The record of a session has every pain that was acknowledged while it ran."""
    record = facts.kept["records"].get(live.run_id)
    if record is None:
        if live.run_id in facts.kept["tombstones"]:
            return
        raise Violation("a session that was saved has no record")
    hurt = [event.pain for event in (run.events if run else ()) if event.kind == "hurt"]
    for pain in hurt:
        if pain not in record.pains:
            raise Violation(f"acknowledged pain is not in the record: {pain}")
    if len(record.pains) < len(live.state.pains):
        raise Violation("the record has less pain than the session")


def is_of_the_place(facts: Facts, record_id: str, zone: str) -> None:
    """A record says the zone where its session was saved, and the date of its start by that offset."""
    record = facts.kept["records"].get(record_id)
    if record is None:
        return
    if record.zone != zone:
        raise Violation(f"a session in {zone} was recorded in {record.zone}")
    if record.local_date != record.started_at.date():
        raise Violation(f"a session that started at {record.started_at} is of {record.local_date}")
