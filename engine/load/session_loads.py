"""Loads for a whole session: a proposal for each loaded movement, told when the session starts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.load.proposal import LoadedMovement, LoadProposal
from engine.load.propose import AS_RULED, propose
from engine.load.rack import Rack
from engine.load.rules import LoadRules
from engine.movements.movement import Kit
from engine.record.exposure import Exposure, LoadKey, planned_rounds
from engine.session.fitted import FittedItem, FittedSession


def proposals(
    session: FittedSession,
    history: Iterable[Exposure],
    rack: Rack,
    *,
    today: date,
    rules: LoadRules = AS_RULED,
) -> tuple[LoadProposal, ...]:
    """One proposal for each loaded movement of the session's work, in order, first times included."""
    known = tuple(history)
    return tuple(
        propose(planned, known, rack.loads_g(planned.key.kit.dumbbells), today=today, rules=rules)
        for planned in loaded_movements(session)
    )


def as_proposed(session: FittedSession, made: Iterable[LoadProposal]) -> FittedSession:
    """The session with the tempos and the loads that were proposed for it."""
    known = {one.key.movement: one for one in made}
    return session.with_tempos({slug: one.tempo for slug, one in known.items()}).with_loads(
        {slug: one.to_lift for slug, one in known.items()}
    )


def loaded_movements(session: FittedSession) -> tuple[LoadedMovement, ...]:
    """The loaded movements of a session's work, in order."""
    items = {
        (item.chosen.movement, item.chosen.form): item
        for block in session.blocks
        if block.kind == "work"
        for item in block.items
    }
    return tuple(
        _loaded_movement(key, items[key.movement, key.form], rounds)
        for key, rounds in planned_rounds(session).items()
        if key.kit is not Kit.none
    )


def _loaded_movement(key: LoadKey, item: FittedItem, rounds: int) -> LoadedMovement:
    chosen = item.chosen
    return LoadedMovement(
        key=key,
        name=chosen.name,
        pattern=chosen.pattern,
        starts_with=chosen.starts_with,
        hardest=chosen.hardest,
        rounds=rounds,
        goal=item.goal,
        reserve=item.reserve,
        starting_g=item.starting_g,
        harder=chosen.harder,
    )
