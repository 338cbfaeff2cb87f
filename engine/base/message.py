"""What the engine says: a code with typed arguments, which ``companion/words`` turns into a sentence.

A code never changes its meaning. Names stand in a message only where a coach or a trainee made them up.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, time
from typing import Annotated

from pydantic import Field

from engine.base.model import Model, Slug, canonical_json

MOST_ARGUMENTS = 12
MOST_LISTED = 520
"""A figure for each week of ten years."""
LONGEST_OWN = 2_000
"""Characters of a note."""

Code = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=64)]


class Count(Model):
    """How many; a mean may have decimals."""

    count: Annotated[float, Field(ge=0)]


class Seconds(Model):
    seconds: Annotated[float, Field(ge=0)]


class Weight(Model):
    """The load of one dumbbell, where 0 is no weight, or what was lifted in all."""

    grams: Annotated[int, Field(ge=0)]


class Day(Model):
    day: date


class Clock(Model):
    """A time of the day, as clocks show it where it is said."""

    clock: time


class Joint(Model):
    """A joint, and its side where it has one and that is meant."""

    joint: Code
    side: Code | None = None


class Moves(Model):
    """A movement of the library."""

    movement: Slug


class Version(Model):
    """A version of a movement of the library."""

    movement: Slug
    version: Slug


class Own(Model):
    """Words of a coach or a trainee, which stay as they were written."""

    own: Annotated[str, Field(min_length=1, max_length=LONGEST_OWN)]


class Listed(Model):
    """Several of the same sort, in this order."""

    listed: Annotated[tuple[Argument, ...], Field(min_length=1, max_length=MOST_LISTED)]


class Message(Model):
    """What is said. Messages are equal where code and arguments are."""

    code: Code
    arguments: Annotated[dict[Code, Argument], Field(max_length=MOST_ARGUMENTS)] = {}

    def __hash__(self) -> int:
        return hash(canonical_json(self))


Said = tuple[Message, ...]
"""Sentences that are read one after another."""
Argument = Count | Seconds | Weight | Day | Clock | Joint | Moves | Version | Own | Listed | Message


def message(code: str, /, **arguments: Argument) -> Message:
    """A message, for example ``message("rest_cut", rest=Seconds(seconds=40))``.

    Raises ValidationError for a code that is not in snake_case.
    """
    return Message(code=code, arguments=arguments)


def listed(several: Iterable[Argument]) -> Listed:
    """Each of them once. Raises ValidationError for none."""
    return Listed(listed=tuple(dict.fromkeys(several)))


def in_turn(several: Iterable[Argument]) -> Listed:
    """All of them, as often as they come. Raises ValidationError for none."""
    return Listed(listed=tuple(several))


def at_most(most: int, several: Sequence[Argument]) -> Argument:
    """The first of them, and how many more there are. Raises ValidationError for none."""
    first, more = listed(several[:most]), len(several) - most
    return first if more <= 0 else message("and_more", named=first, more=Count(count=more))
