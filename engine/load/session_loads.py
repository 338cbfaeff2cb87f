"""Loads for a whole session: a proposal for each loaded movement, told when the session starts."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from engine.load.proposal import LoadedMovement, LoadProposal
from engine.load.propose import AS_RULED, propose
from engine.load.rack import Rack
from engine.load.rules import LoadRules
from engine.movements.movement import Kit, held_at_side
from engine.record.exposure import Exposure, keys_by_place, planned_work
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
    """The session with the tempos and the loads that were proposed for it, in every place its own."""
    known = {one.key: one for one in made}
    keys = keys_by_place(session)

    def proposed(block: str, item: FittedItem) -> FittedItem:
        one = known.get(keys[block, item.place]) if (block, item.place) in keys else None
        return item if one is None else item.model_copy(update={"tempo": one.tempo, "to_lift": one.to_lift})

    practised = for_practice(known.values())
    to_lift = {slug: one.to_lift for slug, one in practised.items()}
    return session.with_loads(to_lift).with_work(proposed)


def for_practice(made: Iterable[LoadProposal]) -> dict[str, LoadProposal]:
    """The proposal for the practice of each movement, by slug: the lightest of those for its places."""
    found: dict[str, LoadProposal] = {}
    for one in made:
        slug = one.key.movement
        found[slug] = min(found.get(slug, one), one, key=lambda of: of.practice_g or 0)
    return found


def loaded_movements(session: FittedSession) -> tuple[LoadedMovement, ...]:
    """The loaded movements of a session's work, in order."""
    return tuple(
        LoadedMovement.of_item(
            key,
            item,
            rounds,
            pattern=item.chosen.pattern,
            starting_g=item.starting_g,
            weight=held_at_side(item.chosen.sides, item.chosen.held),
        )
        for key, item, rounds in planned_work(session)
        if key.kit is not Kit.none
    )
