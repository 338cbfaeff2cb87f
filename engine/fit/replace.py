"""Another movement in the place of one, while a session runs."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from engine.movements.best_round import RoundPlace
from engine.movements.movement import Joint, Movement
from engine.movements.own_choice import best_round_with, occurring, own_choice
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room
from engine.movements.substitutes import Candidate, easier_chain
from engine.session.choices import Chosen, as_chosen


def substitute_for(
    chosen: Chosen,
    *,
    known: Mapping[str, Movement],
    room: Room,
    around: Sequence[Chosen],
    used: Collection[str],
    sparing: frozenset[Joint],
) -> Chosen | None:
    """The movement that takes another's place in the rounds to come; None where nothing may.

    ``known`` holds the movements of the plan and the library by slug, ``around`` the movement with what comes
    before and after it in the round, or the whole round where it has several places, ``used`` the slugs that
    the round already has, under every name. No stress is allowed on the joints in ``sparing``. Another
    variant of the same movement is never offered, nor one with more weights. For a sore joint the coach's
    own choice comes first.
    """
    today = Repertoire(known, room.sparing(sparing))
    planned = today.in_variant(chosen.movement, chosen.variant)
    others = _others(planned, today, used)
    ring = [today.in_variant(one.movement, one.variant) for one in around]
    own = [number for number, one in enumerate(around) if one.movement == chosen.movement]
    places = [_place(one, others if number in own else (one,)) for number, one in enumerate(ring)]
    candidate = best_round_with(places, {own[0]: _own_choices(chosen, today, used)})[own[0]]
    return None if candidate is None else _instead_of(chosen, candidate, planned.movement, room, known)


def _own_choices(chosen: Chosen, today: Repertoire, used: Collection[str]) -> list[Candidate]:
    """What the coach wants in place of a movement for the joints that hurt, as far as it can be done."""
    wanted = [one for one in chosen.substitutes if one.movement in {*today.known} - {chosen.movement}]
    tried = (own_choice(one, today, chosen.dumbbells, used) for one in occurring(wanted, today.room))
    return [one.candidate for one in tried if one.candidate is not None]


def _others(planned: Candidate, today: Repertoire, used: Collection[str]) -> tuple[Candidate, ...]:
    """What can stand in for a movement that leaves the round, other versions of it among them."""
    slug = planned.movement.slug
    found = today.stand_ins(planned, {*used} - {slug, planned.really})
    return tuple(candidate for candidate in found if candidate.movement.slug != slug)


def _place(planned: Candidate, candidates: tuple[Candidate, ...]) -> RoundPlace:
    region, named = planned.movement.region, planned.movement.slug
    return RoundPlace(region, planned.variant.grip_heavy, candidates, named=named)


def easier_for(
    chosen: Chosen, *, known: Mapping[str, Movement], room: Room, used: Collection[str]
) -> Chosen | None:
    """The next easier movement that can be done here, the coach's own before the chain; None where there is
    none.

    ``used`` holds the slugs that the session already has. An easier movement never needs another weight.
    """
    planned = known.get(chosen.movement)
    if planned is None:
        return None
    own = [known[slug] for slug in (chosen.easier,) if slug is not None and slug in known]
    for movement in (*own, *easier_chain(planned, known)):
        variants = [
            variant for variant in room.variants_of(movement) if variant.kit.dumbbells <= chosen.dumbbells
        ]
        if variants and movement.slug not in used:
            return _instead_of(chosen, Candidate(movement, variants[0]), planned, room, known)
    return None


def _instead_of(
    chosen: Chosen, candidate: Candidate, planned: Movement, room: Room, known: Mapping[str, Movement]
) -> Chosen:
    """A candidate in the place of a movement; it still stands for the one that the plan names."""
    instead_of = chosen.instead_of or chosen.movement
    made = as_chosen(candidate, planned, known=known, limits=room.limits)
    return made.model_copy(update={"instead_of": instead_of, "substitutes": chosen.substitutes})
