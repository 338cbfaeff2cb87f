"""Trends over the weeks of a page: loads by movement, what the fit gave up, left against right."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import reduce
from statistics import fmean

from engine.base.message import Argument, Count, Message, Seconds, message
from engine.base.model import Model, canonical_json
from engine.base.periods import iso_week
from engine.coach.line import Line, line
from engine.coach.session_report import MovementReport, SessionReport
from engine.load.sides import weaker_side, whole_pairs
from engine.movements.movement import Held, MovementPattern, Side
from engine.movements.terms import named, named_version
from engine.plan.plan import GiveUp
from engine.record.exposure import Exposure, LoadKey
from engine.record.record import SetDone
from engine.record.sets import held_s_of, is_whole, repetitions_of
from engine.record.week import WeekReview, Worked

GIVE_TIME = frozenset[str](GiveUp)
"""Codes of reasons that gave something up to save time."""
NOTHING_GIVEN_UP = frozenset({"below_minimum", "no_more_for_pain", "own_choice_not_used"})
"""Codes of reasons that say how a session came out, not what it gave up."""


class LoadTrend(Model):
    """The heaviest load of one dumbbell in each week, in grams; None for a week without a load."""

    key: LoadKey
    name: str
    variant_name: str
    by_week_g: tuple[int | None, ...]

    @property
    def term(self) -> Argument:
        return named(self.key.movement, self.name)

    @property
    def in_version(self) -> Message:
        version = named_version(self.key.movement, self.key.variant, self.variant_name)
        return message("movement_in_version", movement=self.term, version=version)


class PatternTrend(Model):
    """One movement pattern week by week; the accessories where ``pattern`` is None."""

    pattern: MovementPattern | None
    by_week: tuple[Worked, ...]

    @property
    def total(self) -> Worked:
        return reduce(Worked.plus, self.by_week, Worked())


class GivenUp(Model):
    """What was given up or swapped, in how many sessions, and the seconds that this gave back in all."""

    said: Message
    sessions: int
    seconds: float

    @property
    def line(self) -> Line:
        """In how many sessions, and the time that it gave back in all, where it gave any."""
        sessions, saved = Count(count=self.sessions), Seconds(seconds=self.seconds)
        if not self.seconds:
            return line(message("in_sessions", sessions=sessions), self.said)
        return line(message("saved_in_sessions", sessions=sessions, saved=saved), self.said)


class SideMeans(Model):
    """The means over one side's sets; None where nothing was said, and where a hold has no repetitions."""

    repetitions: float | None
    held_s: float | None
    load_g: float | None
    effort: float | None


class SidesTrend(Model):
    """Left against right in one variant; ``weight`` says how the weight is held that they are named for, None
    where they are named for what works. ``weaker`` counts the sessions in which each side fell behind; a side
    that never did is absent."""

    movement: str
    variant: str
    name: str
    variant_name: str
    weight: Held | None = None
    sessions: int
    left: SideMeans
    right: SideMeans
    weaker: dict[Side, int]

    @property
    def alike(self) -> bool:
        return self.left == self.right

    @property
    def term(self) -> Argument:
        return named(self.movement, self.name)

    @property
    def in_version(self) -> Message:
        version = named_version(self.movement, self.variant, self.variant_name)
        return message("movement_in_version", movement=self.term, version=version)


def pattern_trends(reviews: Sequence[WeekReview]) -> tuple[PatternTrend, ...]:
    """A trend for every pattern that was worked in some week, in their order, then one for accessories."""
    weeks = [{of_one.pattern: of_one for of_one in review.patterns} for review in reviews]
    trends = [
        PatternTrend(pattern=pattern, by_week=tuple(week.get(pattern, Worked()) for week in weeks))
        for pattern in MovementPattern
        if any(pattern in week for week in weeks)
    ]
    accessories = PatternTrend(pattern=None, by_week=tuple(review.accessories for review in reviews))
    return (*trends, accessories) if accessories.total != Worked() else tuple(trends)


