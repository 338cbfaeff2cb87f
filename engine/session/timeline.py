"""From a plan and the choices made for one person to segments in integer milliseconds.

Segments follow each other without gaps. Each is ``[start, end)``, and its start is the sum of the lengths
before it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from engine.base.units import ms
from engine.plan.plan import Block, SessionPlan
from engine.session.block_parts import Part, parts_of
from engine.session.choices import Choices, ChosenByBlock
from engine.session.segment import Kind, Pace, Segment, segment_id

LEAD_IN_S = 10
"""Before the first clocked interval of a block, within the change of block. † Our judgement, no source."""


def joined(plan: SessionPlan, blocks: Iterable[tuple[Segment, ...]]) -> tuple[Segment, ...]:
    """The segments of a session: its blocks with the ways into them. A block without segments drops out."""
    session: list[Segment] = []
    for segments in filter(None, blocks):
        session.extend(_way_into(plan, segments, first=not session))
        session.extend(segments)
    return tuple(session)


def _way_into(plan: SessionPlan, segments: tuple[Segment, ...], *, first: bool) -> Iterator[Segment]:
    """The change of block, which ends with the lead-in where the block starts on the clock."""
    head = segments[0]
    change_ms = 0 if first else ms(plan.transition_s)
    lead_in_ms = ms(LEAD_IN_S) if first else min(ms(LEAD_IN_S), change_ms)
    if head.pace is not Pace.clock:
        lead_in_ms = 0
    if change_ms > lead_in_ms:
        yield _segment(Part(head.block, Kind.transition, change_ms - lead_in_ms, None))
    if lead_in_ms:
        lead_in = {"id": f"{head.block}:get-ready", "kind": Kind.get_ready, "planned_ms": lead_in_ms}
        yield head.model_copy(update={**lead_in, "round": None})


def block_segments(
    plan: SessionPlan, block: Block, choices: Choices, movements: ChosenByBlock
) -> tuple[Segment, ...]:
    """The segments of one block without the way into it."""
    return tuple(_segment(part) for part in parts_of(plan, block, choices, movements))


def _segment(part: Part) -> Segment:
    chosen = part.chosen
    movement = chosen.movement if chosen else None
    return Segment(
        id=segment_id(part.block, part.round, part.place, movement, part.side, part.kind),
        block=part.block,
        round=part.round,
        place=part.place,
        movement=movement,
        variant=chosen.variant if chosen else None,
        side=part.side,
        kind=part.kind,
        pace=part.pace,
        planned_ms=part.planned_ms,
    )


class BlockLength(NamedTuple):
    """The length of a block with one round, what each further round adds, and whether it starts on the
    clock."""

    once_ms: int
    again_ms: int
    clocked: bool


def block_length(
    plan: SessionPlan, block: Block, choices: Choices, movements: ChosenByBlock
) -> BlockLength | None:
    """The length of a block, whatever its rounds; None where nothing of it is left.

    ``choices`` give two rounds to every block that has rounds: the first shows what a round costs that
    another follows, the second what the last round costs.
    """
    lengths, clocked = {1: 0, 2: 0}, None
    for part in parts_of(plan, block, choices, movements):
        lengths[part.round or 2] += part.planned_ms
        clocked = part.pace is Pace.clock if clocked is None else clocked
    return None if clocked is None else BlockLength(lengths[2], lengths[1], clocked)
