"""The coach's own choice for a place in the round: it comes before any other stand-in, and is never against a
limit of today."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from enum import StrEnum
from typing import NamedTuple

from engine.base.message import Message, listed, message
from engine.base.model import Model, Slug
from engine.movements.best_round import FilledRound, RoundPlace, best_round, crowded, named_alike
from engine.movements.limits import barring
from engine.movements.movement import Joint, Kit, Movement
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room
from engine.movements.substitutes import Candidate
from engine.movements.terms import joint_term, limit_term, missing_equipment, missing_kit


class Occasion(StrEnum):
    """When the coach wants a substitute: with a kit, or while a joint hurts."""

    no_dumbbells = Kit.none.value
    one_dumbbell = Kit.single.value
    wrist = Joint.wrist.value
    elbow = Joint.elbow.value
    shoulder = Joint.shoulder.value
    neck = Joint.neck.value
    low_back = Joint.low_back.value
    hip = Joint.hip.value
    knee = Joint.knee.value
    ankle = Joint.ankle.value

    @property
    def kit(self) -> Kit | None:
        """The kit that makes the occasion; None where a joint does."""
        return next((kit for kit in Kit if kit.value == self.value), None)

    @property
    def joint(self) -> Joint | None:
        """The joint that makes the occasion; None where a kit does."""
        return next((joint for joint in Joint if joint.value == self.value), None)


class OwnSubstitute(Model):
    """The movement that the coach wants in place of another one on an occasion."""

    when: Occasion
    movement: Slug


COMES_ALREADY = message("comes_already")
CROWDS = message("crowds")
AFTER_PAIN = message("after_pain")
GAINS_A_WEIGHT = message("gains_a_weight")


class OwnChoice(NamedTuple):
    """What the coach wants in a place today: ``candidate`` where that can be done, None where it cannot.
    ``hindrance`` says why it may not stand there after all, ``is_private`` that this hints at the limits of
    the day."""

    written: OwnSubstitute
    movement: Movement
    candidate: Candidate | None
    hindrance: tuple[Message, ...]
    is_private: bool = False

    def beside(self, taken: Collection[Slug]) -> OwnChoice:
        """The choice in a round that has these movements: one of them never comes a second time."""
        if self.candidate is None or self.candidate.really not in taken:
            return self
        return self._replace(hindrance=(COMES_ALREADY,))


def occurring(written: Iterable[OwnSubstitute], room: Room) -> list[OwnSubstitute]:
    """The coach's substitutes whose occasion is today, those for a sore joint first."""
    sore = {one.joint for one in room.sore}
    found = [one for one in written if one.when.joint in sore or one.when.kit is room.kit]
    return sorted(found, key=lambda one: one.when.joint is None)


def own_choice(
    written: OwnSubstitute, today: Repertoire, most_dumbbells: int, taken: Collection[Slug]
) -> OwnChoice:
    """What becomes of a substitute today, with at most so many dumbbells. ``taken`` are the movements that
    others have, by what they really are."""
    movement, room = today.known[written.movement], today.room
    variants = [
        variant for variant in today.variants_of(movement.slug) if variant.kit.dumbbells <= most_dumbbells
    ]
    if not variants:
        hindrance = _hindrance(movement, room, most_dumbbells)
        return OwnChoice(written, movement, None, hindrance, is_private=_is_private(hindrance, room))
    candidate = Candidate(movement, variants[0])
    if candidate.really in taken or movement.slug in taken:
        return OwnChoice(written, movement, None, (COMES_ALREADY,))
    return OwnChoice(written, movement, candidate, (CROWDS,))


def _is_private(hindrance: tuple[Message, ...], room: Room) -> bool:
    return not {limit_term(limit) for limit in room.limits}.isdisjoint(hindrance)


def _hindrance(movement: Movement, room: Room, most_dumbbells: int) -> tuple[Message, ...]:
    """Why a movement has no variant today."""
    if movement.slug in room.after_pain:
        return (AFTER_PAIN,)
    light = [variant for variant in movement.variants if variant.kit.dumbbells <= most_dumbbells]
    at_hand = [variant for variant in light if variant.kit.dumbbells <= room.kit.dumbbells]
    if not at_hand:
        fewest = min((variant.kit for variant in movement.variants), key=lambda kit: kit.dumbbells)
        return (GAINS_A_WEIGHT,) if fewest.dumbbells <= room.kit.dumbbells else (missing_kit(fewest),)
    placed = [variant for variant in at_hand if not set(variant.needs) & set(room.without)]
    if not placed:
        return tuple(missing_equipment(one) for one in at_hand[0].needs if one in room.without)
    free = [variant for variant in placed if not barring(room.limits, movement, variant)]
    if not free:
        return tuple(map(limit_term, barring(room.limits, movement, placed[0])))
    sore = listed(joint_term((one.joint, one.side)) for one in room.too_much(movement, free[0]))
    return (message("hard_on", joints=sore),)


def best_round_with(places: Sequence[RoundPlace], wanted: Mapping[int, Iterable[Candidate]]) -> FilledRound:
    """The best round in which the coach's own choices stand, the first that can for each place.

    ``wanted`` holds them by the number of the place; places that are named alike get the same. Where one
    would come twice, or crowd neighbours that the round without it leaves apart, the place is filled as any
    other.
    """
    fixed: dict[int, Candidate] = {}
    filled = best_round(places)
    for at, candidates in wanted.items():
        for candidate in candidates:
            trial = fixed | dict.fromkeys(named_alike(places, at), candidate)
            made = best_round([_only(place, trial.get(number)) for number, place in enumerate(places)])
            stand = all(made[number] is one for number, one in trial.items())
            if stand and crowded(places, made) <= crowded(places, filled):
                fixed, filled = trial, made
                break
    return filled


def _only(place: RoundPlace, candidate: Candidate | None) -> RoundPlace:
    return place if candidate is None else replace(place, candidates=(candidate,))