def load_trends(sessions: Iterable[SessionReport], weeks: Sequence[str]) -> tuple[LoadTrend, ...]:
    """A trend for every variant, kit, interval and tempo that was loaded, by movement and variant.

    Only sets that were worked to their end count: the weight of one that was skipped or stopped at once says
    nothing.
    """
    heaviest: dict[LoadKey, dict[str, int]] = {}
    known: dict[LoadKey, MovementReport] = {}
    for session in sessions:
        for of_one in session.movements:
            worked = filter(is_whole, of_one.sets_done())
            loads_g = [done.load_g for done in worked if done.load_g is not None]
            if of_one.dumbbells and loads_g:
                in_week = heaviest.setdefault(of_one.key, {})
                week = iso_week(session.local_date)
                in_week[week] = max(in_week.get(week, 0), *loads_g)
                known[of_one.key] = of_one
    trends = (
        LoadTrend(
            key=key,
            name=known[key].name,
            variant_name=known[key].variant_name,
            by_week_g=tuple(in_week.get(week) for week in weeks),
        )
        for key, in_week in heaviest.items()
    )
    return tuple(sorted(trends, key=_in_order))


def _in_order(trend: LoadTrend) -> tuple[object, ...]:
    key = trend.key
    return key.movement, key.variant, key.kit, key.interval_ms, key.tempo or "", key.alternates


def given_up_most(sessions: Iterable[SessionReport]) -> tuple[GivenUp, ...]:
    """What the fit gave up to save time, the most frequent first; among equals, what gave back the most."""
    return _most(sessions, lambda code: code in GIVE_TIME)


def swapped_most(sessions: Iterable[SessionReport]) -> tuple[GivenUp, ...]:
    """What was swapped or left out for a joint, the kit or the room, the most frequent first."""
    return _most(sessions, lambda code: code not in GIVE_TIME | NOTHING_GIVEN_UP)


def _most(sessions: Iterable[SessionReport], counts: Callable[[str], bool]) -> tuple[GivenUp, ...]:
    found: dict[Message, GivenUp] = {}
    for session in sessions:
        for reason in session.reasons:
            if counts(reason.code):
                said = reason.said
                before = found.get(said, GivenUp(said=said, sessions=0, seconds=0))
                found[said] = GivenUp(
                    said=said, sessions=before.sessions + 1, seconds=before.seconds + reason.seconds
                )
    return tuple(
        sorted(found.values(), key=lambda one: (-one.sessions, -one.seconds, canonical_json(one.said)))
    )


def sides_trends(sessions: Iterable[SessionReport]) -> tuple[SidesTrend, ...]:
    """A trend for every variant with rounds whole on both sides: first where a side fell behind, then by
    movement and variant.

    Intervals and tempos of a variant count together.
    """
    of_variant: dict[tuple[str, str, int], list[Exposure]] = {}
    known: dict[tuple[str, str, int], MovementReport] = {}
    for session in sessions:
        for exposure, of_one in zip(session.exposures(), session.movements, strict=True):
            if whole_pairs(exposure):
                variant = (of_one.movement, of_one.variant, of_one.dumbbells)
                of_variant.setdefault(variant, []).append(exposure)
                known[variant] = of_one
    trends = (_sides(known[variant], exposures) for variant, exposures in of_variant.items())
    return tuple(sorted(trends, key=lambda trend: (not trend.weaker, trend.movement, trend.variant)))


def _sides(of_one: MovementReport, exposures: Sequence[Exposure]) -> SidesTrend:
    weaker = [weaker_side(exposure) for exposure in exposures]
    lefts, rights = zip(*(pair for one in exposures for pair in whole_pairs(one)), strict=True)
    return SidesTrend(
        movement=of_one.movement,
        variant=of_one.variant,
        name=of_one.name,
        variant_name=of_one.variant_name,
        weight=of_one.weight,
        sessions=len(exposures),
        left=_means(lefts),
        right=_means(rights),
        weaker={side: weaker.count(side) for side in (Side.left, Side.right) if side in weaker},
    )


def _means(of_side: Sequence[SetDone]) -> SideMeans:
    return SideMeans(
        repetitions=_mean(of_side, repetitions_of),
        held_s=_mean(of_side, held_s_of),
        load_g=_mean(of_side, lambda done: done.load_g),
        effort=_mean(of_side, lambda done: done.effort),
    )


def _mean(sets: Sequence[SetDone], said: Callable[[SetDone], float | None]) -> float | None:
    found = [value for value in map(said, sets) if value is not None]
    return fmean(found) if found else None
