"""The faults of a plan that its shape alone cannot show: all of them, each with its place."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from itertools import pairwise
from typing import TypeVar

from engine.base.issue import Issue, place
from engine.base.units import format_load
from engine.movements.movement import Kit, Movement, MovementPattern, Variant, harder_version
from engine.movements.own_choice import OwnSubstitute
from engine.movements.room import SORE_ALLOWS
from engine.movements.words import KIT_WORDS, joint_word
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
from engine.plan.words import occasion_words

TRANSITION_RANGE_S = (20, 60)
"""How long a change of block may take. † Our judgement, no source."""

STARTING_RANGE_G = (500, 100_000)
"""What a coach may let somebody start with, of one dumbbell; anything else is a slip. † Our judgement, no
source."""

Location = tuple[str | int, ...]
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
        yield Issue("blocks", f"two blocks have the id “{slug}”.")
    if not plan.work_blocks():
        yield Issue("blocks", "there is no work block.")
    low, high = TRANSITION_RANGE_S
    if plan.transition_s and not low <= plan.transition_s <= high:
        yield Issue("transition_s", f"a change of block takes {low} to {high} s, or 0 where none is wanted.")
    if _repeated(plan.buys):
        yield Issue("buys", "each kind stands once.")
    if Buys.allowances not in plan.buys or Buys.rounds not in plan.buys:
        yield Issue("buys", "“allowances” and “rounds” both have to be in the order.")


def _block_faults(index: int, block: Block, known: Known) -> Iterator[Issue]:
    here = ("blocks", index)
    for number, slug in enumerate(movements_named_in(block)):
        where = "items" if isinstance(block, WarmUpBlock) else "movements"
        yield from _unknown_faults((*here, where, number), slug, known)
    for slug in () if isinstance(block, WorkBlock) else _repeated(movements_named_in(block)):
        yield Issue(place(here), f"the movement “{slug}” stands twice in this block.")
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


def _unknown_faults(where: Location, slug: str, known: Known) -> Iterator[Issue]:
    if slug not in known:
        yield Issue(place(where), f"the movement “{slug}” is not in the library or the plan.")


def _rounds_faults(here: Location, block: WarmUpBlock | WorkBlock) -> Iterator[Issue]:
    low, high = block.rounds.min, block.rounds.max
    if block.rounds.permitted > low:
        yield Issue(place((*here, "rounds")), f"as few as {block.rounds.fewest} is more than at least {low}.")
    if isinstance(block, WarmUpBlock) and block.rounds.fewest is not None:
        yield Issue(place((*here, "rounds")), "a warm-up has no fewer rounds than “at least”.")
    if low > high:
        yield Issue(place((*here, "rounds")), f"at least {low} is more than at most {high}.")


def _amount_faults(here: Location, amount: Amount) -> Iterator[Issue]:
    if amount.most < amount.low:
        yield Issue(place(here), f"the range {amount.low}–{amount.most} runs backwards.")
    if amount.count is AmountCount.alternating and (amount.low % 2 or amount.most % 2):
        yield Issue(place(here), "an odd number cannot alternate evenly between the sides.")


def _practice_faults(here: Location, block: PracticeBlock) -> Iterator[Issue]:
    variants = {PracticeKind.timed: block.timed, PracticeKind.repetitions: block.repetitions}
    if variants[block.usual] is None:
        yield Issue(place((*here, "usual")), f"the practice by {block.usual} is preferred but not described.")
    if block.repetitions is not None:
        yield from _amount_faults((*here, "repetitions"), block.repetitions)


def _work_faults(here: Location, block: WorkBlock, known: Known) -> Iterator[Issue]:
    for number, item in enumerate(block.movements):
        spot = (*here, "movements", number)
        movement = known.get(item.movement)
        if movement is not None and movement.pattern is MovementPattern.mobility:
            yield Issue(place(spot), f"“{movement.name}” is a mobility movement; it is not for a work block.")
        if movement is not None:
            yield from _rest_faults(spot, block, movement, first=number == 0)
        yield from _easier_faults(spot, item, known)
        yield from _substitute_faults(spot, block, item, known)
        if movement is not None:
            yield from _starting_faults(spot, item, movement)
    if all(item.optional or item.may_go for item in block.movements):
        yield Issue(place((*here, "movements")), "at least one movement has to stay; all may be left out.")


def _straight_after_itself(
    here: Location, block: WorkBlock, known: Mapping[str, Movement]
) -> Iterator[Issue]:
    """A movement may have several places in a round, but none next to another; where there are several
    rounds, the first place comes after the last."""
    slugs = movements_named_in(block)
    for number, (before, slug) in enumerate(pairwise(slugs), 1):
        if before == slug:
            where = place((*here, "movements", number))
            name = known[slug].name if slug in known else slug
            yield Issue(where, f"“{name}” comes straight after itself; put another movement between.")
    if len(slugs) > 1 and slugs[0] == slugs[-1] and block.rounds.max > 1:
        where = place((*here, "movements", len(slugs) - 1))
        name = known[slugs[0]].name if slugs[0] in known else slugs[0]
        yield Issue(where, f"“{name}” ends a round and begins the next; put another movement between.")


def _rest_faults(spot: Location, block: WorkBlock, movement: Movement, *, first: bool) -> Iterator[Issue]:
    """The rest before a movement of a round; before the ``first`` it is the rest between rounds."""
    rest_s = block.round_rest_s if first and block.round_rest_s is not None else block.rest_s
    alone = len(block.movements) == 1 and block.rounds.max == 1
    needed_s = max(shortest_rest_s(variant.on_floor) for variant in movement.variants)
    if rest_s < needed_s and not alone:
        why = "before floor work" if needed_s > SHORTEST_REST_S else "between work intervals"
        short = f"a rest of {rest_s} s before “{movement.name}” is short; {needed_s} s {why}."
        yield Issue(place(spot), short)


def _easier_faults(spot: Location, item: WarmUpItem | WorkMovement, known: Known) -> Iterator[Issue]:
    if item.easier is not None:
        yield from _unknown_faults((*spot, "easier"), item.easier, known)


def _substitute_faults(
    spot: Location, block: WarmUpBlock | WorkBlock, item: WarmUpItem | WorkMovement, known: Known
) -> Iterator[Issue]:
    """Faults of the coach's own substitutes: those that nobody could ever do, and two for one occasion."""
    for occasion in _repeated(one.when for one in item.substitutes):
        twice = f"there are two substitutes for {occasion_words(occasion)}; keep one."
        yield Issue(place((*spot, "substitutes")), twice)
    for number, one in enumerate(item.substitutes):
        here = (*spot, "substitutes", number, "movement")
        yield from _unknown_faults(here, one.movement, known)
        fault = _never_fits(one, item, block, known) if one.movement in known else None
        if fault is not None:
            yield Issue(place(here), fault)


