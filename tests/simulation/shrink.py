"""Makes a failing run smaller: leaves moves out as long as the same thing does not hold."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Sequence

from simulation.mounted import mounted
from simulation.moves import Move, drawn
from simulation.run import Outcome, played

_NUMBERS = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}|[0-9]+|mark-[0-9]+")


def kind_of(fault: str) -> str:
    """What a fault is about, without ids and numbers."""
    return _NUMBERS.sub("…", fault)[:60]


async def shrunk(outcome: Outcome) -> Outcome:
    """The smallest run found that fails in the same way."""
    kind, best = kind_of(outcome.fault), outcome
    moves: Sequence[Move] = outcome.moves[: outcome.at + 1]
    size = max(1, len(moves) // 2)
    while size:
        start = 0
        while start < len(moves):
            fewer = (*moves[:start], *moves[start + size :])
            tried = await played(outcome.seed, fewer)
            if tried.fault and kind_of(tried.fault) == kind:
                moves, best = fewer[: tried.at + 1], tried
            else:
                start += size
        size //= 2
    return best


def shrink(seed: int) -> Outcome:
    """Runs a seed and shrinks it where it fails."""

    async def search() -> Outcome:
        outcome = await played(seed, drawn(seed))
        return await shrunk(outcome) if outcome.fault else outcome

    with mounted(), asyncio.Runner() as runner:
        return runner.run(search())


def told(outcome: Outcome) -> str:
    """A run as a person reads it."""
    return f"seed {outcome.seed}: {in_words(outcome)}\n    {outcome.fault}"


def in_words(outcome: Outcome) -> str:
    """The moves of a run as ``found.txt`` keeps them."""
    return " ".join(f"{one.name}:{one.device}:{one.number}" for one in outcome.moves[: outcome.at + 1])
