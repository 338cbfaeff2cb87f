"""Amounts that follow the movement that stands in: a hold has seconds, and sides are counted where it has
them."""

from __future__ import annotations

from collections.abc import Callable

from engine.movements.movement import Sides, StartsWith
from engine.plan.plan import LARGEST_DOSE, Dose, DoseCount, DoseUnit, WarmUpItem
from engine.session.choices import Chosen

UNPACED_REPETITION_S = 3
"""A warm-up repetition without a weight. † Our judgement, no source."""


def with_amount(item: WarmUpItem, chosen: Chosen) -> WarmUpItem:
    """An item with the amount for the movement that is done."""
    return item.model_copy(update={"dose": amount_for(item.dose, chosen)})


def amount_for(dose: Dose, chosen: Chosen) -> Dose:
    """The coach's amount, made to fit the movement that stands in; as written where none does. No hold lasts
    longer than it may today.

    It is as much work: 5 a side and 10 in all are the same, and a repetition is 3 s of a hold.
    """
    if chosen.instead_of is not None:
        dose = _with_seconds(_counted(dose, _count_of(chosen)), chosen)
    return _within_hold(dose, chosen)


def practice_amount(dose: Dose, chosen: Chosen) -> Dose:
    """The coach's amount for each movement of a practice, made to fit one of them: its number is for each
    side where the movement has sides, and of a hold it is seconds."""
    count = _count_of(chosen)
    of_each = dose.model_copy(
        update={"count": DoseCount.per_side if count is DoseCount.per_side else DoseCount.total}
    )
    counted = _counted(of_each, count)
    return _within_hold(_with_seconds(counted, chosen), chosen)


def _count_of(chosen: Chosen) -> DoseCount:
    if chosen.sides is not Sides.none:
        return DoseCount.per_side
    return DoseCount.alternating if chosen.alternates else DoseCount.total


def _counted(dose: Dose, count: DoseCount) -> Dose:
    """The same work in another count; what cannot be shared between two sides is rounded up."""
    if count is dose.count:
        return dose
    if count is DoseCount.per_side:
        return _changed(dose, lambda number: -(-number // 2), count=count)
    if dose.count is DoseCount.per_side:
        return _changed(dose, lambda number: number * 2, count=count)
    if count is DoseCount.alternating:
        return _changed(dose, lambda number: number + number % 2, count=count)
    return dose.model_copy(update={"count": count})


def _with_seconds(dose: Dose, chosen: Chosen) -> Dose:
    if chosen.starts_with is not StartsWith.hold or dose.unit is DoseUnit.seconds:
        return dose
    return _changed(dose, lambda number: number * UNPACED_REPETITION_S, unit=DoseUnit.seconds)


def _within_hold(dose: Dose, chosen: Chosen) -> Dose:
    """The dose, or as long as it may be held today."""
    most_s = chosen.most_hold_s
    if most_s is None or dose.unit is not DoseUnit.seconds:
        return dose
    return _changed(dose, lambda number: min(number, most_s))


def _changed(dose: Dose, number: Callable[[int], int], **fields: object) -> Dose:
    low, high = (None if one is None else min(LARGEST_DOSE, number(one)) for one in (dose.low, dose.high))
    return dose.model_copy(update={"low": low, "high": high, **fields})
