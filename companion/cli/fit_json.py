"""The answer of ``companion fit --json``: one object, with durations in seconds.

In a block, ``work_s`` and ``rest_s`` are one interval and one rest as fitted, or null where the block does
not run by the clock. ``side_change_s`` is one change of sides, 0 where nothing changes sides. ``round_s`` is
one round with the rest after each of its movements. ``block_s`` is the block without lead-in, change of
block, and rest after its last interval. In a movement, ``side_s`` is what each side works by the clock, null
where it has no sides or runs by itself; ``starting_g`` is what the coach starts people with, in grams of one
dumbbell, or null. At the top, ``work_s``, ``rest_s`` and ``side_change_s`` are those of the first work block.
A reason has the code and the arguments of its message, and its ``text`` in the language that was asked for,
as ``amount``, ``label``, ``buys`` and ``stop_rules`` are; where it is limited to one block, ``block`` is
among the arguments.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from companion.style.words import amount_words
from companion.words.saying import own, said, say, words_here
from engine.base.model import JsonObject
from engine.base.units import seconds
from engine.fit.alternatives import Alternative
from engine.fit.offer import Offer
from engine.movements.movement import Side
from engine.plan.plan import Block, PracticeBlock, PracticeKind, SessionPlan, WarmUpBlock, WorkBlock
from engine.session.choices import ChosenByBlock
from engine.session.fitted import FittedBlock, FittedItem, FittedSession
from engine.session.reason import Reason
from engine.session.segment import Kind, Segment, total_ms
from engine.session.timeline import block_segments

_WAY_IN = frozenset({Kind.transition, Kind.get_ready})


def answer(plan: SessionPlan, offered: Offer, session: FittedSession) -> JsonObject:
    """The answer to a fit that found a session."""
    movements = offered.choice.by_block
    present = {block.id for block in session.blocks}
    blocks = [_block(plan, b, session, movements) for b in plan.blocks if b.id in present]
    first_work = next(block for block in blocks if block["kind"] == "work")
    return {
        "total_s": seconds(session.total_ms),
        "below_minimum": session.below_minimum,
        "rounds": session.rounds(),
        "warm_up_rounds": session.warm_up_rounds(),
        "practice": practice_kind(session),
        "work_s": first_work["work_s"],
        "rest_s": first_work["rest_s"],
        "side_change_s": first_work["side_change_s"],
        "reasons": _reasons(session.reasons),
        "alternatives": [_alternative(one) for one in offered.alternatives],
        "more_minutes": [
            {"minutes": one.minutes, "buys": said(one.buys)} for one in offered.more_minutes if one.buys
        ],
        "blocks": blocks,
        "movements": list(_movements(session)),
        "timeline": list(_timeline(session.segments)),
    }


def practice_kind(session: FittedSession) -> PracticeKind:
    """The kind of the session's first practice; skipped where it has none."""
    practised = (block.id for block in session.blocks if block.kind == "practice")
    return next((session.choices.practice[block] for block in practised), PracticeKind.skipped)


def _reasons(reasons: Iterable[Reason]) -> list[JsonObject]:
    return [
        {
            "code": one.code,
            "arguments": one.message.model_dump(mode="json", exclude_defaults=True).get("arguments", {})
            | ({} if one.block is None else {"block": {"count": one.block}}),
            "text": said(one.said),
            "seconds": one.seconds,
        }
        for one in reasons
    ]


def _alternative(alternative: Alternative) -> JsonObject:
    session = alternative.session
    return {
        "label": said(alternative.label),
        "total_s": seconds(session.total_ms),
        "rounds": session.rounds(),
        "warm_up_rounds": session.warm_up_rounds(),
        "practice": practice_kind(session),
        "below_minimum": session.below_minimum,
        "reasons": _reasons(session.reasons),
    }


def _block(plan: SessionPlan, block: Block, session: FittedSession, movements: ChosenByBlock) -> JsonObject:
    own = [s for s in session.segments if s.block == block.id and s.kind not in _WAY_IN]
    work_s, rest_s = _clock_s(block, session)
    changes = [s.planned_ms for s in own if s.kind is Kind.side_change]
    return {
        "id": block.id,
        "kind": block.kind,
        "rounds": session.choices.rounds.get(block.id, 1),
        "round_s": seconds(round_ms(plan, block, session, movements)),
        "block_s": seconds(total_ms(own)),
        "work_s": work_s,
        "rest_s": rest_s,
        "side_change_s": seconds(max(changes, default=0)),
    }


def round_ms(plan: SessionPlan, block: Block, session: FittedSession, movements: ChosenByBlock) -> int:
    """One round with the rest after each movement: the first of two, as the last has no rest at its end."""
    if not isinstance(block, WarmUpBlock | WorkBlock):
        return total_ms(block_segments(plan, block, session.choices, movements))
    twice = session.choices.model_copy(update={"rounds": session.choices.rounds | {block.id: 2}})
    return total_ms(s for s in block_segments(plan, block, twice, movements) if s.round == 1)


def _clock_s(block: Block, session: FittedSession) -> tuple[int | None, int | None]:
    """One interval and one rest of a block as fitted; None where it does not run by the clock."""
    choices = session.choices
    match block:
        case WorkBlock():
            work_s = min(block.work_s, choices.work_s.get(block.id, block.work_s))
            return work_s, min(block.rest_s, choices.rest_s.get(block.id, block.rest_s))
        case PracticeBlock() if choices.practice[block.id] is PracticeKind.timed and block.timed:
            return block.timed.work_s, block.timed.rest_s
    return None, None


def _movements(session: FittedSession) -> Iterator[JsonObject]:
    """The movements of warm-up, work and cool-down, in order, each as this person does it."""
    for block in session.blocks:
        for item in block.items if block.kind != "practice" else ():
            once = _once(session, block, item)
            sides_ms = [s.planned_ms for s in once if s.side in (Side.left, Side.right)]
            yield {
                "slug": item.chosen.movement,
                "variant": item.chosen.variant,
                "amount": amount_words(item.amount) if item.amount else _time_words(once, sides_ms),
                "side_s": seconds(sides_ms[0]) if sides_ms and not item.amount else None,
                "stop_rules": [own(rule) for rule in item.chosen.stop_rules],
                "starting_g": item.starting_g,
            }


def _once(session: FittedSession, block: FittedBlock, item: FittedItem) -> list[Segment]:
    """The intervals of a movement in the first round of a block."""
    own = [
        one
        for one in session.segments
        if (one.block, one.place, one.movement) == (block.id, item.place, item.chosen.movement)
        and one.kind in (Kind.work, Kind.cool_down)
    ]
    return [one for one in own if one.round == own[0].round]


def _time_words(once: Sequence[Segment], sides_ms: Sequence[int]) -> str:
    """“60 s”, “27.5 s a side”."""
    length_ms = sides_ms[0] if sides_ms else total_ms(once)
    length = words_here().length(seconds(length_ms), "seconds")
    return say("{length} a side", length=length) if sides_ms else length


def _timeline(segments: Iterable[Segment]) -> Iterator[JsonObject]:
    start_ms = 0
    for segment in segments:
        end_ms = start_ms + segment.planned_ms
        yield {
            "start_s": seconds(start_ms),
            "end_s": seconds(end_ms),
            "kind": segment.kind,
            "movement": segment.movement,
            "side": segment.side,
            "round": segment.round,
            "place": segment.place,
            "block": segment.block,
            "pace": segment.pace,
        }
        start_ms = end_ms
