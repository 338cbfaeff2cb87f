"""The signs to get help for at once, compared with published lists."""

import pytest

from companion.style.pain_words import ADVICE
from companion.style.safety import CAUTIONS, URGENT, URGENT_SIGNS
from engine.movements.pain import Advice

# Pages of hospitals for the public on warning signs during exercise (read second-hand).
DURING_EXERCISE = (
    *("chest pain", "jaw", "neck", "arm", "back", "fainting", "dizziness", "breathlessness"),
    *("irregular heartbeat", "cold sweat", "severe headache", "weakness", "numbness", "speaking", "seeing"),
)
# Red flags of the low back, signs of a clot in the leg, a blow to the head; ACOG Committee Opinion 804 for
# pregnancy (all from memory).
BESIDE_THEM = (
    *("numbness between the legs", "bladder", "bowel", "calf swollen", "dark urine", "blow to the head"),
    *("pregnancy", "bleeding", "loss of fluid", "contractions"),
)


@pytest.mark.parametrize("sign", [*DURING_EXERCISE, *BESIDE_THEM])
def test_every_warning_sign_is_named_wherever_help_is_asked_for(sign: str) -> None:
    assert sign in URGENT
    assert sign in URGENT_SIGNS.lower()


def test_the_way_out_is_named_and_nothing_is_diagnosed() -> None:
    assert "local emergency number" in URGENT
    assert "local emergency number" in ADVICE[Advice.get_help]
    assert any("not medical advice" in sentence for sentence in CAUTIONS)


def test_wherever_nobody_has_said_anything_yet_the_signs_lead_to_the_call() -> None:
    signs = URGENT_SIGNS[0].lower() + URGENT_SIGNS[1:].removesuffix(".")
    assert URGENT.index(signs) < URGENT.index("emergency number")
