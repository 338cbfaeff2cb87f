"""The faults of a plan that its shape alone cannot show: all of them, each with its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from itertools import pairwise
from typing import TypeVar

from engine.base.issue import Issue, Place
from engine.base.message import Argument, Count, Message, Own, Weight, message
from engine.base.message import Seconds as Length
from engine.movements.movement import Kit, Movement, MovementPattern, Variant, harder_version
from engine.movements.own_choice import OwnSubstitute
from engine.movements.room import SORE_ALLOWS
from engine.movements.terms import joint_term, kit_term, movement_term
from engine.plan.floors import SHORTEST_COOL_DOWN_S, SHORTEST_REST_S, SHORTEST_WORK_S, shortest_rest_s
from engine.plan.plan import (
    Allowance,
    Amount,
    AmountCount,
    Block,
    Buys,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.plan.terms import CUTS, occasion_term

TRANSITION_RANGE_S = (20, 60)
"""How long a change of block may take. † Our judgement, no source."""

STARTING_RANGE_G = (500, 100_000)
"""What a coach may let somebody start with, of one dumbbell; anything else is a slip. † Our judgement, no
source."""

Known = Mapping[str, Movement]
"""The movements of the library and the plan by slug."""


def check(plan: SessionPlan) -> tuple[Issue, ...]:
    """Every fault of a plan with its place. A plan without faults can be fitted."""
    known = plan.known_movements()
    return (
        *_general_faults(plan),
        *(fault for index, block in enumerate(plan.blocks) for fault in _block_faults(index, block, known)),
        *_own_movement_faults(plan, known),
        *_allowance_faults(plan),
    )


def _general_faults(plan: SessionPlan) -> Iterator[Issue]:
    for slug in _repeated(block.id for block in plan.blocks):
        yield Issue(("blocks",), _same_id(slug))
    if not plan.work_blocks():
        yield Issue(("blocks",), message("no_work_block"))
    low, high = TRANSITION_RANGE_S
    if plan.transition_s and not low <= plan.transition_s <= high:
        yield Issue(
            ("transition_s",), message("changeover_out_of_range", low=_seconds(low), high=_seconds(high))
        )
    if _repeated(plan.buys):
        yield Issue(("buys",), message("name_each_once"))
    if Buys.allowances not in plan.buys or Buys.rounds not in plan.buys:
        yield Issue(("buys",), message("name_allowances_and_rounds"))


def _same_id(slug: str) -> Message:
    return message("same_id_twice", id=Own(own=slug))


def _seconds(length_s: int) -> Length:
    return Length(seconds=length_s)


def _name(slug: str, known: Known) -> Argument:
    return movement_term(known[slug]) if slug in known else Own(own=slug)


def _block_faults(index: int, block: Block, known: Known) -> Iterator[Issue]:
    here = ("blocks", index)
    for number, slug in enumerate(movements_named_in(block)):
        where = "items" if isinstance(block, WarmUpBlock) else "movements"
        yield from _unknown_faults((*here, where, number), slug, known)
    for slug in () if isinstance(block, WorkBlock) else _repeated(movements_named_in(block)):
        yield Issue(here, message("twice_in_this_block", movement=_name(slug, known)))
    match block:
        case WarmUpBlock():
            yield from _rounds_faults(here, block)
            for number, item in enumerate(block.items):
                yield from _amount_faults((*here, "items", number, "amount"), item.amount)
                yield from _easier_faults((*here, "items", number), item, known)
                yield from _substitute_faults((*here, "items", number), block, item, known)
        case PracticeBlock():
            yield from _practice_faults(here, block)
        case WorkBlock():
            yield from _rounds_faults(here, block)
            yield from _straight_after_itself(here, block, known)
            yield from _work_faults(here, block, known)
        case CoolDownBlock():
            return


def _unknown_faults(where: Place, slug: str, known: Known) -> Iterator[Issue]:
    if slug not in known:
        yield Issue(where, message("no_movement_of_that_name", written=Own(own=slug)))


def _rounds_faults(here: Place, block: WarmUpBlock | WorkBlock) -> Iterator[Issue]:
    low, high = block.rounds.min, block.rounds.max
    if block.rounds.permitted > low:
        yield Issue((*here, "rounds"), message("below_the_minimum_is_fewer", minimum=Count(count=low)))
    if isinstance(block, WarmUpBlock) and block.rounds.fewest is not None:
        yield Issue((*here, "rounds"), message("warm_up_never_below_its_minimum"))
    if low > high:
        least, most = Count(count=low), Count(count=high)
        yield Issue((*here, "rounds"), message("minimum_above_maximum", minimum=least, maximum=most))


def _amount_faults(here: Place, amount: Amount) -> Iterator[Issue]:
    if amount.most < amount.low:
        low, high = Count(count=amount.low), Count(count=amount.most)
        yield Issue(here, message("range_runs_backwards", low=low, high=high))
    if amount.count is AmountCount.alternating and (amount.low % 2 or amount.most % 2):
        yield Issue(here, message("odd_number_alternates"))


_PRACTICE = {
    PracticeKind.timed: message("practice_timed"),
    PracticeKind.repetitions: message("practice_repetitions"),
}


def _practice_faults(here: Place, block: PracticeBlock) -> Iterator[Issue]:
    variants = {PracticeKind.timed: block.timed, PracticeKind.repetitions: block.repetitions}
    if variants[block.usual] is None:
        yield Issue((*here, "usual"), message("describe_preferred_practice", kind=_PRACTICE[block.usual]))
    if block.repetitions is not None:
        yield from _amount_faults((*here, "repetitions"), block.repetitions)


def _work_faults(here: Place, block: WorkBlock, known: Known) -> Iterator[Issue]:
    for number, item in enumerate(block.movements):
        spot = (*here, "movements", number)
        movement = known.get(item.movement)
        if movement is not None and movement.pattern is MovementPattern.mobility:
            yield Issue(spot, message("no_mobility_in_work", movement=movement_term(movement)))
        if movement is not None:
            yield from _rest_faults(spot, block, movement, first=number == 0)
        yield from _easier_faults(spot, item, known)
        yield from _substitute_faults(spot, block, item, known)
        if movement is not None:
            yield from _starting_faults(spot, item, movement)
    if all(item.optional or item.may_go for item in block.movements):
        yield Issue((*here, "movements"), message("keep_one_movement"))


def _straight_after_itself(here: Place, block: WorkBlock, known: Mapping[str, Movement]) -> Iterator[Issue]:
    """A movement may have several places in a round, but none next to another; where there are several
    rounds, the first place comes after the last."""
    slugs = movements_named_in(block)
    for number, (before, slug) in enumerate(pairwise(slugs), 1):
        if before == slug:
            said = message("straight_after_itself", movement=_name(slug, known))
            yield Issue((*here, "movements", number), said)
    if len(slugs) > 1 and slugs[0] == slugs[-1] and block.rounds.max > 1:
        said = message("ends_and_begins_a_round", movement=_name(slugs[0], known))
        yield Issue((*here, "movements", len(slugs) - 1), said)


def _rest_faults(spot: Place, block: WorkBlock, movement: Movement, *, first: bool) -> Iterator[Issue]:
    """The rest before a movement of a round; before the ``first`` it is the rest between rounds."""
    rest_s = block.round_rest_s if first and block.round_rest_s is not None else block.rest_s
    alone = len(block.movements) == 1 and block.rounds.max == 1
    needed_s = max(shortest_rest_s(variant.on_floor) for variant in movement.variants)
    if rest_s < needed_s and not alone:
        before, rest, needed = movement_term(movement), _seconds(rest_s), _seconds(needed_s)
        if needed_s > SHORTEST_REST_S:
            yield Issue(
                spot, message("short_rest_before_the_floor", movement=before, rest=rest, needed=needed)
            )
        else:
            yield Issue(spot, message("short_rest", movement=before, rest=rest, needed=needed))


def _easier_faults(spot: Place, item: WarmUpItem | WorkMovement, known: Known) -> Iterator[Issue]:
    if item.easier is not None:
        yield from _unknown_faults((*spot, "easier"), item.easier, known)


def _substitute_faults(
    spot: Place, block: WarmUpBlock | WorkBlock, item: WarmUpItem | WorkMovement, known: Known
) -> Iterator[Issue]:
    """Faults of the coach's own substitutes: those that nobody could ever do, and two for one occasion."""
    for occasion in _repeated(one.when for one in item.substitutes):
        twice = message("two_substitutes", occasion=occasion_term(occasion))
        yield Issue((*spot, "substitutes"), twice)
    for number, one in enumerate(item.substitutes):
        here = (*spot, "substitutes", number, "movement")
        yield from _unknown_faults(here, one.movement, known)
        fault = _never_fits(one, item, block, known) if one.movement in known else None
        if fault is not None:
            yield Issue(here, fault)


