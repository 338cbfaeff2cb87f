"""The stop rules of the movement in hand or ahead: one in each rest, all of them where there is time."""

from __future__ import annotations

from engine.live.state import RunState
from engine.movements.pain import GOES_ON, Advice
from engine.session.segment import ahead


def stop_rules(state: RunState, index: int) -> tuple[str, ...]:
    """The stop rules of the movement that a segment leads to, then those of the whole plan."""
    chosen = state.leads_to(index)
    return tuple(dict.fromkeys((*(chosen.stop_rules if chosen else ()), *state.session.stop_rules)))


def stop_rules_beside(state: RunState, index: int, said: Advice | None) -> tuple[str, ...]:
    """All stop rules while pain is being asked about, and beside the advice to stop.

    None beside the advice to take the movement up again. A coach's rule speaks of the set that was stopped:
    read there, it would forbid what the rules about pain allow next.
    """
    return () if said in GOES_ON else stop_rules(state, index)


def stop_rule_in(state: RunState, index: int) -> str | None:
    """One stop rule for a rest, another in each round; None where there is none."""
    coming, rules = ahead(state.segments, index), stop_rules(state, index)
    if coming is None or not rules:
        return None
    return rules[((coming.round or 1) - 1) % len(rules)]