def _never_fits(
    one: OwnSubstitute, item: WarmUpItem | WorkMovement, block: WarmUpBlock | WorkBlock, known: Known
) -> str | None:
    """Why nobody could do a substitute on its occasion; None where somebody could."""
    movement, planned = known[one.movement], known.get(item.movement)
    if one.movement == item.movement:
        return f"“{movement.name}” is no substitute for itself."
    if one.movement in movements_named_in(block):
        return f"“{movement.name}” is in this block already."
    if isinstance(block, WorkBlock) and movement.pattern is MovementPattern.mobility:
        return f"“{movement.name}” is a mobility movement; it is not for a work block."
    if isinstance(block, WarmUpBlock) and planned and _fewest(movement) > _fewest(planned):
        return f"“{movement.name}” takes a weight; a warm-up gains none."
    joint, kit = one.when.joint, one.when.kit
    most = max(grade for _, grade in SORE_ALLOWS)
    if joint is not None and all(movement.stress_on(joint, variant) > most for variant in movement.variants):
        return f"“{movement.name}” works the {joint_word(joint)} too hard for a day on which it hurts."
    if kit is not None and not movement.variants_for(kit):
        return f"“{movement.name}” cannot be done with {occasion_words(one.when)}."
    return None


def _fewest(movement: Movement) -> int:
    """How few dumbbells a movement needs."""
    return min(variant.kit.dumbbells for variant in movement.variants)


