"""Sessions done as they were proposed, one after another, so that a load grows."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import Any

from accounts import set_done, set_fields

from engine.load.proposal import LoadedMovement, LoadProposal
from engine.load.propose import propose
from engine.load.rules import LoadRules
from engine.movements.movement import Side
from engine.movements.pain import Advice
from engine.record.exposure import Exposure


@dataclass(frozen=True)
class How:
    """How a session went: days since the one before, and what its log says of every set.

    ``missed`` are repetitions under the ceiling, in the heavier rounds under the goal for them.
    """

    days: int = 3
    effort: float | None = 7
    missed: int = 0
    variant: bool = True
    full_range: bool = True
    pain: int = 0
    advice: Advice = Advice.go_on
    no_growth: bool = False


def done_as(told: LoadProposal, how: How, day: date, *, rounds: int, sides: Sequence[Side]) -> Exposure:
    """The session that was told, done like this."""
    key = told.key.model_copy(update={"tempo": told.tempo})
    sets = tuple(
        set_done(**set_fields(key) | _of_round(told, how, number) | {"round": number, "side": side})
        for number in range(1, rounds + 1)
        for side in sides
    )
    return Exposure(
        key=key,
        record_id=f"record-{day}",
        started_at=datetime.combine(day, time(18)).astimezone(),
        local_date=day,
        sets=sets,
        rounds_planned=rounds,
        form_kept=how.variant,
        range_kept=how.full_range,
        pain=how.pain,
        advice=how.advice,
    )


def _of_round(told: LoadProposal, how: How, number: int) -> dict[str, Any]:
    heavier = number <= told.heavier_rounds
    ceiling = set_fields(told.key.model_copy(update={"tempo": told.tempo}))["repetitions"]
    goal = told.heavier_goal if heavier and told.heavier_goal else ceiling
    return {
        "load_g": told.heavier_g if heavier else told.load_g,
        "repetitions": None if goal is None else max(1, goal - how.missed),
        "effort": how.effort,
    }


@dataclass(frozen=True)
class Step:
    """A session that was told and done, with those before it."""

    before: tuple[Exposure, ...]
    told: LoadProposal
    done: Exposure

    def __repr__(self) -> str:
        """Short, for a story that breaks a law."""
        told, done = self.told, self.done
        loads = f"{told.load_g}/{told.heavier_g}×{told.heavier_rounds}"
        how = f"{done.sets[0].repetitions} reps, effort {done.sets[0].effort}, sound {done.sound}"
        return f"[{done.local_date} {told.step} {loads} {told.tempo}: {how}]"

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(repr(self))


def story(
    lifted: LoadedMovement,
    weights_g: Sequence[int],
    hows: Sequence[How],
    *,
    first: date,
    sides: Sequence[Side] = (Side.both,),
    rules: Callable[[How], LoadRules] = lambda how: LoadRules(no_growth=how.no_growth),
) -> Iterator[Step]:
    """One session after another, each done as it was proposed after those before it."""
    past: tuple[Exposure, ...] = ()
    day = first
    for how in hows:
        day += timedelta(days=how.days)
        told = propose(lifted, past, weights_g, today=day, rules=rules(how))
        done = done_as(told, how, day, rounds=lifted.rounds, sides=sides)
        yield Step(past, told, done)
        past = (*past, done)
