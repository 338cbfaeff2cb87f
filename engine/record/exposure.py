"""Exposures: what one session did with one movement, from which the next load is proposed.

An earlier load counts only for the same variant, kit, interval and tempo: the same person lifts less for 60 s
than for 30, and less at a slower tempo.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable, Iterable, Iterator, Sequence
from datetime import date

from pydantic import AwareDatetime

from engine.base.model import Model, Rating, Slug
from engine.movements.movement import Kit, Side
from engine.movements.pain import (
    SWAP_FROM,
    Advice,
    PainKind,
    PainNote,
    advice,
    counts_as_joint,
    is_pain,
    rating_to_spare,
)
from engine.movements.tempo import Tempo, predicted_repetitions
from engine.record.record import Record, SetDone
from engine.record.sets import is_worked
from engine.session.fitted import FittedItem, FittedSession
from engine.session.segment import Kind, Segment

Interval = tuple[str, int, int]
"""A block, a round of it, and a place in the round."""
KITS = {kit.dumbbells: kit for kit in Kit}


class LoadKey(Model):
    """What a load is for. ``interval_ms`` is that of one side where the movement has sides; ``kit`` is what
    is lifted; with ``alternates`` the sides take turns."""

    movement: Slug
    variant: Slug
    kit: Kit
    interval_ms: int
    tempo: Tempo | None = None
    alternates: bool = False

    @property
    def ceiling(self) -> int | None:
        """The most repetitions that the interval has room for; None where the tempo predicts none."""
        if self.tempo is None:
            return None
        return predicted_repetitions(self.interval_ms, self.tempo, alternates=self.alternates)

    def same_variant(self, other: LoadKey) -> bool:
        """Whether both are for one variant and kit; interval and tempo may differ."""
        return (self.movement, self.variant, self.kit) == (other.movement, other.variant, other.kit)


class Exposure(Model):
    """What one session did with one key.

    ``sets`` are those that were really worked, in order. ``rounds_planned`` counts the rounds of this key in
    the session as it was run, re-fits included, and ``intervals_planned`` its intervals: more than one in a
    round where the movement has several places. Those share the key: the lightest load of a round is the
    working load, and a session is clear only where the last round of every place was. ``pain`` is the highest
    rating on the movement, practice included; pain without a number counts as 1, sharp pain and the like as
    at least 3. ``advice`` is the strictest that the rules for pain give.
    """

    key: LoadKey
    record_id: str
    started_at: AwareDatetime
    local_date: date
    sets: tuple[SetDone, ...] = ()
    rounds_planned: int = 0
    intervals_planned: int = 0
    form_kept: bool = True
    range_kept: bool = True
    pain: Rating = 0
    advice: Advice = Advice.go_on

    @property
    def rounds(self) -> tuple[tuple[SetDone, ...], ...]:
        """The sets of each round that was worked, in order."""
        return _grouped(self.sets, lambda done: (done.block, done.round))

    @property
    def intervals(self) -> tuple[tuple[SetDone, ...], ...]:
        """The sets of each interval that was worked, both its sides together, in order."""
        return _grouped(self.sets, lambda done: (done.block, done.round, done.place))

    @property
    def loads_g(self) -> tuple[int, ...] | None:
        """The load of each round, the lighter side's where they differ; None where any load was not said."""
        by_round = [[done.load_g for done in sets] for sets in self.rounds]
        said = [[load_g for load_g in loads if load_g is not None] for loads in by_round]
        return None if said != by_round or not said else tuple(map(min, said))

    @property
    def load_g(self) -> int | None:
        """The working load: that of the last round, of the lighter side."""
        return self.loads_g[-1] if self.loads_g else None

    @property
    def last_round(self) -> tuple[SetDone, ...]:
        """The sets of the last round that was worked, in every place of it; empty where none was."""
        block = self.sets[-1].block if self.sets else None
        latest = {sets[0].place: sets for sets in self.intervals if sets[0].block == block}
        return tuple(done for sets in latest.values() for done in sets)

    @property
    def heavier_sets(self) -> tuple[SetDone, ...]:
        """The sets of other rounds that took more than the working load."""
        last, load_g = self.last_round, self.load_g or 0
        return tuple(done for done in self.sets if done not in last and (done.load_g or 0) > load_g)

    @property
    def variant_kept(self) -> bool:
        return not any(done.easier_variant for done in self.sets)

    @property
    def sound(self) -> bool:
        """Whether position, range and form were as planned and nothing hurt; otherwise a load never rises."""
        quiet = self.pain == 0 and self.advice is Advice.go_on
        return quiet and self.form_kept and self.range_kept and self.variant_kept

    @property
    def hurt_badly(self) -> bool:
        """Whether the movement is to be left out after this pain."""
        return list(Advice).index(self.advice) >= list(Advice).index(Advice.swap_and_leave_out)

    @property
    def is_free_of_pain(self) -> bool:
        """Whether nothing hurt on the movement, then and the morning after."""
        return not self.pain and self.advice is Advice.go_on

    def of_side(self, side: Side) -> tuple[SetDone, ...]:
        return tuple(done for done in self.sets if done.side is side)


