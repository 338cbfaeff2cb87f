"""What a person has today: dumbbells, what else is in the room, and joints that hurt."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import Field

from engine.base.model import Model, Slug
from engine.movements.limits import Limit, barring
from engine.movements.movement import Equipment, Joint, Kit, Movement, Side, Variant

SORE_ALLOWS = ((3, 0), (1, 1))
"""Pairs: pain today of at least the first figure allows joint stress up to the second. † Our judgement, no
source."""


class SoreJoint(Model):
    """A joint that hurts today, rated 1–10; neck and low back have no side."""

    joint: Joint
    side: Side | None = None
    rating: Annotated[int, Field(ge=1, le=10)]


class Room(Model):
    """What a person has today.

    ``without`` is what the room lacks. ``after_pain`` are the movements left out after joint pain; those in
    ``tried`` may be practised without a weight. ``limits`` hold whatever hurts: they name consequences, never
    what the person has.
    """

    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    after_pain: tuple[Slug, ...] = ()
    tried: tuple[Slug, ...] = ()
    limits: tuple[Limit, ...] = ()

    def possible_variants(self, movement: Movement) -> tuple[Variant, ...]:
        """The variants that kit and room allow, in order of preference, whatever hurts or is left out."""
        variants = movement.variants_for(self.kit, frozenset(self.without))
        return tuple(variant for variant in variants if not barring(self.limits, movement, variant))

    def variants_of(self, movement: Movement) -> tuple[Variant, ...]:
        """The variants that kit, room and joints allow, in order of preference; none of a movement left
        out."""
        if movement.slug in self.after_pain:
            return ()
        return tuple(
            variant for variant in self.possible_variants(movement) if not self.too_much(movement, variant)
        )

    def variant_to_try(self, movement: Movement) -> Variant | None:
        """The variant with the least weight in which a left-out movement may be tried today, if any."""
        if movement.slug not in self.tried:
            return None
        bearable = [
            variant for variant in self.possible_variants(movement) if not self.too_much(movement, variant)
        ]
        return min(bearable, key=lambda variant: variant.kit.dumbbells, default=None)

    def usual_variant(self, movement: Movement) -> Variant:
        """The variant that the plan means for this kit, in a room that has everything and with nothing sore.

        Where this kit is enough for no variant, it is the variant that needs the fewest dumbbells.
        """
        return movement.variant_for(self.kit) or min(
            movement.variants, key=lambda variant: variant.kit.dumbbells
        )

    def too_much(self, movement: Movement, variant: Variant) -> tuple[SoreJoint, ...]:
        """The sore joints that a variant stresses more than they may take.

        One sore side rules the variant out for both sides, so that they stay equal.
        """
        return tuple(s for s in self.sore if movement.stress_on(s.joint, variant) > allowed_stress(s.rating))

    @property
    def milder(self) -> tuple[Room, ...]:
        """The same room without pain, and with little of it where a joint may take no stress at all.

        Empty where nothing hurts.
        """
        if not self.sore and not self.after_pain:
            return ()
        without = self.model_copy(update={"sore": (), "after_pain": (), "tried": ()})
        least = SORE_ALLOWS[-1][0]
        less = tuple(one.model_copy(update={"rating": min(one.rating, least)}) for one in self.sore)
        allowed = [allowed_stress(one.rating) for one in self.sore]
        if allowed == [allowed_stress(one.rating) for one in less]:
            return (without,)
        return (without, self.model_copy(update={"sore": less}))

    def sparing(self, joints: Iterable[Joint]) -> Room:
        """The same room, with no stress allowed on these joints."""
        spared = (SoreJoint(joint=joint, rating=SORE_ALLOWS[0][0]) for joint in sorted(joints))
        return self.model_copy(update={"sore": (*self.sore, *spared)})


def allowed_stress(rating: int) -> int:
    """The highest grade of stress that a joint may take at this pain today."""
    return next((grade for least, grade in SORE_ALLOWS if rating >= least), 3)
