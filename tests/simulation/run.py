"""One run: the moves that a seed draws, on devices that a seed draws, with everything checked on the way."""

from __future__ import annotations

import asyncio
import hashlib
import os
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from random import Random

import pytest
from simulation.checks import holds_at_the_end, holds_now
from simulation.disk import Death
from simulation.hand import Hand, Violation
from simulation.mounted import mounted
from simulation.moves import MOVES, Move, drawn
from simulation.small_plans import small_plan
from simulation.windows import after_death
from simulation.world import World

from companion.window import window as window_module


@dataclass
class Outcome:
    """What a run came to: its sessions, and what did not hold after which move."""

    seed: int
    moves: Sequence[Move]
    sessions: int = 0
    fault: str = ""
    at: int = -1


@contextmanager
def _own_chance(seed: int) -> Iterator[None]:
    """Ids come from the seed, too."""
    chance = Random(f"ids {seed}")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(os, "urandom", chance.randbytes)
        yield


async def _moved(world: World, move: Move, seed: int) -> None:
    device = world.devices[move.device]
    hand = Hand(world, device, Random(f"{seed} {move.number}"))
    try:
        await MOVES[move.name](hand)
    except Death:
        fault = device.medium.fault
        await after_death(hand, power=fault is not None and fault.power)
    if device.medium.dead:  # it died in what nobody waits for
        await after_death(hand, power=False)


async def played(seed: int, moves: Sequence[Move], worlds: list[World] | None = None) -> Outcome:
    """Plays moves; a violation, or a fault that nobody expects, ends the run. ``worlds`` gets its world."""
    outcome = Outcome(seed, moves)
    draw = Random(f"world {seed}")
    plans = [small_plan(draw, number) for number in range(1, 4)]
    with pytest.MonkeyPatch.context() as patch, _own_chance(seed):
        patch.setattr(window_module, "sample_plans", lambda: tuple(plans))
        world = World(draw, plans)
        if worlds is not None:
            worlds.append(world)
        try:
            for at, move in enumerate(moves):
                outcome.at = at
                await _moved(world, move, seed)
                holds_now(world)
            outcome.at = len(moves)
            await holds_at_the_end(world)
        except Violation as violation:
            outcome.fault = str(violation)
        except (Exception, Death) as unexpected:  # noqa: BLE001 - whatever it is, it is a finding
            outcome.fault = f"{type(unexpected).__name__}: {unexpected}"
        finally:
            outcome.sessions = world.sessions
            await world.close()
    return outcome


async def run(seed: int) -> Outcome:
    return await played(seed, drawn(seed))


def trace(seed: int) -> str:
    """Everything that all devices hold after a run, for two runs of one seed to be compared."""
    worlds: list[World] = []
    with mounted(), asyncio.Runner() as runner:
        outcome = runner.run(played(seed, drawn(seed), worlds))
    (world,) = worlds
    found = [f"{outcome.sessions} {outcome.at} {outcome.fault}"]
    for device in world.devices:
        for place, content in device.medium.everything().items():
            found.append(f"{device.name} {place} {hashlib.sha256(content).hexdigest()}")
    return "\n".join(found)


def run_all(seeds: Sequence[int]) -> Iterator[Outcome]:
    """Runs seeds one after the other, in one loop."""
    with mounted(), asyncio.Runner() as runner:
        for seed in seeds:
            yield runner.run(run(seed))