def _grouped(sets: Iterable[SetDone], by: Callable[[SetDone], Hashable]) -> tuple[tuple[SetDone, ...], ...]:
    grouped: dict[Hashable, list[SetDone]] = {}
    for done in sets:
        grouped.setdefault(by(done), []).append(done)
    return tuple(map(tuple, grouped.values()))


def exposures_of(record: Record, *, next_morning_pain: int = 0) -> tuple[Exposure, ...]:
    """The exposures of a session as amended, one for each key, in the order of the work.

    A set counts if it was really worked: at least one repetition. A movement on which something hurt has an
    exposure even without a set. A warning sign, and pain that names no movement, count for every movement of
    the session. A position lost in a work interval counts whether or not the log repeats it.
    ``next_morning_pain`` (0–10) is the late answer to the record: above 0, no movement of it went well.
    Easy movement says nothing about any load and has none.
    """
    if record.session.easy_movement:
        return ()
    planned = _planned_intervals(record.session)
    sets_by_key: dict[LoadKey, list[SetDone]] = {key: [] for key in planned}
    for done in filter(is_worked, record.sets):
        sets_by_key.setdefault(_key(done), []).append(done)
    return tuple(
        _exposure(record, key, sets, planned.get(key, frozenset()), least_pain=next_morning_pain)
        for key, sets in sets_by_key.items()
        if sets or _pains(record, key.movement)
    )


def _exposure(
    record: Record, key: LoadKey, sets: Sequence[SetDone], planned: Collection[Interval], *, least_pain: int
) -> Exposure:
    pains = _pains(record, key.movement)
    return Exposure(
        key=key,
        record_id=record.id,
        started_at=record.started_at,
        local_date=record.local_date,
        sets=tuple(sets),
        rounds_planned=_rounds_in(planned),
        intervals_planned=len(planned),
        form_kept=all(done.form_held for done in sets) and key.movement not in _lost(record),
        range_kept=all(done.range_kept for done in sets),
        pain=max((*map(rating_to_spare, pains), least_pain)),
        advice=_strictest(pains),
    )


def _key(done: SetDone) -> LoadKey:
    return LoadKey(
        movement=done.movement,
        variant=done.variant,
        kit=KITS[done.dumbbells],
        interval_ms=done.planned_ms,
        tempo=done.tempo,
        alternates=done.alternates,
    )


def planned_rounds(session: FittedSession) -> dict[LoadKey, int]:
    """The keys of a session's work, in order, and the number of rounds of each; a movement with one key in
    two places of a round counts that round once."""
    return {key: _rounds_in(planned) for key, planned in _planned_intervals(session).items()}


