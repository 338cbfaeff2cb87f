"""What is proposed for the next session, in one line for each movement, the same on every screen."""

from __future__ import annotations

from companion.style.words import weight_words
from companion.words.saying import msgid, own, say, several
from engine.base.units import LoadUnit
from engine.growth.free import FreeProposal
from engine.load.proposal import LoadProposal

NO_WEIGHT_KNOWN = msgid("no weight known yet")


def load_line(one: LoadProposal, unit: LoadUnit) -> str:
    """“Goblet squat: 10 kg in round 1, no weight in the others, at 3-0-1-0”."""
    weight = _weight(one, one.load_g, unit)
    if one.heavier_rounds:
        weight = several(
            "{heavier} in round 1, {weight} in the others",
            "{heavier} in rounds 1–{count}, {weight} in the others",
            one.heavier_rounds,
            heavier=_weight(one, one.heavier_g, unit),
            weight=weight,
        )
    return _line(one.name, weight, one.tempo)


def free_line(one: FreeProposal) -> str:
    """“Press-up: no weight, at 4-0-1-0”."""
    return _line(one.name, say("no weight"), one.tempo)


def _weight(one: LoadProposal, load_g: int | None, unit: LoadUnit) -> str:
    return say(NO_WEIGHT_KNOWN) if load_g is None else weight_words(load_g, one.key.kit.dumbbells, unit)


def _line(name: str, weight: str, tempo: str | None) -> str:
    if not tempo:
        return say("{movement}: {weight}", movement=own(name), weight=weight)
    return say("{movement}: {weight}, at {tempo}", movement=own(name), weight=weight, tempo=tempo)
