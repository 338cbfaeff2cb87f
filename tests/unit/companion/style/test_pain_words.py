"""What is said of a sign that speaks for an injury or a nerve."""

from __future__ import annotations

import pytest

from companion.style.pain_words import ADVICE, LOOKED_AT, NERVE_SIGNS, advice_words
from engine.movements.pain import Advice, PainQuality

LEFT_OUT = ADVICE[Advice.swap_and_leave_out]


@pytest.mark.parametrize(
    "quality, more",
    [
        (PainQuality.sharp, ""),
        (PainQuality.sudden, ""),
        (PainQuality.snap, f" {LOOKED_AT}"),
        (PainQuality.giving_way, f" {LOOKED_AT}"),
        (PainQuality.locking, f" {LOOKED_AT}"),
        (PainQuality.nerve_like, f" {LOOKED_AT} {NERVE_SIGNS}"),
    ],
)
def test_a_sign_of_injury_is_to_be_looked_at_and_one_of_a_nerve_names_what_is_urgent(
    quality: PainQuality, more: str
) -> None:
    """Weakness, numbness between the legs, loss of bladder control: red flags of the spine (from memory)."""
    assert advice_words(Advice.swap_and_leave_out, (quality,)) == LEFT_OUT + more
