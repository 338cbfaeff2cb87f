"""Builders of what sessions say about a load. The default is a clear session of three rounds."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from engine.live.state import Outcome
from engine.load.proposal import LoadedMovement, LoadProposal
from engine.movements.movement import Kit, MovementPattern, Side
from engine.record.exposure import Exposure, LoadKey
from engine.record.record import SetDone

TODAY = date(2026, 3, 30)
MINUTE = LoadKey(movement="deep-lift", variant="two", kit=Kit.single, interval_ms=60_000, tempo="3-0-1-0")
"""60 s at 4 s a repetition: a ceiling of 15."""


def set_done(**fields: Any) -> SetDone:
    defaults: dict[str, Any] = {
        "block": "circuit",
        "round": 1,
        "place": 1,
        "movement": MINUTE.movement,
        "variant": MINUTE.variant,
        "pattern": MovementPattern.squat,
        "side": Side.both,
        "dumbbells": 1,
        "tempo": MINUTE.tempo,
        "planned_ms": MINUTE.interval_ms,
        "worked_ms": MINUTE.interval_ms,
        "outcome": Outcome.done,
        "load_g": 10_000,
        "repetitions": 15,
        "effort": 7,
    }
    return SetDone(**(defaults | fields))


def account(
    days_ago: int,
    load_g: int | Sequence[int] | None = 10_000,
    *,
    key: LoadKey = MINUTE,
    rounds: int = 3,
    sides: Sequence[Side] = (Side.both,),
    of_side: dict[Side, dict[str, Any]] | None = None,
    **fields: Any,
) -> Exposure:
    """A session ``days_ago`` days before ``TODAY``, with one load or one for each round.

    ``of_side`` sets fields of one side. Of ``fields``, names of ``SetDone`` set those of every set; others,
    and ``range_kept``, set those of the account.
    """
    loads = (load_g,) * rounds if load_g is None or isinstance(load_g, int) else tuple(load_g)
    of_set = {name: fields.pop(name) for name in SetDone.model_fields.keys() & fields.keys() - {"range_kept"}}
    day = TODAY - timedelta(days=days_ago)
    of_key, of_side = set_fields(key), of_side or {}
    sets = tuple(
        set_done(
            **(of_key | {"round": number, "side": side, "load_g": in_round} | of_set | of_side.get(side, {}))
        )
        for number, in_round in enumerate(loads, 1)
        for side in sides
    )
    defaults: dict[str, Any] = {
        "key": key,
        "record_id": f"record-{days_ago}",
        "started_at": datetime.combine(day, time(18), UTC),
        "local_date": day,
        "sets": sets,
        "rounds_planned": len(loads),
    }
    return Exposure(**(defaults | fields))


def set_fields(key: LoadKey) -> dict[str, Any]:
    """The fields of a set that its key decides: done in full, up to the ceiling of repetitions."""
    return {
        "movement": key.movement,
        "variant": key.variant,
        "dumbbells": key.kit.dumbbells,
        "tempo": key.tempo,
        "planned_ms": key.interval_ms,
        "worked_ms": key.interval_ms,
        "repetitions": key.ceiling,
    }


def loaded(key: LoadKey = MINUTE, **fields: Any) -> LoadedMovement:
    defaults: dict[str, Any] = {
        "key": key,
        "name": "Deep lift",
        "pattern": MovementPattern.squat,
        "rounds": 3,
    }
    return LoadedMovement(**(defaults | fields))


def load_in_round(proposal: LoadProposal, number: int) -> int | None:
    """The proposed load of a round, counted from 1."""
    return proposal.heavier_g if number <= proposal.heavier_rounds else proposal.load_g
