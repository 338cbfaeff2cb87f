"""Swaps movements while a session runs: after pain, for want of equipment, or for an easier variant.

After pain the movement leaves the rest of the session, and every other coming movement that stresses the
joint gives way to one of the same pattern or region that spares it. The current segment is never touched. An
easier variant, and what is done without missing equipment, are about the movement that comes, in an interval
about the current one. Into easy movement nothing comes but easy movements.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import takewhile

from engine.base.message import Message, message
from engine.fit.replace import easier_for, substitute_for
from engine.live.events import AddedItem, Said
from engine.live.remainder import Ahead, Refit, interval_of, replaced, without
from engine.live.state import RunState
from engine.live.timing import remaining_at
from engine.movements.easy import easy_movements
from engine.movements.movement import Equipment, Movement
from engine.movements.pain import PainNote, counts_as_joint, is_pain, rating_to_spare
from engine.movements.room import Room, SoreJoint
from engine.movements.terms import equipment_term, joint_term
from engine.session.amounts import amount_for
from engine.session.choices import Chosen
from engine.session.fitted import FittedBlock, FittedItem
from engine.session.segment import BETWEEN, Kind, Pace, Segment, ahead, total_ms
from engine.session.terms import chosen_term

BlockMovement = tuple[str, str]
"""A block's id and a movement in it."""
Swaps = Mapping[BlockMovement, Chosen | None]
"""What replaces each movement; None where it is left out."""
READY_MS = 10_000
"""To get into position for another movement. † Our judgement, no source."""


def swap_after_pain(state: RunState, note: PainNote, known: Mapping[str, Movement]) -> Refit:
    """The rest of the session without the movement that hurt, and with the joint spared in every other one.

    Each gives way to another of the same pattern or region that spares the joint, or is left out where there
    is none. What is left of an interval that hurt is left out too. Nothing is cut for the promised finish,
    which pain releases. ``known`` are the movements of the plan and the library by slug.
    """
    assert state.current is not None
    known = _for_session(state, known)
    ahead = Ahead(state, state.current)
    hurts_now = state.current.movement == note.movement and state.current.kind not in BETWEEN
    kept = () if hurts_now else ahead.rest_of_interval
    last = (state.current, *kept)[-1]
    swaps = dict(_swaps(state, ahead.later, _room(state, note), known, hurting=note.movement))
    return Refit(
        segments=(*kept, *_later_swapped(ahead, last, swaps)),
        items=_added_items(state, swaps),
        said=_told_after_pain(state, swaps, note),
    )


def swap_without(state: RunState, missing: Equipment, known: Mapping[str, Movement]) -> Refit:
    """The rest of the session, the current interval included, without equipment that is missing after all.

    Each movement that needs it gives way to another of the same pattern or region, or is left out where there
    is none. A current interval that needs it starts again in the new movement: skip the current segment then.
    """
    current, known = state.current, _for_session(state, known)
    assert current is not None
    room = _room(state)
    room = room.model_copy(update={"without": (*room.without, missing)})
    swaps = dict(_swaps(state, (current, *state.coming), room, known))
    ahead, instead = Ahead(state, current), swaps.get((current.block, current.movement or ""))
    again = () if instead is None or current.kind in BETWEEN else tuple(_restarted(state, current, instead))
    kept = () if (current.block, current.movement) in swaps else ahead.rest_of_interval
    later = _later_swapped(ahead, (current, *again, *kept)[-1], swaps)
    return Refit(
        segments=(*again, *kept, *_with_time_to_get_ready(state, later, swaps)),
        items=_added_items(state, swaps),
        said=(message("not_here", equipment=equipment_term(missing)), *_told(state, swaps)),
    )


def swap_for_easier(state: RunState, known: Mapping[str, Movement]) -> Refit | None:
    """The easier variant of the movement that comes, or of the current one; None where none can be done here.

    It holds from now on. A current interval starts again from its first side in the easier variant: skip the
    current segment then.
    """
    current, known, chosen = state.current, _for_session(state, known), state.leads_to(state.index)
    if current is None or chosen is None:
        return None
    easier = easier_for(chosen, known=known, room=_room(state), used=_taken(state))
    if easier is None:
        return None
    blocks = [b for b in state.session.blocks if any(i.chosen.movement == chosen.movement for i in b.items)]
    new = {(block.id, chosen.movement): easier for block in blocks}
    again = () if current.kind in BETWEEN else tuple(_restarted(state, current, easier))
    later = replaced(current, Ahead(state, current).later, new, state.session.choices.first_side)
    return Refit(
        segments=(*again, *_with_time_to_get_ready(state, later, new)),
        items=_added_items(state, new),
        said=(message("easier_from_now_on", new=chosen_term(easier), old=chosen_term(chosen)),),
    )


