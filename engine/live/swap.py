"""Another movement in the place of one while a session runs: to spare a joint, for an easier form, or because
something is not there after all.

What hurt leaves the rest of the session, and every other movement to come that stresses the joint gives way
to one of the same pattern or region that spares it. Nothing that is on or was done is touched.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from engine.base.phrases import at_most_a_sentence
from engine.fit.choose import easier_for, substitute_for
from engine.live.events import AddedItem
from engine.live.remainder import Refit, Stands, interval_of, replaced, without
from engine.live.state import RunState
from engine.movements.movement import Equipment, Movement
from engine.movements.pain import PainNote, rating_to_spare
from engine.movements.room import Room, SoreJoint
from engine.movements.words import joint_word
from engine.session.fitted import FittedBlock
from engine.session.segment import BETWEEN, Chosen, Kind, Pace, Segment

Place = tuple[str, str]
"""A block and a movement in it."""
Swaps = Mapping[Place, Chosen | None]
"""What takes the place of each; None where it is left out."""
READY_MS = 10_000
"""To get into the place of an easier form. † Our judgement, no source."""


def spare(state: RunState, note: PainNote, known: Mapping[str, Movement]) -> Refit:
    """The rest of the session without the movement that hurt, the joint spared in every other one.

    Each gives way to another of the same pattern or region that spares the joint; where there is none it is
    left out. What is left of the interval that hurt is left out too. The promised finish is released then, so
    nothing else is cut.
    """
    assert state.current is not None
    stands = Stands(state, state.current)
    hurts_now = state.current.movement == note.movement and state.current.kind not in BETWEEN
    kept = () if hurts_now else stands.rest_of_interval
    on = (state.current, *kept)[-1]
    swaps = dict(_swaps(state, stands.behind, _room(state, note), known, hurting=note.movement))
    return Refit(
        segments=(*kept, *_behind(stands, on, swaps)),
        items=_items(state, swaps),
        said=_spared(state, swaps, note),
    )


def _room(state: RunState, *more: PainNote) -> Room:
    """The room with every joint that has hurt in this session."""
    sore = [
        SoreJoint(joint=one.joint, side=one.side, rating=rating_to_spare(one))
        for one in dict.fromkeys((*state.pains, *more))
        if one.joint is not None and (one.rating != 0 or one.qualities)
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
) -> Iterator[tuple[Place, Chosen | None]]:
    """What becomes of each movement of these segments that hurt or that the room does not allow; None where
    it is left out."""
    used, taken = set(_used(state)), dict[str, Chosen | None]()
    for block in state.session.blocks:
        coming = {s.movement for s in among if s.block == block.id and s.kind not in BETWEEN}
        for chosen in (item.chosen for item in block.items):
            if chosen.movement not in coming or not _has_to_go(chosen, room, hurting, known):
                continue
            if chosen.movement not in taken:
                new = _substitute(chosen, block, room, known, used)
                taken[chosen.movement] = new
                used |= {new.movement} if new is not None else set()
            yield (block.id, chosen.movement), taken[chosen.movement]


def _substitute(
    chosen: Chosen, block: FittedBlock, room: Room, known: Mapping[str, Movement], used: set[str]
) -> Chosen | None:
    if not _is_graded(chosen, known):
        return None
    neighbours = [one for one in _neighbours(block, chosen.movement) if _is_graded(one, known)]
    return substitute_for(
        chosen, known=known, room=room, neighbours=neighbours, used=used, sparing=frozenset()
    )


def _is_graded(chosen: Chosen, known: Mapping[str, Movement]) -> bool:
    """Whether the grades of this form are known: a plan may have gone or changed since the session began."""
    movement = known.get(chosen.movement)
    return movement is not None and any(form.id == chosen.form for form in movement.forms)


def _has_to_go(chosen: Chosen, room: Room, hurting: str | None, known: Mapping[str, Movement]) -> bool:
    """What hurt, and what stresses a sore joint; a form nobody knows the grades of stays."""
    if chosen.movement == hurting:
        return True
    allowed = room.forms_of(known[chosen.movement]) if _is_graded(chosen, known) else ()
    return _is_graded(chosen, known) and all(form.id != chosen.form for form in allowed)


def _neighbours(block: FittedBlock, slug: str) -> tuple[Chosen, ...]:
    """The movements before and after in the round; a round closes on itself."""
    chosen = [item.chosen for item in block.items]
    at = next(index for index, one in enumerate(chosen) if one.movement == slug)
    return tuple(chosen[(at + step) % len(chosen)] for step in (-1, 1) if len(chosen) > 2)


def _behind(stands: Stands, last: Segment, swaps: Swaps) -> tuple[Segment, ...]:
    """What comes behind ``last`` after some swaps."""
    new = {place: chosen for place, chosen in swaps.items() if chosen is not None}
    kept = without(last, stands.behind, lambda s: (s.block, s.movement) in swaps.keys() - new.keys())
    return tuple(replaced(last, kept, new, stands.state.session.choices.first_side))


def _items(state: RunState, swaps: Swaps) -> tuple[AddedItem, ...]:
    return tuple(_added(state, place, chosen) for place, chosen in swaps.items() if chosen is not None)


def _added(state: RunState, place: Place, chosen: Chosen) -> AddedItem:
    """The new movement with what the block asked of the old one."""
    block = next(block for block in state.session.blocks if block.id == place[0])
    old = next(item for item in block.items if item.chosen.movement == place[1])
    return AddedItem(block=block.id, item=old.model_copy(update={"chosen": chosen}))


def _spared(state: RunState, swaps: Swaps, note: PainNote) -> str:
    if not swaps:
        return "Nothing else to come stresses it."
    why = f", to spare the {joint_word(note.joint, note.side)}" if note.joint else ""
    return at_most_a_sentence(f"{_swapped(state, swaps)}{why}.")


def _swapped(state: RunState, swaps: Swaps) -> str:
    names = {i.chosen.movement: i.chosen.name for block in state.session.blocks for i in block.items}
    parts = [
        f"{chosen.name} instead of {names[slug]}" if chosen else f"{names[slug]} left out"
        for slug, chosen in {slug: chosen for (_, slug), chosen in swaps.items()}.items()
    ]
    return "; ".join(parts)


def needed(state: RunState, known: Mapping[str, Movement]) -> tuple[Equipment, ...]:
    """What the movement in hand needs besides dumbbells."""
    chosen = state.session.chosen(state.in_hand) if state.in_hand is not None else None
    if chosen is None or not _is_graded(chosen, known):
        return ()
    return next(form.needs for form in known[chosen.movement].forms if form.id == chosen.form)


def do_without(state: RunState, missing: Equipment, known: Mapping[str, Movement]) -> Refit:
    """The rest of the session, from the interval that is on, without something that is not there after all.

    Each movement that needs it gives way to another of the same pattern or region; where there is none it is
    left out. An interval that is on begins again in the new movement; skip what is on, then.
    """
    on = state.current
    assert on is not None
    room = _room(state)
    room = room.model_copy(update={"without": (*room.without, missing)})
    swaps = dict(_swaps(state, (on, *state.coming), room, known))
    stands, instead = Stands(state, on), swaps.get((on.block, on.movement or ""))
    again = () if instead is None or on.kind in BETWEEN else tuple(_again(state, on, instead))
    kept = () if (on.block, on.movement) in swaps else stands.rest_of_interval
    return Refit(
        segments=(*again, *kept, *_behind(stands, (on, *again, *kept)[-1], swaps)),
        items=_items(state, swaps),
        said=at_most_a_sentence(f"{_swapped(state, swaps)}, for want of a {missing}."),
    )


def ease(state: RunState, known: Mapping[str, Movement]) -> Refit | None:
    """The easier form of the movement in hand, from now on; None where none can be done here.

    An interval that is on begins again from its first side in the easier form; skip what is on, then.
    """
    in_hand, on = state.in_hand, state.current
    chosen = state.session.chosen(in_hand) if in_hand is not None else None
    if on is None or chosen is None:
        return None
    easier = easier_for(chosen, known=known, room=_room(state), used=_used(state))
    if easier is None:
        return None
    blocks = [b for b in state.session.blocks if any(i.chosen.movement == chosen.movement for i in b.items)]
    new = {(block.id, chosen.movement): easier for block in blocks}
    again = () if on.kind in BETWEEN else tuple(_again(state, on, easier))
    behind = replaced(on, Stands(state, on).behind, new, state.session.choices.first_side)
    return Refit(
        segments=(*again, *behind),
        items=tuple(_added(state, place, easier) for place in new),
        said=f"{easier.name} instead of {chosen.name} from now on.",
    )


def _again(state: RunState, on: Segment, easier: Chosen) -> Iterator[Segment]:
    """The interval that is on, from its beginning, in the easier form, with time to get into place."""
    whole = state.segments[state.interval_start : state.interval_end]
    interval = tuple(interval_of(whole, easier, state.session.choices.first_side))
    if on.pace is not Pace.self:
        ready = {"kind": Kind.get_ready, "planned_ms": READY_MS, "id": f"{interval[0].id}:again"}
        yield interval[0].model_copy(update=ready)
    yield from interval


def _used(state: RunState) -> frozenset[str]:
    """What cannot take another's place: what the session holds, and what was left out of it, which may be the
    coach's word."""
    held = {item.chosen.movement for block in state.session.blocks for item in block.items}
    return frozenset(held | {name.partition(":")[2] for name in state.session.choices.without_optional})
