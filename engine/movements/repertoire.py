"""What one person can do today of the movements that a plan can name."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cache

from engine.base.model import Slug
from engine.movements.movement import Kit, Movement, StartsWith
from engine.movements.room import Room
from engine.movements.substitutes import Candidate, stand_ins


class Repertoire:
    """The known movements in one room. Looks at each movement once."""

    def __init__(self, known: Mapping[Slug, Movement], room: Room) -> None:
        self.known = known
        self.room = room
        self.variants_of = cache(lambda slug: room.variants_of(known[slug]))

    def usual(self, slug: Slug, *, light: bool = False) -> Candidate:
        """What the plan means by a movement, whether it can be done today or not; ``light``: with as little
        weight as there is a variant for."""
        movement = self.known[slug]
        room = self.room.model_copy(update={"kit": Kit.none}) if light else self.room
        return Candidate(movement, room.usual_variant(movement))

    def stays(self, planned: Candidate) -> bool:
        """Whether a movement can be done as the plan means it."""
        return planned.variant in self.variants_of(planned.movement.slug)

    def in_variant(self, slug: Slug, variant_id: Slug) -> Candidate:
        """A movement in the variant with this id. Raises StopIteration where it has no such variant."""
        movement = self.known[slug]
        return Candidate(movement, next(variant for variant in movement.variants if variant.id == variant_id))

    def stand_ins(
        self,
        planned: Candidate,
        barred: Collection[Slug],
        *,
        coachs_easier: Slug | None = None,
        without_holds: bool = False,
    ) -> tuple[Candidate, ...]:
        """What can stand in for a movement today, nearest first, without more weights, and without the
        movements that are barred under any of their names."""
        return tuple(
            candidate
            for candidate in stand_ins(planned, self.known, self.variants_of, coachs_easier)
            if candidate.movement.slug not in barred
            and candidate.really not in barred
            and candidate.variant.kit.dumbbells <= planned.variant.kit.dumbbells
            and not (without_holds and candidate.movement.starts_with is StartsWith.hold)
        )