def equipment_needed(state: RunState, known: Mapping[str, Movement]) -> tuple[Equipment, ...]:
    """What the movement that comes, or the current one, needs besides dumbbells."""
    chosen = state.leads_to(state.index)
    if chosen is None or not _is_graded(chosen, known):
        return ()
    return next(variant.needs for variant in known[chosen.movement].variants if variant.id == chosen.variant)


# Which movements go, and what takes their place


def _for_session(state: RunState, known: Mapping[str, Movement]) -> Mapping[str, Movement]:
    """The known movements that may be in this session at all."""
    return easy_movements(known, state.session.room) if state.session.easy_movement else known


def _room(state: RunState, *more: PainNote) -> Room:
    """The session's room with every joint that has hurt in it as a sore joint."""
    sore = [
        SoreJoint(joint=one.joint, side=one.side, rating=rating_to_spare(one))
        for one in dict.fromkeys((*state.pains, *more))
        if one.joint is not None and counts_as_joint(one) and is_pain(one)
    ]
    room = state.session.room
    return room.model_copy(update={"sore": (*room.sore, *sore)})


def _swaps(
    state: RunState,
    among: Sequence[Segment],
    room: Room,
    known: Mapping[str, Movement],
    *,
    hurting: str | None = None,
) -> Iterator[tuple[BlockMovement, Chosen | None]]:
    """What replaces each movement of the segments ``among`` that hurt or that the room does not allow; None
    where it is left out."""
    used, taken = set(_taken(state)), dict[str, Chosen | None]()
    for block in state.session.blocks:
        coming = {s.movement for s in among if s.block == block.id and s.kind not in BETWEEN}
        for chosen in (item.chosen for item in block.items):
            if chosen.movement not in coming or not _has_to_go(chosen, room, hurting, known):
                continue
            if chosen.movement not in taken:
                new = _substitute(chosen, block, room, known, used)
                taken[chosen.movement] = new
                used |= {new.movement, new.really or new.movement} if new is not None else set()
            yield (block.id, chosen.movement), taken[chosen.movement]


def _has_to_go(chosen: Chosen, room: Room, hurting: str | None, known: Mapping[str, Movement]) -> bool:
    """Whether a movement hurt or its variant is not allowed here; a variant whose grades nobody knows
    stays."""
    if chosen.movement == hurting:
        return True
    allowed = room.variants_of(known[chosen.movement]) if _is_graded(chosen, known) else ()
    return _is_graded(chosen, known) and all(variant.id != chosen.variant for variant in allowed)


def _is_graded(chosen: Chosen, known: Mapping[str, Movement]) -> bool:
    """Whether the grades of this variant are known: the plan may have changed since the session began."""
    movement = known.get(chosen.movement)
    return movement is not None and any(variant.id == chosen.variant for variant in movement.variants)


def _substitute(
    chosen: Chosen, block: FittedBlock, room: Room, known: Mapping[str, Movement], used: set[str]
) -> Chosen | None:
    if not _is_graded(chosen, known):
        return None
    around = [one for one in _around(block, chosen) if _is_graded(one, known)]
    return substitute_for(chosen, known=known, room=room, around=around, used=used, sparing=frozenset())


def _around(block: FittedBlock, chosen: Chosen) -> tuple[Chosen, ...]:
    """A movement with those before and after it in the round, which closes on itself; the whole round where
    it has several places."""
    in_place = {item.place: item.chosen for item in block.items}
    ring = [in_place[place] for place in sorted(in_place)]
    own = [index for index, one in enumerate(ring) if one.movement == chosen.movement]
    if len(own) != 1:
        return tuple(ring) if own else (chosen,)
    before, after = ((own[0] + step) % len(ring) for step in (-1, 1))
    return (ring[before], chosen, ring[after]) if len(ring) > 2 else (chosen,)


