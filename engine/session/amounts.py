"""Amounts that follow the movement that stands in: a hold has seconds, and sides are counted where it has
them."""

from __future__ import annotations

from collections.abc import Callable

from engine.movements.movement import Sides, StartsWith
from engine.plan.plan import LARGEST_AMOUNT, Amount, AmountCount, AmountUnit, WarmUpItem
from engine.session.choices import Chosen

UNPACED_REPETITION_S = 3
"""A warm-up repetition without a weight. † Our judgement, no source."""


def with_amount(item: WarmUpItem, chosen: Chosen) -> WarmUpItem:
    """An item with the amount for the movement that is done."""
    return item.model_copy(update={"amount": amount_for(item.amount, chosen)})


def amount_for(amount: Amount, chosen: Chosen) -> Amount:
    """The coach's amount, made to fit the movement that stands in; as written where none does. No hold lasts
    longer than it may today.

    It is as much work: 5 a side and 10 in all are the same, and a repetition is 3 s of a hold.
    """
    if chosen.instead_of is not None:
        amount = _with_seconds(_counted(amount, _count_of(chosen)), chosen)
    return _within_hold(amount, chosen)


def practice_amount(amount: Amount, chosen: Chosen) -> Amount:
    """The coach's amount for each movement of a practice, made to fit one of them: its number is for each
    side where the movement has sides, and of a hold it is seconds."""
    count = _count_of(chosen)
    of_each = amount.model_copy(
        update={"count": AmountCount.per_side if count is AmountCount.per_side else AmountCount.total}
    )
    counted = _counted(of_each, count)
    return _within_hold(_with_seconds(counted, chosen), chosen)


def _count_of(chosen: Chosen) -> AmountCount:
    if chosen.sides is not Sides.none:
        return AmountCount.per_side
    return AmountCount.alternating if chosen.alternates else AmountCount.total


def _counted(amount: Amount, count: AmountCount) -> Amount:
    """The same work in another count; what cannot be shared between two sides is rounded up."""
    if count is amount.count:
        return amount
    if count is AmountCount.per_side:
        return _changed(amount, lambda number: -(-number // 2), count=count)
    if amount.count is AmountCount.per_side:
        return _changed(amount, lambda number: number * 2, count=count)
    if count is AmountCount.alternating:
        return _changed(amount, lambda number: number + number % 2, count=count)
    return amount.model_copy(update={"count": count})


def _with_seconds(amount: Amount, chosen: Chosen) -> Amount:
    if chosen.starts_with is not StartsWith.hold or amount.unit is AmountUnit.seconds:
        return amount
    return _changed(amount, lambda number: number * UNPACED_REPETITION_S, unit=AmountUnit.seconds)


def _within_hold(amount: Amount, chosen: Chosen) -> Amount:
    """The amount, or as long as it may be held today."""
    most_s = chosen.most_hold_s
    if most_s is None or amount.unit is not AmountUnit.seconds:
        return amount
    return _changed(amount, lambda number: min(number, most_s))


def _changed(amount: Amount, number: Callable[[int], int], **fields: object) -> Amount:
    low, high = (
        None if one is None else min(LARGEST_AMOUNT, number(one)) for one in (amount.low, amount.high)
    )
    return amount.model_copy(update={"low": low, "high": high, **fields})
