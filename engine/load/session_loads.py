"""Loads for a whole session: a proposal for each loaded movement, and the log that starts from them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.load.proposal import LoadedMovement, LoadProposal
from engine.load.propose import AS_RULED, propose
from engine.load.rack import Rack
from engine.load.rules import LoadRules
from engine.movements.movement import Kit
from engine.record.exposure import Exposure, LoadKey, planned_rounds
from engine.record.record import LogAnswers, SetAnswer, set_key
from engine.session.choices import Chosen
from engine.session.fitted import FittedSession
from engine.session.segment import Kind


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


def answers_from(made: Iterable[LoadProposal], session: FittedSession) -> LogAnswers:
    """The log as proposed: one load for each movement, and the heavier one in the rounds meant to have it."""
    by_movement = {one.key.movement: one for one in made}
    heavier = {}
    for segment in session.segments:
        one = by_movement.get(segment.movement or "")
        if one is None or segment.kind is not Kind.work or segment.round is None or segment.side is None:
            continue
        if segment.round <= one.heavier_rounds:
            key = set_key(segment.block, segment.round, one.key.movement, segment.side)
            heavier[key] = SetAnswer(load_g=one.heavier_g)
    loads_g = {slug: one.load_g for slug, one in by_movement.items() if one.load_g is not None}
    return LogAnswers(loads_g=loads_g, exceptions=heavier)


def loaded_movements(session: FittedSession) -> tuple[LoadedMovement, ...]:
    """The loaded movements of a session's work, in order."""
    chosen = {
        (item.chosen.movement, item.chosen.form): item.chosen
        for block in session.blocks
        if block.kind == "work"
        for item in block.items
    }
    return tuple(
        _loaded_movement(key, chosen[key.movement, key.form], rounds)
        for key, rounds in planned_rounds(session).items()
        if key.kit is not Kit.none
    )


def _loaded_movement(key: LoadKey, chosen: Chosen, rounds: int) -> LoadedMovement:
    """The fit buys every round that fits, so no more rounds are possible than there are."""
    return LoadedMovement(
        key=key,
        name=chosen.name,
        pattern=chosen.pattern,
        starts_with=chosen.starts_with,
        rounds=rounds,
        most_rounds=rounds,
    )
