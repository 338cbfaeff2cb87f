"""What the fit decides for one person: each movement as they do it, and everything else there is to
choose."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from pydantic import SerializerFunctionWrapHandler, model_serializer

from engine.base.message import Argument, message
from engine.base.model import Model, Slug
from engine.movements.limits import Limit, barring, end_point_within, most_hold_s, rules_of
from engine.movements.movement import (
    Changing,
    Held,
    Movement,
    MovementPattern,
    Position,
    Side,
    Sides,
    StartsWith,
    changing_in,
    harder_version,
    sides_of,
)
from engine.movements.own_choice import OwnSubstitute
from engine.movements.substitutes import Candidate
from engine.movements.tempo import Hardest, Phase
from engine.movements.terms import movement_term, variant_term
from engine.plan.plan import PracticeKind, WorkMovement
from engine.session.pace import PersonalPace

TO_THE_FLOOR_S = 10
"""From standing to the floor or back. † Our judgement, no source."""


class Chosen(Model):
    """A movement of the session as this person does it, with everything that the screens say about it.

    ``instead_of`` is the slug that the plan names, where that is another movement.
    """

    movement: Slug
    name: str
    variant: Slug
    variant_name: str
    sides: Sides
    changes: Changing | None = None
    alternates: bool = False
    held: Held
    dumbbells: int
    pattern: MovementPattern
    also: tuple[MovementPattern, ...] = ()
    accessory: bool = False
    starts_with: StartsWith
    hardest: Hardest = Phase.bottom
    on_floor: bool
    position: Position = Position.standing
    hands_bear: bool = False
    grip_heavy: bool
    most_hold_s: int | None = None
    """How long it may be held on each side today; None where there is no limit."""
    really: Slug | None = None
    """The movement that this is another version of."""
    cues: tuple[str, ...]
    end_point: str
    placing: str | None = None
    stop_rules: tuple[str, ...] = ()
    easier: Slug | None = None
    harder: Argument | None = None
    """The version that comes after this one."""
    instead_of: Slug | None = None
    substitutes: tuple[OwnSubstitute, ...] = ()
    """What the coach wants in its place if a joint hurts while the session runs."""

    @property
    def is_hold(self) -> bool:
        """Whether it is held: its amount is seconds, and it has neither tempo nor repetitions."""
        return self.starts_with is StartsWith.hold

    @property
    def version(self) -> str:
        """The name of its version; empty where that says no more than the movement's."""
        return "" if self.variant_name.lower() == self.name.lower() else self.variant_name


ChosenByBlock = Mapping[str, Mapping[str, Chosen]]
"""Block id → the slug that the plan names → the movement as chosen. What is missing is left out."""


def as_chosen(
    candidate: Candidate,
    planned: Movement,
    written: WorkMovement | None = None,
    *,
    known: Mapping[str, Movement],
    limits: Collection[Limit] = (),
) -> Chosen:
    """A candidate in the place of a planned movement, with what the coach has ``written`` about it and what
    the limits of today add to its stop rules. ``known`` are the movements of plan and library by slug."""
    movement, variant = candidate.movement, candidate.variant
    return Chosen(
        movement=movement.slug,
        name=movement.name,
        variant=variant.id,
        variant_name=variant.name,
        sides=sides_of(variant),
        changes=changing_in(variant),
        alternates=variant.alternates,
        held=variant.held,
        dumbbells=variant.kit.dumbbells,
        pattern=movement.pattern,
        also=movement.also,
        accessory=movement.accessory,
        starts_with=movement.starts_with,
        hardest=movement.hardest,
        on_floor=variant.on_floor,
        position=variant.position,
        hands_bear=variant.hands_bear,
        grip_heavy=variant.grip_heavy,
        most_hold_s=most_hold_s(limits, movement),
        really=really if (really := movement.really(variant)) != movement.slug else None,
        cues=(written.cues if written else ()) or movement.cues,
        end_point=_end_point(candidate, written, limits),
        placing=variant.placing,
        stop_rules=_stop_rules(candidate, written, limits),
        easier=(written.easier if written else None) or movement.easier,
        harder=_harder(candidate, known, limits),
        instead_of=planned.slug if movement.slug != planned.slug else None,
    )


def _harder(
    candidate: Candidate, known: Mapping[str, Movement], limits: Collection[Limit]
) -> Argument | None:
    """“Goblet squat”, or “Plank (Forearms a hand ahead of the shoulders)” for another variant of the same.

    None where that takes another weight, or is against the limits of today.
    """
    harder = harder_version(candidate.variant, known)
    if (
        harder is None
        or harder[1].kit.dumbbells > candidate.variant.kit.dumbbells
        or barring(limits, *harder)
    ):
        return None
    movement, variant = harder
    if movement.slug != candidate.movement.slug:
        return movement_term(movement)
    version = variant_term(movement, variant)
    return message("movement_in_version", movement=movement_term(movement), version=version)


def _end_point(candidate: Candidate, written: WorkMovement | None, limits: Collection[Limit]) -> str:
    movement, variant = candidate.movement, candidate.variant
    planned = (written.end_point if written else None) or movement.end_point
    return end_point_within(planned, limits, movement, variant)


def _stop_rules(
    candidate: Candidate, written: WorkMovement | None, limits: Collection[Limit]
) -> tuple[str, ...]:
    own, coachs = candidate.movement.stop_rules, written.stop_rules if written else ()
    return (*own, *coachs, *rules_of(limits, candidate.movement, candidate.variant))


class Choices(Model):
    """Everything else that the fit decides. Lengths are seconds; keys are block ids.

    ``rest_s`` and ``work_s`` hold the lengths that a block was brought down to; a block that is missing keeps
    the plan's. ``without_optional`` names the optional movements that were given up, each as
    ``block:place:movement``. ``hand_inside`` and ``leg_inside`` name the blocks in which a change of sides
    comes out of the middle of the interval.
    """

    rounds: dict[Slug, int]
    practice: dict[Slug, PracticeKind] = {}
    hand_inside: tuple[Slug, ...] = ()
    leg_inside: tuple[Slug, ...] = ()
    rest_s: dict[Slug, int] = {}
    work_s: dict[Slug, int] = {}
    cool_down_s: dict[Slug, int] = {}
    without_optional: tuple[str, ...] = ()
    first_side: Side = Side.left
    to_floor_s: int = TO_THE_FLOOR_S
    pace: PersonalPace = PersonalPace()

    @model_serializer(mode="wrap")
    def _without_the_stated_pace(self, write: SerializerFunctionWrapHandler) -> dict[str, Any]:
        """Leaves out the pace where there is none, so that document and id follow from the plan alone."""
        written: dict[str, Any] = write(self)
        if self.pace == PersonalPace():
            del written["pace"]
        return written
