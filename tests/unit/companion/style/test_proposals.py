"""A proposal in one line: every weight with its rounds, a pair “each”, nothing as “no weight”, the tempo."""

from __future__ import annotations

from typing import Any

import pytest

from companion.style.proposals import free_line, load_line
from engine.base.units import LoadUnit
from engine.growth.free import FreeProposal, FreeStep
from engine.load.proposal import SAME_AGAIN, TWO_CLEAR, LoadProposal, LoadStep
from engine.movements.movement import Kit
from engine.record.exposure import LoadKey


def proposal(kit: Kit = Kit.single, **fields: Any) -> LoadProposal:
    key = LoadKey(movement="goblet-squat", variant="one-weight", kit=kit, interval_ms=60_000, tempo="3-0-1-0")
    told = {"step": LoadStep.same, "load_g": 8_000, "tempo": "3-0-1-0", "reason": (SAME_AGAIN,)}
    return LoadProposal(key=key, name="Goblet squat", **(told | fields))


@pytest.mark.parametrize(
    "fields, said",
    [
        ({}, "8 kg, at 3-0-1-0"),
        ({"kit": Kit.pair}, "8 kg each, at 3-0-1-0"),
        ({"load_g": 0}, "no weight, at 3-0-1-0"),
        ({"load_g": None}, "no weight known yet, at 3-0-1-0"),
        (
            {"load_g": 0, "heavier_g": 10_000, "heavier_rounds": 1},
            "10 kg in round 1, no weight in the others, at 3-0-1-0",
        ),
        (
            {"heavier_g": 10_000, "heavier_rounds": 2, "kit": Kit.pair},
            "10 kg each in rounds 1–2, 8 kg each in the others, at 3-0-1-0",
        ),
        ({"tempo": "3-1-1-0"}, "8 kg, at 3-1-1-0"),
        ({"tempo": None}, "8 kg"),
    ],
)
def test_a_load_says_its_rounds_its_tempo_and_each_of_a_pair(fields: dict[str, Any], said: str) -> None:
    assert load_line(proposal(**fields), LoadUnit.kg) == f"Goblet squat: {said}"


def test_what_takes_no_weight_says_so_with_its_tempo() -> None:
    key = LoadKey(movement="press-up", variant="floor", kit=Kit.none, interval_ms=30_000, tempo="2-0-1-0")
    one = FreeProposal(key=key, name="Press-up", step=FreeStep.slower, tempo="3-0-1-0", reason=(TWO_CLEAR,))
    assert free_line(one) == "Press-up: no weight, at 3-0-1-0"