def _never_fits(
    one: OwnSubstitute, item: WarmUpItem | WorkMovement, block: WarmUpBlock | WorkBlock, known: Known
) -> Message | None:
    """Why nobody could do a substitute on its occasion; None where somebody could."""
    movement, planned = known[one.movement], known.get(item.movement)
    name = movement_term(movement)
    if one.movement == item.movement:
        return message("no_substitute_for_itself", movement=name)
    if one.movement in movements_named_in(block):
        return message("in_this_block_already", movement=name)
    if isinstance(block, WorkBlock) and movement.pattern is MovementPattern.mobility:
        return message("no_mobility_in_work", movement=name)
    if isinstance(block, WarmUpBlock) and planned and _fewest(movement) > _fewest(planned):
        return message("no_weight_in_the_warm_up", movement=name)
    joint, kit = one.when.joint, one.when.kit
    most = max(grade for _, grade in SORE_ALLOWS)
    if joint is not None and all(movement.stress_on(joint, variant) > most for variant in movement.variants):
        return message("too_hard_on_a_joint_in_pain", movement=name, joint=joint_term((joint, None)))
    if kit is not None and not movement.variants_for(kit):
        return message("cannot_be_done_with", movement=name, kit=kit_term(kit))
    return None


def _fewest(movement: Movement) -> int:
    """How few dumbbells a movement needs."""
    return min(variant.kit.dumbbells for variant in movement.variants)