def _taken(state: RunState) -> frozenset[str]:
    """The movements that cannot replace another: those of the session, those left out of it, perhaps by the
    coach, and those in which something hurt."""
    chosen = [item.chosen for block in state.session.blocks for item in block.items]
    present = {name for one in chosen for name in (one.movement, one.really) if name is not None}
    left_out = {name.split(":")[2] for name in state.session.choices.without_optional}
    hurt = {note.movement for note in state.pains if note.movement is not None}
    return frozenset(present | left_out | hurt)


# The segments and items of the re-fit, and what is told of it


def _later_swapped(ahead: Ahead, last: Segment, swaps: Swaps) -> tuple[Segment, ...]:
    """The segments after the current interval with the swaps made; ``last`` is the segment before them."""
    new = {place: chosen for place, chosen in swaps.items() if chosen is not None}
    kept = without(last, ahead.later, lambda s: (s.block, s.movement) in swaps.keys() - new.keys())
    return tuple(replaced(last, kept, new, ahead.state.session.choices.first_side))


def _restarted(state: RunState, current: Segment, new: Chosen) -> Iterator[Segment]:
    """The current interval from its beginning in another movement, after time to get into position."""
    whole = state.segments[state.interval]
    interval = tuple(interval_of(whole, new, state.session.choices.first_side))
    if current.pace is not Pace.self:
        yield _ready_for(interval[0])
    yield from interval


def _with_time_to_get_ready(state: RunState, later: tuple[Segment, ...], swaps: Swaps) -> tuple[Segment, ...]:
    """The segments after a rest, with a lead-in where the rest is nearly over and another movement comes."""
    between = tuple(takewhile(lambda s: s.kind in BETWEEN, later))
    first, entered = ahead(later, 0), {(block, new.movement) for (block, _), new in swaps.items() if new}
    left_ms = remaining_at(state, state.at_ms) + total_ms(between)
    if state.in_interval or first is None or first.pace is Pace.self or left_ms >= READY_MS:
        return later
    if (first.block, first.movement) not in entered:
        return later
    return (*between, _ready_for(first), *later[len(between) :])


def _ready_for(first: Segment) -> Segment:
    """Time to get into position for an interval."""
    ready = {"kind": Kind.get_ready, "planned_ms": READY_MS, "id": f"{first.id}:again"}
    return first.model_copy(update=ready)


def _added_items(state: RunState, swaps: Swaps) -> tuple[AddedItem, ...]:
    """The new movements with what their blocks asked of the old ones, in every place of those."""
    return tuple(
        _added_item(block, item, chosen)
        for block in state.session.blocks
        for item in block.items
        if (chosen := swaps.get((block.id, item.chosen.movement))) is not None
    )


def _added_item(block: FittedBlock, old: FittedItem, chosen: Chosen) -> AddedItem:
    amount = (
        amount_for(old.amount, chosen) if old.amount is not None and block.kind == "warm_up" else old.amount
    )
    return AddedItem(block=block.id, item=old.model_copy(update={"chosen": chosen, "amount": amount}))


def _told_after_pain(state: RunState, swaps: Swaps, note: PainNote) -> Said:
    if not swaps:
        return (message("nothing_else_changes"),)
    told = tuple(_told(state, swaps))
    if note.joint is None or not counts_as_joint(note):
        return told
    return (*told, message("spares_joint", joint=joint_term((note.joint, note.side))))


def _told(state: RunState, swaps: Swaps) -> Iterator[Message]:
    """“Easy hinge instead of Hard hinge.”, “Left out: Side lunge.”"""
    old = {i.chosen.movement: i.chosen for block in state.session.blocks for i in block.items}
    for slug, chosen in {slug: chosen for (_, slug), chosen in swaps.items()}.items():
        before = chosen_term(old[slug])
        if chosen is None:
            yield message("left_out_from_now_on", movement=before)
        elif any(one.movement == chosen.movement for one in old[slug].substitutes):
            yield message("swapped_as_coach_chose", new=chosen_term(chosen), old=before)
        else:
            yield message("swapped_now", new=chosen_term(chosen), old=before)