def _starting_faults(spot: Location, item: WorkMovement, movement: Movement) -> Iterator[Issue]:
    """Faults of the loads to start with: what nobody lifts, and what no version of the movement takes."""
    low_g, high_g = STARTING_RANGE_G
    for field, load_g, kit in (
        ("starting_g", item.starting_g, Kit.single),
        ("starting_pair_g", item.starting_pair_g, Kit.pair),
    ):
        if load_g is None:
            continue
        if not low_g <= load_g <= high_g:
            said = f"nobody starts with {format_load(load_g)}; {format_load(low_g)} to {format_load(high_g)}."
            yield Issue(place((*spot, field)), said)
        if all(variant.kit is not kit for variant in movement.variants):
            yield Issue(place((*spot, field)), f"“{movement.name}” has no version with {KIT_WORDS[kit]}.")


def _own_movement_faults(plan: SessionPlan, known: Known) -> Iterator[Issue]:
    for slug in _repeated(movement.slug for movement in plan.movements):
        yield Issue("movements", f"the movement “{slug}” stands twice.")
    for index, movement in enumerate(plan.movements):
        yield from movement_faults(("movements", index), movement, known)


def movement_faults(here: Location, movement: Movement, known: Known) -> Iterator[Issue]:
    """The faults of one movement: broken chains, repeated variants, a weight with no safe way to place it."""
    if movement.easier is not None and (movement.easier not in known or movement.easier == movement.slug):
        broken = f"“{movement.easier}” is not another movement of the library or the plan."
        yield Issue(place((*here, "easier")), broken)
    for slug in _repeated(variant.id for variant in movement.variants):
        yield Issue(place((*here, "variants")), f"two versions have the id “{slug}”.")
    for number, variant in enumerate(movement.variants):
        if variant.kit is not Kit.none and variant.placing is None:
            yield Issue(
                place((*here, "variants", number)), "a version with a weight says how to place it safely."
            )
        yield from _harder_faults((*here, "variants", number), variant, movement, known)


def _harder_faults(here: Location, variant: Variant, movement: Movement, known: Known) -> Iterator[Issue]:
    """What is harder than a variant is another variant, of this movement or of another one."""
    if variant.harder is None:
        return
    if variant.harder not in known:
        broken = f"“{variant.harder}” is not a movement of the library or the plan."
        yield Issue(place((*here, "harder")), broken)
        return
    harder = harder_version(variant, known)
    if harder is None or (harder[0].slug == movement.slug and harder[1].id == variant.id):
        yield Issue(place((*here, "harder")), "what is harder is another version.")


def _allowance_faults(plan: SessionPlan) -> Iterator[Issue]:
    allowances = plan.allowances or ()
    for index, allowance in enumerate(allowances):
        yield from _one_allowance_faults(("allowances", index), allowance, plan)
    for give_up, _ in _repeated((a.give_up, a.block) for a in allowances):
        yield Issue("allowances", f"“{give_up.replace('_', ' ')}” stands twice.")


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


def _one_allowance_faults(here: Location, allowance: Allowance, plan: SessionPlan) -> Iterator[Issue]:
    named = next((block for block in plan.blocks if block.id == allowance.block), None)
    if allowance.block is not None and named is None:
        yield Issue(place((*here, "block")), f"there is no block “{allowance.block}”.")
    if named is not None and not isinstance(named, _BELONGS_TO.get(allowance.give_up, WorkBlock)):
        what = allowance.give_up.replace("_", " ")
        yield Issue(place((*here, "block")), f"the block “{named.id}” has no {what} to give up.")
    yield from (Issue(place((*here, "to_s")), message) for message in _length_faults(allowance))


def _length_faults(allowance: Allowance) -> Iterator[str]:
    floor_s, lengths = _FLOORS_S.get(allowance.give_up), allowance.to_s
    if floor_s is None:
        if lengths:
            yield "only cool-down, rest and work have lengths."
    elif not lengths or list(lengths) != sorted(set(lengths), reverse=True):
        yield "list the lengths in seconds, longest first, each once."
    elif lengths[-1] < floor_s:
        yield f"{lengths[-1]} s is below the floor of {floor_s} s."


Value = TypeVar("Value", bound=Hashable)


def _repeated(values: Iterable[Value]) -> list[Value]:
    return [value for value, times in Counter(values).items() if times > 1]