def _starting_faults(spot: Place, item: WorkMovement, movement: Movement) -> Iterator[Issue]:
    """Faults of the loads to start with: what nobody lifts, and what no version of the movement takes."""
    low_g, high_g = STARTING_RANGE_G
    for field, load_g, kit in (
        ("starting_g", item.starting_g, Kit.single),
        ("starting_pair_g", item.starting_pair_g, Kit.pair),
    ):
        if load_g is None:
            continue
        if not low_g <= load_g <= high_g:
            low, high = Weight(grams=low_g), Weight(grams=high_g)
            said = message("nobody_starts_with", load=Weight(grams=load_g), low=low, high=high)
            yield Issue((*spot, field), said)
        if all(variant.kit is not kit for variant in movement.variants):
            said = message("no_such_version", movement=movement_term(movement), kit=kit_term(kit))
            yield Issue((*spot, field), said)


def _own_movement_faults(plan: SessionPlan, known: Known) -> Iterator[Issue]:
    for slug in _repeated(movement.slug for movement in plan.movements):
        yield Issue(("movements",), _same_id(slug))
    for index, movement in enumerate(plan.movements):
        yield from movement_faults(("movements", index), movement, known)


def movement_faults(here: Place, movement: Movement, known: Known) -> Iterator[Issue]:
    """The faults of one movement: broken chains, repeated variants, a weight with no safe way to place it."""
    if movement.easier is not None:
        yield from _unknown_faults((*here, "easier"), movement.easier, known)
    if movement.easier == movement.slug:
        yield Issue((*here, "easier"), message("name_another_movement"))
    for slug in _repeated(variant.id for variant in movement.variants):
        yield Issue((*here, "variants"), _same_id(slug))
    for number, variant in enumerate(movement.variants):
        if variant.kit is not Kit.none and variant.placing is None:
            yield Issue((*here, "variants", number), message("say_how_to_place_the_weight"))
        yield from _harder_faults((*here, "variants", number), variant, movement, known)


def _harder_faults(here: Place, variant: Variant, movement: Movement, known: Known) -> Iterator[Issue]:
    """What is harder than a variant is another variant, of this movement or of another one."""
    if variant.harder is None:
        return
    if variant.harder not in known:
        yield from _unknown_faults((*here, "harder"), variant.harder, known)
        return
    harder = harder_version(variant, known)
    if harder is None or (harder[0].slug == movement.slug and harder[1].id == variant.id):
        yield Issue((*here, "harder"), message("name_another_version"))


def _allowance_faults(plan: SessionPlan) -> Iterator[Issue]:
    allowances = plan.allowances or ()
    for index, allowance in enumerate(allowances):
        yield from _one_allowance_faults(("allowances", index), allowance, plan)
    for give_up, _ in _repeated((a.give_up, a.block) for a in allowances):
        yield Issue(("allowances",), message("cut_named_twice", cut=CUTS[give_up]))


_FLOORS_S = {
    GiveUp.cool_down: SHORTEST_COOL_DOWN_S,
    GiveUp.rest: SHORTEST_REST_S,
    GiveUp.work: SHORTEST_WORK_S,
}
"""How far the allowances that have lengths may bring them down."""
_BELONGS_TO = {
    GiveUp.cool_down: CoolDownBlock,
    GiveUp.practice: PracticeBlock,
    GiveUp.practice_kind: PracticeBlock,
    GiveUp.extra_warm_up: WarmUpBlock,
}
"""The kind of block an allowance is about, where that is not work."""


def _one_allowance_faults(here: Place, allowance: Allowance, plan: SessionPlan) -> Iterator[Issue]:
    named = next((block for block in plan.blocks if block.id == allowance.block), None)
    if allowance.block is not None and named is None:
        yield Issue((*here, "block"), message("no_such_block", block=Own(own=allowance.block)))
    if named is not None and not isinstance(named, _BELONGS_TO.get(allowance.give_up, WorkBlock)):
        said = message("nothing_to_cut_there", block=Own(own=named.id), cut=CUTS[allowance.give_up])
        yield Issue((*here, "block"), said)
    yield from (Issue((*here, "to_s"), said) for said in _length_faults(allowance))


def _length_faults(allowance: Allowance) -> Iterator[Message]:
    floor_s, lengths = _FLOORS_S.get(allowance.give_up), allowance.to_s
    if floor_s is None:
        if lengths:
            yield message("no_lengths_to_list")
    elif not lengths or list(lengths) != sorted(set(lengths), reverse=True):
        yield message("list_lengths_longest_first")
    elif lengths[-1] < floor_s:
        yield message("below_the_floor", length=_seconds(lengths[-1]), floor=_seconds(floor_s))


Value = TypeVar("Value", bound=Hashable)


def _repeated(values: Iterable[Value]) -> list[Value]:
    return [value for value, times in Counter(values).items() if times > 1]