def keys_by_place(session: FittedSession) -> dict[tuple[str, int], LoadKey]:
    """The key of each place of a session's work, by block and place."""
    return {
        (block, place): key
        for key, planned in _planned_intervals(session).items()
        for block, _, place in planned
    }


def planned_work(session: FittedSession) -> Iterator[tuple[LoadKey, FittedItem, int]]:
    """The movements of a session's work in order: key, item and rounds."""
    items = items_by_key(session)
    for key, rounds in planned_rounds(session).items():
        yield key, items[key], rounds


def in_order(exposures: Iterable[Exposure], movement: Slug) -> tuple[Exposure, ...]:
    """The exposures of a movement in every variant, the earliest first, whatever their order was."""
    own = (one for one in exposures if one.key.movement == movement)
    return tuple(sorted(own, key=lambda one: (one.started_at, one.record_id, one.key.model_dump_json())))


def items_by_key(session: FittedSession) -> dict[LoadKey, FittedItem]:
    """What a session's work has for each key: the first of the places that share it."""
    items = {(block.id, item.place): item for block in session.blocks for item in block.items}
    found: dict[LoadKey, FittedItem] = {}
    for where, key in sorted(keys_by_place(session).items(), key=lambda one: one[0][1]):
        found.setdefault(key, items[where])
    return found


def _planned_intervals(session: FittedSession) -> dict[LoadKey, frozenset[Interval]]:
    """The intervals of each key of a session's work, the keys in order."""
    alike: dict[tuple[str, int | None, str | None, int], list[Segment]] = {}
    for segment in session.segments:
        if segment.kind is Kind.work:
            of_place = segment.block, segment.place, segment.movement, segment.planned_ms
            alike.setdefault(of_place, []).append(segment)
    intervals: dict[LoadKey, frozenset[Interval]] = {}
    for segments in alike.values():
        item = session.item(segments[0])
        if item is not None:
            key = _planned_key(item, segments[0].planned_ms)
            found = frozenset((one.block, one.round or 0, item.place) for one in segments)
            intervals[key] = intervals.get(key, frozenset()) | found
    return intervals


def _rounds_in(intervals: Iterable[Interval]) -> int:
    return len({(block, number) for block, number, _ in intervals})


def _planned_key(item: FittedItem, interval_ms: int) -> LoadKey:
    return LoadKey(
        movement=item.chosen.movement,
        variant=item.chosen.variant,
        kit=KITS[item.chosen.dumbbells],
        interval_ms=interval_ms,
        tempo=item.tempo,
        alternates=item.chosen.alternates,
    )


def _pains(record: Record, movement: str) -> list[PainNote]:
    """The notes that count for a movement: those on it or on no movement by name, and every warning sign.

    A note of what was no pain does not count; one that says nothing at all is pain.
    """
    return [
        note
        for note in record.pains
        if note.kind is PainKind.warning_sign or (note.movement in (movement, None) and is_pain(note))
    ]


def _strictest(pains: Iterable[PainNote]) -> Advice:
    """The strictest advice on the notes; a second joint pain counts as pain after the retry."""
    strictest, retried = Advice.go_on, False
    for note in pains:
        strictest = max(strictest, _advice_on(note, retried=retried), key=list(Advice).index)
        retried = retried or counts_as_joint(note)
    return strictest


def _advice_on(note: PainNote, *, retried: bool) -> Advice:
    """The advice on a note; where it says too little for the rules, what its number alone asks for."""
    by_number = Advice.swap_and_leave_out if rating_to_spare(note) >= SWAP_FROM else Advice.retry_unloaded
    return advice(note, retried=retried) or by_number


def _lost(record: Record) -> set[str]:
    """The movements in whose work intervals the position was lost."""
    lost = [record.by_id[loss.segment_id] for loss in record.lost if loss.segment_id in record.by_id]
    return {segment.movement for segment in lost if segment.movement and segment.kind is Kind.work}
