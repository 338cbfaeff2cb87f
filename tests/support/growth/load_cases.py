"""Lifts with a history and weights for the laws of loads, and what may be said about a day."""

from __future__ import annotations

from collections.abc import Sequence

from accounts import MINUTE, account, loaded
from hypothesis import strategies as st

from engine.load.proposal import LoadedMovement
from engine.movements.movement import Kit, MovementPattern, Side
from engine.movements.pain import Advice
from engine.record.exposure import Exposure

PAUSED = MINUTE.model_copy(update={"tempo": "3-1-1-0"})
SHORTER = MINUTE.model_copy(update={"interval_ms": 40_000})
SLOWER = MINUTE.model_copy(update={"tempo": "5-0-1-0"})
FREE = MINUTE.model_copy(update={"kit": Kit.none, "variant": "free"})
PAIR = MINUTE.model_copy(update={"kit": Kit.pair, "variant": "three"})

weights = st.lists(st.integers(2, 60).map(lambda n: n * 500), min_size=1, max_size=8, unique=True).map(sorted)
PAINS = ((0, Advice.go_on),) * 6 + ((2, Advice.retry_unloaded), (4, Advice.swap_and_leave_out))


@st.composite
def accounts(draw: st.DrawFn, weights_g: Sequence[int], days_ago: int) -> Exposure:
    """A session on which anything may have gone right or wrong, clear more often than not."""
    key = draw(st.sampled_from((MINUTE,) * 6 + (PAUSED, SHORTER, SLOWER, FREE, PAIR)))
    load = st.sampled_from(weights_g) | st.just(weights_g[0])
    loads = draw(st.just((draw(load),) * 3) | st.lists(load, min_size=1, max_size=4))
    fine = st.sampled_from((True,) * 8 + (False,))
    pain, advice = draw(st.sampled_from(PAINS))
    return account(
        days_ago,
        tuple(loads) if key.kit is not Kit.none else (None,) * 3,
        key=key,
        sides=draw(st.sampled_from(((Side.both,), (Side.left, Side.right)))),
        effort=draw(st.sampled_from((7, 7, 7, 5, 5, 6, 8, 9, None))),
        repetitions=draw(st.sampled_from((15, 15, 15, 15, 14, 8))),
        pain=pain,
        advice=advice,
        form_kept=draw(fine),
        range_kept=draw(fine),
    )


@st.composite
def cases(draw: st.DrawFn) -> tuple[LoadedMovement, tuple[Exposure, ...], tuple[int, ...]]:
    """A lift, its history (the latest last) and the weights."""
    weights_g = draw(weights)
    gaps = draw(st.lists(st.sampled_from((1, 2, 3, 3, 4, 7, 9, 15, 31)), max_size=6))
    days = [sum(gaps[: n + 1]) for n in range(len(gaps))]
    history = tuple(draw(accounts(weights_g, ago)) for ago in reversed(days))
    rounds = draw(st.integers(1, 4))
    pattern = draw(st.sampled_from((MovementPattern.squat, MovementPattern.vertical_push)))
    return loaded(rounds=rounds, pattern=pattern), history, tuple(weights_g)


SLUG = (MINUTE.movement,)
any_rules = st.fixed_dictionaries(
    {
        "careful": st.booleans(),
        "no_growth": st.sampled_from((False, False, False, True)),
        "easy_session": st.sampled_from((0, 0, 0, 1, 2)),
        "allowed": st.sampled_from(((), SLUG)),
        "sooner": st.sampled_from(((), (), SLUG)),
    }
)
