"""Which movements and variants this person does today, by kit, room and sore joints. Every change says why.

Where a variant is missing or a joint is sore, another variant of the movement takes its place, or else
another movement of the same pattern, or of the same region. Where there is none, the movement is left out.
Before all of them comes the coach's own choice for this kit or a sore joint.
``engine.movements.substitutes``, ``best_round`` and ``own_choice`` decide which one it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass

from engine.base.message import Message
from engine.base.model import Slug
from engine.fit.reasons import (
    Swap,
    Telling,
    WhySwapped,
    left_out_message,
    not_used_message,
    open_telling,
    own_choice_message,
    swap_message,
)
from engine.movements.best_round import FilledRound, RoundPlace
from engine.movements.limits import barring
from engine.movements.movement import JointPoint, Variant, one_sided_joints
from engine.movements.own_choice import OwnChoice, best_round_with, occurring, own_choice
from engine.movements.repertoire import Repertoire
from engine.movements.room import Room
from engine.movements.substitutes import Candidate
from engine.movements.terms import missing_equipment, missing_kit
from engine.plan.plan import (
    AmountUnit,
    Block,
    PracticeBlock,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.session.choices import Chosen, ChosenByBlock, as_chosen
from engine.session.reason import FOR_TODAY
from engine.session.terms import chosen_term

FEWEST_IN_A_ROUND = 2
"""One movement over and over is no round. † Our judgement, no source."""


OwnChoices = Mapping[Slug, tuple[OwnChoice, ...]]
"""What the coach wants today in place of movements of a block, by the slug that the plan names."""


@dataclass(frozen=True)
class Choice:
    """The chosen movements, and what was swapped."""

    by_block: ChosenByBlock
    swaps: tuple[Swap, ...]

    def without(self, plan: SessionPlan, left_out: Collection[str]) -> Choice:
        """The choice without some movements in work and practice, whether planned or standing in for another.

        Nothing takes their place.
        """
        where = {block.id for block in plan.blocks if isinstance(block, WorkBlock | PracticeBlock)}
        gone = {
            (block, slug): chosen_term(chosen)
            for block in where
            for slug, chosen in self.by_block[block].items()
            if slug in left_out or chosen.movement in left_out
        }
        kept = {
            block: {slug: chosen for slug, chosen in movements.items() if (block, slug) not in gone}
            for block, movements in self.by_block.items()
        }
        said = (
            Swap(
                block=block.id,
                movement=slug,
                replacement=None,
                said=(open_telling(left_out_message(gone[block.id, slug])),),
            )
            for block in plan.work_blocks()
            for slug in movements_named_in(block)
            if (block.id, slug) in gone
        )
        return Choice(kept, (*(s for s in self.swaps if (s.block, s.movement) not in gone), *said))


def choose(plan: SessionPlan, room: Room) -> Choice:
    """Chooses a variant for every movement of every block. Practice follows what the work blocks chose. What
    stands in comes in one work block only, unless a block would have hardly anything else: no movement gets
    the rounds of two."""
    today = Repertoire(plan.known_movements(), room)
    by_block: dict[str, dict[str, Chosen]] = {}
    swaps: list[Swap] = []
    for block in sorted(plan.blocks, key=lambda block: isinstance(block, PracticeBlock)):
        worked = _chosen_in_work(plan, by_block) if isinstance(block, PracticeBlock) else {}
        elsewhere = _elsewhere(block, plan, by_block, today)
        by_block[block.id] = dict(_choose_block(block, today, worked, swaps, elsewhere))
        if isinstance(block, PracticeBlock):
            by_block[block.id] = _with_tries(block, by_block[block.id], today)
    return Choice(by_block, tuple(swaps))


def _elsewhere(
    block: Block, plan: SessionPlan, by_block: ChosenByBlock, today: Repertoire
) -> frozenset[Slug]:
    """The movements that other work blocks have: as chosen in those before, as planned in those after."""
    if not isinstance(block, WorkBlock):
        return frozenset()
    others = [one for one in plan.work_blocks() if one is not block]
    chosen = (one for other in others for one in by_block.get(other.id, {}).values())
    planned = (
        today.usual(slug)
        for other in others
        if other.id not in by_block
        for slug in movements_named_in(other)
    )
    staying = (one.really for one in planned if today.stays(one))
    return frozenset((*(one.really or one.movement for one in chosen), *staying))


def _chosen_in_work(plan: SessionPlan, by_block: ChosenByBlock) -> dict[str, Chosen | None]:
    """What the work blocks chose for each movement that the plan names; None where it is left out."""
    found: dict[str, Chosen | None] = {}
    for block in plan.work_blocks():
        for slug in movements_named_in(block):
            found.setdefault(slug, by_block[block.id].get(slug))
    return found


def _choose_block(
    block: Block,
    today: Repertoire,
    worked: Mapping[str, Chosen | None],
    swaps: list[Swap],
    elsewhere: frozenset[Slug],
) -> Iterator[tuple[str, Chosen]]:
    """The choice for one block by the slug that the plan names; adds what was swapped to ``swaps``.

    What is ``elsewhere`` stands in only where the block would have one movement or none without it.
    """
    named = movements_named_in(block)
    usual = {slug: today.usual(slug, light=isinstance(block, WarmUpBlock)) for slug in named}
    settled: dict[str, Candidate | None] = dict(_staying(usual, today))
    settled |= {
        slug: today.in_variant(chosen.movement, chosen.variant) if chosen else None
        for slug, chosen in worked.items()
    }
    filled, own = _filled(block, today, usual, settled, elsewhere)
    if elsewhere and _number(filled) < FEWEST_IN_A_ROUND:
        again = _filled(block, today, usual, settled, frozenset())
        filled, own = max((filled, own), again, key=lambda one: _number(one[0]))
    for slug, candidate in dict(zip(named, filled, strict=True)).items():
        swap = None if slug in settled else _swap(block, usual[slug], candidate, today)
        if slug in own:
            swap = _with_own(block, usual[slug], candidate, today, own[slug], otherwise=swap)
        if swap is not None:
            swaps.append(swap)
        if candidate is not None:
            written = next(iter(_written_in(block, candidate.movement.slug)), None)
            of_work = written if isinstance(written, WorkMovement) else None
            fresh = as_chosen(
                candidate, today.known[slug], of_work, known=today.known, limits=today.room.limits
            )
            yield slug, worked.get(slug) or _with_substitutes(fresh, _written_in(block, slug))


def _with_substitutes(chosen: Chosen, written: Iterable[WarmUpItem | WorkMovement]) -> Chosen:
    """With what the coach wants in its place if a joint should hurt while the session runs."""
    for_joints = tuple(one for item in written for one in item.substitutes if one.when.joint)
    return chosen.model_copy(update={"substitutes": for_joints}) if for_joints else chosen


def _filled(
    block: Block,
    today: Repertoire,
    usual: Mapping[str, Candidate],
    settled: Mapping[str, Candidate | None],
    elsewhere: frozenset[Slug],
) -> tuple[FilledRound, OwnChoices]:
    """The round of a block, and what the coach wanted in it."""
    own = dict(_own_choices(block, today, usual, settled, elsewhere))
    places = tuple(_places(block, today, usual, settled, elsewhere))
    named = movements_named_in(block)
    wanted = {
        named.index(slug): [one.candidate for one in choices if one.candidate is not None]
        for slug, choices in own.items()
    }
    filled = best_round_with(places, wanted)
    taken = {one.really for one in filled if one is not None}
    return filled, {slug: tuple(one.beside(taken) for one in choices) for slug, choices in own.items()}


def _own_choices(
    block: Block,
    today: Repertoire,
    usual: Mapping[str, Candidate],
    settled: Mapping[str, Candidate | None],
    elsewhere: frozenset[Slug],
) -> Iterator[tuple[Slug, tuple[OwnChoice, ...]]]:
    """What the coach wants today, for a sore joint before for the kit. It never stands twice in a round, nor
    where another block has it, and a warm-up never gains a weight."""
    for slug, planned in usual.items():
        written = (one for item in _written_in(block, slug) for one in item.substitutes)
        wanted = occurring(dict.fromkeys(written), today.room)
        if not wanted:
            continue
        light = isinstance(block, WarmUpBlock)
        most = planned.variant.kit.dumbbells if light else today.room.kit.dumbbells
        others = (one.really for name, one in settled.items() if name != slug and one is not None)
        taken = {*others, *elsewhere}
        yield slug, tuple(own_choice(one, today, most, taken) for one in wanted)


def _number(filled: FilledRound) -> int:
    """How many places of a round are filled."""
    return sum(one is not None for one in filled)


def _staying(usual: Mapping[str, Candidate], today: Repertoire) -> Iterator[tuple[str, Candidate]]:
    """What can be done as the plan means it; of one movement under two names only the first."""
    met = set()
    for slug, planned in usual.items():
        if today.stays(planned) and planned.really not in met:
            met.add(planned.really)
            yield slug, planned


def _places(
    block: Block,
    today: Repertoire,
    usual: Mapping[str, Candidate],
    settled: Mapping[str, Candidate | None],
    elsewhere: frozenset[Slug],
) -> Iterator[RoundPlace]:
    """The places of a block; a movement that is settled leaves no choice. What stands in never gains a
    weight."""
    barred = elsewhere | {candidate.really for candidate in settled.values() if candidate is not None}
    candidates: dict[str, tuple[Candidate, ...]] = {}
    for number, slug in enumerate(movements_named_in(block)):
        planned, written = usual[slug], _items_of(block)[number] if _items_of(block) else None
        if slug in settled:
            candidates[slug] = tuple(one for one in (settled[slug],) if one is not None)
        elif slug not in candidates:
            candidates[slug] = today.stand_ins(
                planned,
                barred,
                coachs_easier=next((one.easier for one in _written_in(block, slug) if one.easier), None),
                without_holds=isinstance(written, WarmUpItem)
                and written.amount.unit is AmountUnit.repetitions,
            )
        optional = isinstance(written, WorkMovement) and written.optional
        region, grip_heavy = planned.movement.region, planned.variant.grip_heavy
        yield RoundPlace(region, grip_heavy, candidates[slug], optional, slug)


def _with_tries(
    block: PracticeBlock, practised: Mapping[str, Chosen], today: Repertoire
) -> dict[str, Chosen]:
    """The practice with movements left out after pain that may be tried today.

    What stands in for such a movement in the work is practised as well, after the others.
    """
    found, behind = dict(practised), dict[str, Chosen]()
    for slug in block.movements:
        variant = today.room.variant_to_try(today.known[slug])
        if variant is not None:
            stand_in = found.get(slug)
            behind |= {stand_in.movement: stand_in} if stand_in is not None else {}
            to_try = Candidate(today.known[slug], variant)
            found[slug] = as_chosen(to_try, today.known[slug], known=today.known, limits=today.room.limits)
    return found | behind


def _with_own(
    block: Block,
    means: Candidate,
    candidate: Candidate | None,
    today: Repertoire,
    own: tuple[OwnChoice, ...],
    *,
    otherwise: Swap | None,
) -> Swap:
    """What became of a movement for which the coach has a choice of their own: that choice, or the ordinary
    one and why it is not the coach's."""
    used = next((one for one in own if one.candidate is not None and one.candidate is candidate), None)
    refused = own[: own.index(used)] if used else own
    said = [_not_used(one, means) for one in refused]
    if used is not None and candidate is not None:
        mine = own_choice_message(means.movement, candidate, used.written.when, today.room)
        said = [open_telling(mine), *said]
    elif otherwise is not None:
        said = [*otherwise.said, *said]
    return Swap(
        block=block.id,
        movement=means.movement.slug,
        replacement=candidate.movement.slug if candidate else None,
        not_used=refused[0].written.movement if refused else None,
        said=tuple(said),
    )


