"""Estimates for what no clock runs: items that a person ticks off, and practice by repetitions.

They are as stated or, where it is known, by the person's own pace.
"""

from __future__ import annotations

from engine.base.units import MS_PER_S, ms
from engine.movements.movement import Sides
from engine.movements.tempo import parse_tempo
from engine.plan.plan import Amount, AmountCount, AmountUnit, WarmUpItem
from engine.session.amounts import UNPACED_REPETITION_S
from engine.session.choices import Choices, Chosen
from engine.session.interval import quick_change_ms
from engine.session.pace import item_key

LEAST_REPETITION_S = 2
"""A repetition that is not hurried. † Our judgement, no source."""
STAND_TO_STAND_S = 5
"""From one movement to the next where both are done standing. † Our judgement, no source."""


def warm_up_item_ms(item: WarmUpItem, chosen: Chosen, choices: Choices) -> int:
    """The length of one item of the warm-up, with getting there."""
    if item.estimate_s is not None:
        stated_ms = ms(item.estimate_s)
    else:
        stated_ms = _amount_ms(item.amount) + _getting_there_ms(chosen, choices)
    return choices.pace.length_ms(
        item_key(chosen.movement, item.amount), stated_ms, least_ms=least_ms(item.amount)
    )


def least_ms(amount: Amount) -> int:
    """The shortest time that an amount needs to be done well, both sides included."""
    sides = 2 if amount.count is AmountCount.per_side else 1
    unit_s = 1 if amount.unit is AmountUnit.seconds else LEAST_REPETITION_S
    return amount.low * sides * unit_s * MS_PER_S


def _amount_ms(amount: Amount) -> int:
    """The length of an amount in the middle of its range, both sides included."""
    doubled_middle = (amount.low + amount.most) * (2 if amount.count is AmountCount.per_side else 1)
    unit_s = 1 if amount.unit is AmountUnit.seconds else UNPACED_REPETITION_S
    return doubled_middle * unit_s * MS_PER_S // 2


def _getting_there_ms(chosen: Chosen, choices: Choices) -> int:
    return ms(choices.to_floor_s if chosen.on_floor else STAND_TO_STAND_S)


def repetitions_ms(amount: Amount, chosen: Chosen, tempo: str | None, choices: Choices) -> int:
    """The stated length of practice by repetitions: each side, the change between them, and getting there.

    ``amount`` is ``practice_amount``. Without a tempo that has a length, a repetition counts as one of a
    warm-up.
    """
    paced_ms = parse_tempo(tempo).repetition_ms if tempo is not None else None
    each_ms = paced_ms or UNPACED_REPETITION_S * MS_PER_S
    if amount.unit is AmountUnit.seconds:
        each_ms = MS_PER_S
    one_side_ms = (amount.low + amount.most) * each_ms // 2
    if chosen.sides is Sides.none:
        return one_side_ms + _getting_there_ms(chosen, choices)
    return 2 * one_side_ms + quick_change_ms(chosen) + _getting_there_ms(chosen, choices)
