"""A person's own pace in what no clock runs: how long they take for a ticked item, compared with its
estimate.

The estimator works on logarithms of ratios, time taken over time stated, so that half as long and twice as
long weigh the same:

    usual = w(n) · median of all, within USUAL_BOUND either way
    item  = usual + w(n − 1) · (median of the item's − usual), within ITEM_BOUND of usual
    w(n)  = n / (n + PRIOR_DAYS), n the number of days with such ticks

Without records both are 0, and the stated estimate counts. A day is one observation, however much was ticked
on it: one hurried warm-up says little of the pace, and nothing yet of a single item. The median's breakdown
point is one half: while fewer than half of the ticks are spoiled, by a phone call or a double tick, it lies
among the sound ones. Beyond that the bounds still hold. No factor is below 1/3 or above 3. The order of the
ticks does not matter.

The median and its breakdown point: Huber & Ronchetti 2009, Robust Statistics, 2nd ed. (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from math import ceil, exp, log
from statistics import median
from typing import Annotated

from pydantic import AwareDatetime, Field, PositiveInt

from engine.base.model import Model
from engine.base.units import MS_PER_S
from engine.plan.plan import Amount

PRIOR_DAYS = 1
"""How many days the prior knowledge weighs as much as: the stated estimates for the usual pace, the usual
pace for an item. † Our judgement, no source."""
USUAL_BOUND = log(2)
"""Nobody counts as more than twice as fast or slow as stated. † Our judgement, no source."""
ITEM_BOUND = log(1.5)
"""No item counts as further than this from the person's usual pace. † Our judgement, no source."""
AS_STATED = 1_000

Permille = Annotated[int, Field(ge=1, le=10_000)]


class TickedItem(Model):
    """One item that a person did to its end and ticked off.

    ``taken_ms`` is without pauses. ``stated_ms`` is the estimate without anything learned. ``item`` is its
    ``item_key``. It was ``sound`` where nothing hurt in it and the position was kept.
    """

    at: AwareDatetime
    item: str
    stated_ms: PositiveInt
    taken_ms: PositiveInt
    sound: bool = True


class PersonalPace(Model):
    """How long a person takes, in thousandths of what is stated.

    ``items`` has the pace of some items by their key; ``usual`` is for all others.
    """

    usual: Permille = AS_STATED
    items: tuple[tuple[str, Permille], ...] = ()

    def permille(self, item: str) -> int:
        """The pace for an item, by its key, in thousandths of what is stated."""
        return dict(self.items).get(item, self.usual)

    def length_ms(self, item: str, stated_ms: int, *, least_ms: int = 0) -> int:
        """The length to plan, in whole seconds; exactly as stated where no other pace is known.

        It is never below ``least_ms``, which the amount needs, unless it is stated so.
        """
        permille = self.permille(item)
        if permille == AS_STATED:
            return stated_ms
        own_s = max(1, round(stated_ms * permille / AS_STATED / MS_PER_S))
        return max(own_s, ceil(min(stated_ms, least_ms) / MS_PER_S)) * MS_PER_S

    def stated_ms(self, item: str, planned_ms: int) -> int:
        """The stated length of what was planned at this pace, as exactly as its rounding allows."""
        return max(1, round(planned_ms * AS_STATED / self.permille(item)))

    def of_movements(self, movements: Iterable[str]) -> PersonalPace:
        """The same pace with only the items of these movements."""
        kept = set(movements)
        return self.model_copy(update={"items": tuple(i for i in self.items if i[0].split(":")[0] in kept)})


def item_key(movement: str, amount: Amount) -> str:
    """The key of a movement and its amount. Both sides have the same one, so that they stay equal."""
    return f"{movement}:{amount.low}-{amount.most}:{amount.unit}:{amount.count}"


def personal_pace(ticked: Iterable[TickedItem]) -> PersonalPace:
    """The pace learned from ticked items in any order."""
    by_item: dict[str, list[tuple[date, float]]] = {}
    for one in ticked:
        by_item.setdefault(one.item, []).append((one.at.date(), log(one.taken_ms / one.stated_ms)))
    usual = _shrunk([one for ratios in by_item.values() for one in ratios], USUAL_BOUND)
    items = {
        item: usual + _shrunk([(day, one - usual) for day, one in ratios], ITEM_BOUND, without_days=1)
        for item, ratios in by_item.items()
    }
    return PersonalPace(
        usual=_permille(usual), items=tuple((item, _permille(items[item])) for item in sorted(items))
    )


def _shrunk(ratios: Sequence[tuple[date, float]], bound: float, *, without_days: int = 0) -> float:
    """The median of log ratios, within the bound, drawn towards 0 where they are of few days.

    ``without_days`` of them do not count.
    """
    if not ratios:
        return 0.0
    days = len({day for day, _ in ratios}) - without_days
    certainty = days / (days + PRIOR_DAYS)
    return certainty * max(-bound, min(bound, median(ratio for _, ratio in ratios)))


def _permille(log_ratio: float) -> int:
    return round(exp(log_ratio) * AS_STATED)
