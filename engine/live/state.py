"""A running session as data: which segment it is in, since when, and what became of each segment.

Session time is in milliseconds of the monotonic clock since the start, pauses included. Nothing here is
counted down: ``timing`` computes every time from the anchor and a moment.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import AwareDatetime

from engine.base.model import Model, Slug
from engine.live.events import Ending, Said
from engine.movements.pain import PainNote
from engine.session.choices import Chosen
from engine.session.fitted import FittedSession
from engine.session.segment import BETWEEN, Segment, ahead, are_one_interval


class Status(StrEnum):
    ready = "ready"
    running = "running"
    paused = "paused"
    ended = "ended"


class Outcome(StrEnum):
    """``partly``: left before its end, after some time in it."""

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
    """When the position was lost, and in which segment."""

    session_ms: int
    segment_id: str


class Change(Model):
    """A re-fit of what was still to come, as the person was told."""

    session_ms: int
    said: Said


class Anchor(Model):
    """The time of the current segment at the last event.

    The segment was entered at ``entered_ms``. By ``since_ms`` it had run for ``elapsed_ms`` without pauses;
    while the session runs, the time since then is added. ``extra_ms`` of rest were added to the segment.

    ``back_ms`` is when the person came back from a pause in it, None once that is settled. From then to
    ``since_ms`` is a lead-in, with ``light_first`` for a few light repetitions too. ``away_ms`` is how long
    the process was gone during the pause.
    """

    entered_ms: int = 0
    since_ms: int = 0
    elapsed_ms: int = 0
    extra_ms: int = 0
    back_ms: int | None = None
    light_first: bool = False
    away_ms: int = 0


class Hold(Model):
    """The timed hold of the current segment at the last event.

    While it is ``running``, the time since the anchor is added to ``banked_ms``, the time in good position.
    ``broken_ms`` are the lengths of the pieces that were broken off. On the ``other_side`` it started by
    itself. It ``waits`` where a pause stopped it, and goes on by itself after the pause.
    """

    running: bool = False
    other_side: bool = False
    waits: bool = False
    banked_ms: int = 0
    broken_ms: tuple[int, ...] = ()


class Attempt(Model):
    """What is done without weight after pain: the tries, and movements that entered since.

    ``segment_id`` is tried now or next. ``asks_number`` says that the number at the end of a try is still to
    be given. ``unloaded`` are the ids of all segments without weight, ``entered`` the movements that came in
    once a joint had hurt.
    """

    segment_id: str | None = None
    asks_number: bool = False
    unloaded: tuple[str, ...] = ()
    entered: tuple[Slug, ...] = ()


class RunState(Model):
    """A live session after an event.

    ``segments`` are those that are run, re-fits included, and ``index`` is the current one. A re-fit took the
    segments in ``taken_out`` out after they were begun; ``before_refit`` is what the last re-fit changed,
    where that can be taken back. ``at_ms`` is the moment the state is computed for. ``finish_at`` is a new
    promised finish, None while the first promise stays; once ``finish_released``, none is kept. ``loads_g``
    are loads found on the way, the latest last: by movement, or by block, place and movement where they are
    for one place of several; ``lifted_g`` are those of the sets done so far, by segment. ``telling`` is
    a pain note that is still being answered. ``seq`` is the number of the last event.
    """

    session: FittedSession
    segments: tuple[Segment, ...]
    taken_out: tuple[Segment, ...] = ()
    before_refit: tuple[Segment, ...] = ()
    status: Status = Status.ready
    index: int = 0
    anchor: Anchor = Anchor()
    hold: Hold = Hold()
    at_ms: int = 0
    paused_ms: int = 0
    away_ms: int = 0
    done: tuple[Done, ...] = ()
    pains: tuple[PainNote, ...] = ()
    telling: PainNote | None = None
    lost: tuple[LostPosition, ...] = ()
    loads_g: dict[str, int] = {}
    lifted_g: dict[str, int] = {}
    attempt: Attempt = Attempt()
    changes: tuple[Change, ...] = ()
    finish_at: AwareDatetime | None = None
    finish_released: bool = False
    ending: Ending | None = None
    seq: int = 0

    @property
    def current(self) -> Segment | None:
        """The current segment, or None when the session is over."""
        return self.segments[self.index] if self.index < len(self.segments) else None

    @property
    def in_interval(self) -> bool:
        """Whether the person is in an interval, not in a rest, a lead-in or a change of block."""
        return self.current is not None and self.current.kind not in BETWEEN

    @property
    def coming(self) -> tuple[Segment, ...]:
        """Every segment after the current one."""
        return self.segments[self.index + 1 :]

    @property
    def by_id(self) -> dict[str, Segment]:
        """Every segment that was or will be run."""
        return {segment.id: segment for segment in (*self.taken_out, *self.segments)}

    @property
    def in_hand(self) -> Segment | None:
        """The segment of the movement the person is busy with: in a rest or a change of block, the one just
        left."""
        back = self.segments[: self.index + 1][::-1]
        return next((segment for segment in back if segment.kind not in BETWEEN), self.current)

    @property
    def interval(self) -> slice:
        """The indexes of the current interval: both sides and the change between them."""
        current, start, end = self.segments[self.index], self.index, self.index + 1
        while start > 0 and are_one_interval(self.segments[start - 1], current):
            start -= 1
        while end < len(self.segments) and are_one_interval(current, self.segments[end]):
            end += 1
        return slice(start, end)

    def leads_to(self, index: int) -> Chosen | None:
        """The movement of a segment; of a rest or a change of block, the one that follows."""
        segment = ahead(self.segments, index)
        return self.session.chosen(segment) if segment is not None else None