def _not_used(own: OwnChoice, means: Candidate) -> Telling:
    told = not_used_message(means.movement, own.movement, own.hindrance)
    sent = not_used_message(means.movement, own.movement, (FOR_TODAY,)) if own.is_private else told
    return Telling(told=told, sent=sent)


def _swap(block: Block, means: Candidate, candidate: Candidate | None, today: Repertoire) -> Swap:
    """What became of a movement that the plan ``means``, and what the person lacks or spares that made it
    so."""
    planned, usual, room = means.movement, means.variant, today.room
    possible = room.possible_variants(planned)
    limits = barring(room.limits, planned, usual)
    lacking = () if usual in possible or limits else _lacking(usual, room)
    why = WhySwapped(
        lacking=lacking,
        sore=() if lacking and _same_without_pain(means, candidate, today) else _spared(means, room),
        one_sided=() if lacking else one_sided_joints(usual),
        after_pain=planned.slug in room.after_pain,
        limits=limits,
        comes_already=usual in room.variants_of(planned),
    )
    return Swap(
        block=block.id,
        movement=planned.slug,
        replacement=candidate.movement.slug if candidate else None,
        said=(
            Telling(
                told=swap_message(planned, candidate, why),
                sent=swap_message(planned, candidate, why._replace(limits=())),
            ),
        ),
    )


