"""What is lifted in a running session: as told at the start, until another load is found on the way.

Loads are grams of one dumbbell: 0 is no weight, None that none was told or entered, or that the movement
takes none.
"""

from __future__ import annotations

from engine.base.message import Message, Weight, message
from engine.live.events import LoadFound
from engine.live.state import Outcome, RunState, Status
from engine.movements.pain import counts_as_joint, is_pain
from engine.session.choices import Chosen
from engine.session.fitted import FittedItem
from engine.session.segment import BETWEEN, Kind, Segment
from engine.session.terms import chosen_term


def load_of(state: RunState, segment: Segment) -> int | None:
    """What was lifted in a segment, or is to be lifted.

    A load found on the way counts from then on, and for the sets before where none was known.
    """
    item = state.session.item(segment)
    if item is None or not item.chosen.dumbbells:
        return None
    if segment.id in state.attempt.unloaded:
        return 0
    if segment.id in state.lifted_g:
        return state.lifted_g[segment.id]
    everywhere_g = state.loads_g.get(item.chosen.movement)
    return _in_place(state, segment, _told(item, segment) if everywhere_g is None else everywhere_g)


def _told(item: FittedItem, segment: Segment) -> int | None:
    if item.to_lift is None:
        return None
    if segment.kind is Kind.practice:
        return item.to_lift.practice_g
    return None if segment.round is None else item.to_lift.in_round(segment.round)


def _in_place(state: RunState, segment: Segment, told_g: int | None) -> int | None:
    """What was found for the segment's own place; else what is told, but no more than was last found for
    another place of the round, because what comes later is done tired."""
    own = _place_key(segment.block, segment.place, segment.movement)
    if own in state.loads_g:
        return state.loads_g[own]
    beside = [load_g for key, load_g in state.loads_g.items() if _is_beside(key, segment)]
    return min((one for one in (told_g, *beside[-1:]) if one is not None), default=None)


def _is_beside(key: str, segment: Segment) -> bool:
    """Whether a load was found for a place of the segment's movement in its block."""
    return key.startswith(f"{segment.block}:") and key.endswith(f":{segment.movement}")


def with_load_found(state: RunState, found: LoadFound) -> RunState:
    """The state with a load found: for one place of a movement, or for all of them."""
    key = found.movement
    if found.block is not None and found.place is not None:
        key = _place_key(found.block, found.place, found.movement)
    kept = {
        one: load_g
        for one, load_g in state.loads_g.items()
        if one != key and (key != found.movement or not one.endswith(f":{key}"))
    }
    return state.model_copy(update={"loads_g": {**kept, key: found.load_g}})


def _place_key(block: str, place: int | None, movement: str | None) -> str:
    return f"{block}:{place}:{movement}"


def open_to_choice(state: RunState) -> Segment | None:
    """The work whose weight can be chosen now: between two intervals that which comes, on pause the current.

    None before practice, which has a weight of its own, and where no weight may be lifted: in a try without
    weight, and in what entered after pain.
    """
    if state.status is not Status.paused and state.in_interval:
        return None
    passed = BETWEEN | {Kind.side_change}
    work = next((one for one in state.segments[state.index :] if one.kind not in passed), None)
    chosen = state.session.chosen(work) if work is not None else None
    if work is None or work.kind is not Kind.work or chosen is None or not chosen.dumbbells:
        return None
    barred = work.id in state.attempt.unloaded or chosen.movement in state.attempt.entered
    return None if barred else work


def offered_g(state: RunState) -> int | None:
    """The next weight for the work that comes, to be taken where 5 or more repetitions were left; None where
    none is offered.

    It is offered once in each place of a round, after whole rounds with what was told, and not after anything
    hurt or slipped.
    """
    work = open_to_choice(state)
    item = state.session.item(work) if work is not None else None
    if work is None or item is None or item.to_lift is None or state.pains:
        return None
    here = _place_key(work.block, work.place, work.movement)
    if {work.movement, here} & state.loads_g.keys():
        return None
    outcomes = {one.segment_id: one.outcome for one in state.done}
    begun = (one for one in state.segments[: state.index] if one.kind is Kind.work)
    before = [one for one in begun if one.movement == work.movement]
    alike = [one for one in before if (one.block, one.place) == (work.block, work.place)]
    whole = alike and all(outcomes.get(one.id) is Outcome.done and one.round != work.round for one in alike)
    slipped = {one.segment_id for one in state.lost} & {one.id for one in before}
    return item.to_lift.next_g if whole and not slipped else None


def exceeded_g(state: RunState) -> int | None:
    """What was told for the work that comes, where something heavier than that and than the next weight was
    chosen; None where nothing is exceeded."""
    work = open_to_choice(state)
    item = state.session.item(work) if work is not None else None
    if work is None or item is None or item.to_lift is None:
        return None
    told_g, chosen_g = _told(item, work), load_of(state, work)
    most_g = max(one for one in (told_g, item.to_lift.next_g, 0) if one is not None)
    return told_g if told_g is not None and chosen_g is not None and chosen_g > most_g else None


def a_joint_hurt(state: RunState) -> bool:
    """Whether a joint has hurt in this session: what enters from then on takes no weight."""
    return any(counts_as_joint(one) and is_pain(one) for one in state.pains)


def version_of(state: RunState, segment: Segment) -> str:
    """The version to tell of a segment's movement; empty where it says how a weight is held and there is none
    to hold."""
    chosen = state.session.chosen(segment)
    return "" if chosen is None or load_of(state, segment) == 0 else chosen.version


def entering(chosen: Chosen, load_g: int) -> Message:
    """What a movement starts with that enters on the run."""
    if not load_g:
        return message("starts_without_weight", movement=chosen_term(chosen))
    return message("starts_with_weight", movement=chosen_term(chosen), load=Weight(grams=load_g))


def lifted_with(state: RunState, left: Segment) -> dict[str, int]:
    """The loads of the sets done so far, with that of a set just left: the next one may be heavier."""
    load_g = load_of(state, left) if left.kind is Kind.work else None
    return state.lifted_g if load_g is None else {**state.lifted_g, left.id: load_g}
