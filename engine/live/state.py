"""Where a live session stands: the position computed from anchors, and what became of every segment.

Session time is in milliseconds of the monotonic clock since the start, pauses included.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import AwareDatetime

from engine.base.model import Model, Sentence, Slug
from engine.live.events import Ending
from engine.movements.pain import PainNote
from engine.session.fitted import FittedSession
from engine.session.segment import BETWEEN, Chosen, Pace, Segment, are_one_interval
from engine.session.timed_hold import ONE_PIECE, HoldPattern, dose_to_hold_ms, pattern_of


class Status(StrEnum):
    ready = "ready"
    running = "running"
    paused = "paused"
    ended = "ended"


class Outcome(StrEnum):
    done = "done"
    partly = "partly"
    skipped = "skipped"


class Done(Model):
    """What became of one segment; going back makes a second entry. Times in ms, ``worked_ms`` without
    pauses."""

    segment_id: str
    started_ms: int
    worked_ms: int
    outcome: Outcome


class LostPosition(Model):
    session_ms: int
    segment_id: str


class Change(Model):
    """A re-fit of what was to come, in the sentence the person saw."""

    session_ms: int
    said: Sentence


class RunState(Model):
    """Where a live session stands.

    ``elapsed_ms`` counts up to ``since_ms``; while time runs in the segment, the time since is added to it.
    ``extra_ms`` is rest added to the current segment. ``holding`` is true while a self-paced hold is timed;
    its time is banked in ``banked_ms``, and ``broken_ms`` are the pieces that were broken off; on the
    ``other_side`` it began by itself. ``segments`` are what is run, re-fits included; ``taken_out`` were
    begun before a re-fit took them out; ``before_refit`` is what the last re-fit changed, where it can be
    taken back. ``finish_at`` is a promise made anew on the way, ``loads_g`` the load found for a movement.
    """

    session: FittedSession
    segments: tuple[Segment, ...]
    taken_out: tuple[Segment, ...] = ()
    before_refit: tuple[Segment, ...] = ()
    status: Status = Status.ready
    index: int = 0
    entered_ms: int = 0
    since_ms: int = 0
    elapsed_ms: int = 0
    extra_ms: int = 0
    holding: bool = False
    other_side: bool = False
    banked_ms: int = 0
    broken_ms: tuple[int, ...] = ()
    at_ms: int = 0
    paused_ms: int = 0
    away_ms: int = 0
    done: tuple[Done, ...] = ()
    pains: tuple[PainNote, ...] = ()
    lost: tuple[LostPosition, ...] = ()
    loads_g: dict[Slug, int] = {}
    changes: tuple[Change, ...] = ()
    finish_at: AwareDatetime | None = None
    finish_released: bool = False
    ending: Ending | None = None
    seq: int = 0

    @property
    def current(self) -> Segment | None:
        """The segment that is on, or None when the session is over."""
        return self.segments[self.index] if self.index < len(self.segments) else None

    @property
    def coming(self) -> tuple[Segment, ...]:
        return self.segments[self.index + 1 :]

    @property
    def by_id(self) -> dict[str, Segment]:
        """Every segment that was or will be run."""
        return {segment.id: segment for segment in (*self.taken_out, *self.segments)}

    @property
    def in_hand(self) -> Segment | None:
        """The segment of the movement the body is on: in a rest or a change of block, the one just left."""
        back = self.segments[: self.index + 1][::-1]
        return next((segment for segment in back if segment.kind not in BETWEEN), self.current)

    def leads_to(self, index: int) -> Chosen | None:
        """The movement of a segment; of a rest or a change of block, the one that follows."""
        onward = self.segments[index:]
        segment = next((s for s in onward if s.kind not in BETWEEN), None)
        return self.session.chosen(segment) if segment is not None else None

    @property
    def interval_start(self) -> int:
        """The index at which the interval that is on begins: the first of its sides."""
        index = self.index
        while index > 0 and are_one_interval(self.segments[index - 1], self.segments[self.index]):
            index -= 1
        return index

    @property
    def interval_end(self) -> int:
        """The index behind the interval that is on: both sides and the change between them."""
        current, index = self.segments[self.index], self.index + 1
        while index < len(self.segments) and are_one_interval(current, self.segments[index]):
            index += 1
        return index

    def elapsed_at(self, session_ms: int) -> int:
        """Time spent in the current segment at a moment not before the last event."""
        running = self.status is Status.running
        return self.elapsed_ms + (max(0, session_ms - self.since_ms) if running else 0)

    def banked_at(self, session_ms: int) -> int:
        """Time held in good position in the current segment."""
        if not self.holding or self.status is not Status.running:
            return self.banked_ms
        since_ms, pattern = max(0, session_ms - self.since_ms), self.hold_pattern
        left_ms = self.hold_left_ms
        return self.banked_ms + (since_ms if left_ms is None else pattern.held_ms(since_ms, left_ms))

    @property
    def hold_pattern(self) -> HoldPattern:
        """How the hold that is on runs."""
        item = self.session.item(self.current) if self.current is not None else None
        return ONE_PIECE if item is None else pattern_of(item, other_side=self.other_side)

    @property
    def hold_left_ms(self) -> int | None:
        """What is still to be held of the dose at the last event; None where there is no dose of seconds."""
        dose_ms = dose_to_hold_ms(self.session.item(self.current)) if self.current is not None else None
        return None if dose_ms is None else max(0, dose_ms - self.banked_ms)

    def goes_on_by_itself(self, index: int) -> bool:
        """Whether a hold leads to the same hold on the other side without a tap: the hands are not free."""
        if index + 1 >= len(self.segments):
            return False
        one, other = self.segments[index], self.segments[index + 1]
        item = self.session.item(one)
        same = (one.block, one.round, one.movement, one.kind) == (
            other.block,
            other.round,
            other.movement,
            other.kind,
        )
        return same and dose_to_hold_ms(item) is not None and item is not None and item.chosen.hands_bear

    @property
    def ends_at_ms(self) -> int | None:
        """When the current segment ends by time alone; None where it waits for the person."""
        if self.current is None or self.status is not Status.running:
            return None
        if self.current.pace is Pace.clock:
            return self.since_ms + self.current.planned_ms + self.extra_ms - self.elapsed_ms
        left_ms = self.hold_left_ms if self.holding else None
        return None if left_ms is None else self.since_ms + self.hold_pattern.ends_after_ms(left_ms)

    def remaining_at(self, session_ms: int) -> int:
        """Time left of the current segment; of a self-paced one, by its estimate, never below 0."""
        if self.current is None:
            return 0
        return max(0, self.current.planned_ms + self.extra_ms - self.elapsed_at(session_ms))

    def remaining_session_at(self, session_ms: int) -> int:
        """Time left of the whole session, self-paced parts by their estimates."""
        return self.remaining_at(session_ms) + sum(segment.planned_ms for segment in self.coming)