def _spared(means: Candidate, room: Room) -> tuple[JointPoint, ...]:
    """The joints that what the plan means, or the version of it that is possible, would stress too much."""
    variants = (means.variant, *room.possible_variants(means.movement)[:1])
    sore = (one for variant in variants for one in room.too_much(means.movement, variant))
    return tuple(dict.fromkeys((one.joint, one.side) for one in sore))


def _same_without_pain(means: Candidate, candidate: Candidate | None, today: Repertoire) -> bool:
    """Whether this stands in for lack of something, whatever hurts: it is the nearest without pain too."""
    if candidate is None or not today.room.sore:
        return False
    free = Repertoire(today.known, today.room.model_copy(update={"sore": ()}))
    nearest = next(iter(free.stand_ins(means, ())), None)
    return nearest is not None and nearest[:2] == candidate[:2]


def _lacking(usual: Variant, room: Room) -> tuple[Message, ...]:
    """What the usual variant needs and the person does not have."""
    if usual.kit.dumbbells > room.kit.dumbbells:
        return (missing_kit(usual.kit),)
    return tuple(missing_equipment(one) for one in usual.needs if one in room.without)


def _items_of(block: Block) -> tuple[WarmUpItem | WorkMovement, ...]:
    """What the coach wrote about each place of a warm-up or a work block."""
    if isinstance(block, WarmUpBlock):
        return block.items
    return block.movements if isinstance(block, WorkBlock) else ()


def _written_in(block: Block, slug: str) -> tuple[WarmUpItem | WorkMovement, ...]:
    """What the coach wrote about a movement in each of its places."""
    return tuple(item for item in _items_of(block) if item.movement == slug)
