"""What is proposed for the next session, in one line for each movement, the same on every screen."""

from __future__ import annotations

from companion.style.words import weight_words
from engine.base.units import LoadUnit
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal

NO_WEIGHT_KNOWN = "no weight known yet"


def load_line(one: LoadProposal, unit: LoadUnit) -> str:
    """“Goblet squat: 10 kg in round 1, no weight in the others, at 3-0-1-0”."""
    weight = _weight(one, one.load_g, unit)
    if one.heavier_rounds:
        rounds = "round 1" if one.heavier_rounds == 1 else f"rounds 1–{one.heavier_rounds}"
        weight = f"{_weight(one, one.heavier_g, unit)} in {rounds}, {weight} in the others"
    return f"{one.name}: {weight}{_at(one.tempo)}"


def free_line(one: FreeProposal) -> str:
    """“Press-up: no weight, at 4-0-1-0”."""
    return f"{one.name}: no weight{_at(one.tempo)}"


def _weight(one: LoadProposal, load_g: int | None, unit: LoadUnit) -> str:
    return NO_WEIGHT_KNOWN if load_g is None else weight_words(load_g, one.key.kit.dumbbells, unit)


def _at(tempo: str | None) -> str:
    return f", at {tempo}" if tempo else ""
