"""Who trains on a device. Each person has a store of their own, under a key."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from engine.base.issue import WrongValue
from engine.base.message import Count, message
from engine.base.model import LONGEST_NAME
from engine.base.printable import printable_line
from storage.problem import StorageProblem, named
from storage.store import Store

FIRST = ""
"""The key of the records that a device has from the beginning."""


class TraineeHere(NamedTuple):
    """Somebody who trains here, under any of these ids; a ``name`` that cannot be read is empty.

    ``in_progress`` is the plan of a session that is not over, empty for none.
    """

    key: str
    name: str
    in_progress: str = ""
    ids: frozenset[str] = frozenset()


async def trainee_in(store: Store, key: str) -> TraineeHere | None:
    """Whose records a store keeps; None where nobody has said who they are."""
    try:
        profile, running = await store.person.profile(), await store.run.read()
    except StorageProblem:
        return TraineeHere(key, "")
    if profile is None:
        return None
    return TraineeHere(key, profile.name, running.session.plan_name if running else "", profile.ids)


def by_name(found: Iterable[TraineeHere | None]) -> tuple[TraineeHere, ...]:
    """Everyone who was found, by name."""
    return tuple(sorted(filter(None, found), key=lambda one: one.name))


def who_goes_on(trainees: tuple[TraineeHere, ...]) -> str | None:
    """The key of whom to open without asking: of the only one, or of the only one with a session in progress.

    None where that has to be asked.
    """
    in_progress = [one.key for one in trainees if one.in_progress]
    if len(in_progress) == 1:
        return in_progress[0]
    return next((one.key for one in trainees), FIRST) if len(trainees) < 2 else None


def new_name(written: str, taken: Iterable[str]) -> str:
    """The name of somebody who is to train here too. Raises WrongValue."""
    name = printable_line(written).strip()
    if not 0 < len(name) <= LONGEST_NAME:
        raise WrongValue(message("name_too_short_or_long", most=Count(count=LONGEST_NAME)))
    if name.casefold() in map(str.casefold, taken):
        raise WrongValue(message("name_trains_here", name=named(name)))
    return name
