"""One load for the movements of a round between which the rests leave no time to change weights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from engine.base.message import Message, listed, message
from engine.base.units import MS_PER_S
from engine.load.proposal import NEW, PRACTICE_PERCENT, LoadProposal, LoadStep
from engine.load.rack import Rack, at_most
from engine.movements.movement import Kit
from engine.movements.terms import load_term
from engine.record.exposure import LoadKey, keys_by_place
from engine.session.fitted import FittedSession
from engine.session.segment import Kind

ANOTHER_WEIGHT_S = 20
"""To take another dumbbell, or to turn a dial. † Our judgement, no source."""
COLLARS_S = {1: 60, 2: 100}
"""To change the plates of one dumbbell, and of a pair. † Our judgement, no source."""

TOO_SHORT = message("rests_too_short_to_change_weights")

ByKey = Mapping[LoadKey, LoadProposal]


@dataclass(frozen=True)
class _Change:
    """From one loaded interval to the next: key and round of both, and the longest rest between them."""

    before: tuple[LoadKey, int]
    after: tuple[LoadKey, int]
    rest_ms: int

    @property
    def keys(self) -> tuple[LoadKey, LoadKey]:
        return self.before[0], self.after[0]


def change_s(rack: Rack, dumbbells: int, from_g: int, to_g: int) -> int:
    """How long it takes to change the weight of so many dumbbells; no time where it stays, or where one of
    the two is no weight.

    Plates are changed only where both weights are made of them.
    """
    if from_g == to_g or not (from_g and to_g):
        return 0
    fixed = Rack(fixed=rack.fixed).loads_g(dumbbells)
    if from_g in fixed or to_g in fixed:
        return ANOTHER_WEIGHT_S
    ready = [bell for bell in rack.adjustable if from_g in bell.loads_g(dumbbells)]
    other = [bell for bell in rack.adjustable if to_g in bell.loads_g(dumbbells)]
    if any(one is not two for one in ready for two in other):
        return ANOTHER_WEIGHT_S
    return COLLARS_S[dumbbells]


def with_one_load(
    session: FittedSession, made: Iterable[LoadProposal], rack: Rack
) -> tuple[LoadProposal, ...]:
    """The proposals with one load, the lightest, for movements between which it cannot be changed in time.

    A heavier weight in the first rounds goes first, where the rests leave no time for it.
    """
    own = {one.key: one for one in made}
    by_key: ByKey = own
    changes = tuple(_changes(session, by_key))
    slow = _slow(changes, by_key, rack)
    while slow:
        places = [place for one in slow for place in (one.before, one.after)]
        heavier = [key for key, number in places if _heavier_in(by_key[key], number)]
        if heavier:
            by_key = {**by_key, **{one: _without_heavier(by_key[one]) for one in heavier}}
        else:
            lowered_g = _joined(slow, by_key)
            lowered = {one: _lowered(own[one], to_g, rack) for one, to_g in lowered_g.items()}
            by_key = {**by_key, **lowered}
        slow = _slow(changes, by_key, rack)
    return tuple(by_key.values())


def one_load(made: Iterable[LoadProposal]) -> Message | None:
    """What the answer says where one load serves several movements; None where every one has its own."""
    known = tuple(made)
    lowered = dict.fromkeys(one.load_g for one in known if one.step is LoadStep.one_load)
    if not lowered:
        return None
    groups = []
    for load_g in lowered:
        alike = listed(one.named for one in known if one.load_g == load_g)
        groups.append(message("load_of_movements", load=load_term(load_g or 0, Kit.single), movements=alike))
    return message("one_weight_serves_the_round", loads=listed(groups))


def _changes(session: FittedSession, known: ByKey) -> Iterator[_Change]:
    keys = keys_by_place(session)
    for block in session.blocks:
        before: tuple[LoadKey, int] | None = None
        rest_ms = 0
        for segment in session.segments:
            if block.kind != "work" or segment.block != block.id:
                continue
            if segment.kind is Kind.rest:
                rest_ms = max(rest_ms, segment.planned_ms)
            key = keys.get((block.id, segment.place or 0))
            if segment.kind is Kind.work and key is not None and key in known:
                here = key, segment.round or 1
                if before is not None and before != here:
                    yield _Change(before, here, rest_ms)
                before, rest_ms = here, 0


def _slow(changes: Iterable[_Change], known: ByKey, rack: Rack) -> list[_Change]:
    """The changes for which the rest is too short."""
    found = []
    for one in changes:
        from_g, to_g = (_load_in(known[key], number) for key, number in (one.before, one.after))
        dumbbells = min(key.kit.dumbbells for key in one.keys)
        if change_s(rack, dumbbells, from_g, to_g) * MS_PER_S > one.rest_ms:
            found.append(one)
    return found


def _heavier_in(one: LoadProposal, number: int) -> bool:
    return number <= one.heavier_rounds


def _load_in(one: LoadProposal, number: int) -> int:
    return (one.heavier_g if _heavier_in(one, number) else one.load_g) or 0


def _without_heavier(one: LoadProposal) -> LoadProposal:
    none = dict.fromkeys(("heavier_g", "heavier_goal", "next_g"))
    fields = {**none, "heavier_rounds": 0, "step": LoadStep.one_load}
    reason = (TOO_SHORT, message("heavier_weight_waits"))
    return one.model_copy(update={**fields, "reason": reason})


def _joined(slow: Iterable[_Change], known: ByKey) -> dict[LoadKey, int]:
    """What is lowered in the first pair that cannot change in time, and to what: both get the lighter load.

    A movement that is done for the first time never takes the weight from the other: it has none instead.
    """
    pair = next(iter(slow)).keys
    new = [key for key in pair if known[key].step in NEW]
    if len(new) == 1:
        return {new[0]: 0}
    load_g = min(known[key].load_g or 0 for key in pair)
    return {key: load_g for key in pair if known[key].load_g != load_g}


def _lowered(one: LoadProposal, load_g: int, rack: Rack) -> LoadProposal:
    """A movement's own proposal with the load of another, or without weight where that is not owned so
    often."""
    owned = rack.loads_g(one.key.kit.dumbbells)
    lighter_g = load_g if load_g in owned else 0
    own, lighter = (load_term(load_g or 0, one.key.kit) for load_g in (one.load_g, lighter_g))
    return one.model_copy(
        update={
            "step": LoadStep.one_load,
            "load_g": lighter_g,
            "next_g": None,
            "practice_g": at_most(owned, lighter_g * PRACTICE_PERCENT // 100),
            "reason": (TOO_SHORT, message("takes_the_place_of", load=lighter, own=own)),
        }
    )
