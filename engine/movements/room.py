"""What a person has today: dumbbells, the room, and the joints that hurt."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated

from pydantic import Field

from engine.base.model import Model, Slug
from engine.movements.movement import Equipment, Form, Joint, Kit, Movement, Side

SORE_ALLOWS = ((3, 0), (1, 1))
"""Pain today of at least the first figure allows joint stress up to the second. † Our judgement, no
source."""


class SoreJoint(Model):
    """A joint that hurts today, rated 1–10; neck and low back have no side."""

    joint: Joint
    side: Side | None = None
    rating: Annotated[int, Field(ge=1, le=10)]


class Room(Model):
    """What the person has today.

    ``held`` are movements on hold after joint pain; of these ``tried`` may be practised without a weight.
    ``lies_flat`` is false where lying on the back or the belly is to be avoided: in pregnancy, whatever the
    month, since nobody is asked for it. † Stricter than the published advice, our judgement.
    """

    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    held: tuple[Slug, ...] = ()
    tried: tuple[Slug, ...] = ()
    lies_flat: bool = True

    def possible_forms(self, movement: Movement) -> tuple[Form, ...]:
        """The forms that kit and room allow, in order of preference, whatever hurts."""
        forms = movement.forms_for(self.kit, frozenset(self.without))
        return tuple(form for form in forms if not self.too_flat(form))

    def too_flat(self, form: Form) -> bool:
        return not self.lies_flat and (form.supine or form.prone)

    def forms_of(self, movement: Movement) -> tuple[Form, ...]:
        """The forms that kit, room, sore joints and holds allow, in order of preference."""
        if movement.slug in self.held:
            return ()
        return tuple(form for form in self.possible_forms(movement) if not self.too_much(movement, form))

    def form_to_try(self, movement: Movement) -> Form | None:
        """The form with the least weight in which a movement on hold may be practised today; None where it
        may not."""
        if movement.slug not in self.tried:
            return None
        bearable = [form for form in self.possible_forms(movement) if not self.too_much(movement, form)]
        return min(bearable, key=lambda form: form.kit.dumbbells, default=None)

    def usual_form(self, movement: Movement) -> Form:
        """What the plan means for this kit, in a room that has everything and with nothing sore.

        Where the kit does not do for any, the form that asks for the least.
        """
        return movement.form_for(self.kit) or min(movement.forms, key=lambda form: form.kit.dumbbells)

    def too_much(self, movement: Movement, form: Form) -> tuple[SoreJoint, ...]:
        """The sore joints that a form stresses beyond what they may take.

        A sore side rules the form out for both: sides stay equal, so neither does what one may not.
        """
        return tuple(s for s in self.sore if movement.stress_on(s.joint, form) > allowed_stress(s.rating))

    def sparing(self, joints: Iterable[Joint]) -> Room:
        """The same room, with these joints at grade 0."""
        spared = (SoreJoint(joint=joint, rating=SORE_ALLOWS[0][0]) for joint in sorted(joints))
        return self.model_copy(update={"sore": (*self.sore, *spared)})


def allowed_stress(rating: int) -> int:
    """The joint stress grade that a joint rated so today may take."""
    return next((grade for least, grade in SORE_ALLOWS if rating >= least), 3)
