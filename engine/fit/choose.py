"""Which movements and forms this person does today: kit, room and sore joints; every change is said.

A missing form or a sore joint leads to another form of the movement, then to another movement of the same
pattern, then of the same region; where there is none, the movement is left out. See ``stand_in`` for the
order of worth.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from engine.base.model import Model, Sentence
from engine.fit.reasons import left_out_sentence, swap_sentence
from engine.movements.movement import (
    Form,
    Joint,
    Kit,
    Movement,
    StartsWith,
    changing_in,
    one_sided_joints,
    sides_of,
)
from engine.movements.room import Room
from engine.movements.substitutes import Option, RoundPlace, best_round, easier_chain, stand_ins
from engine.movements.words import EQUIPMENT_WORDS
from engine.plan.plan import (
    Block,
    DoseUnit,
    PracticeBlock,
    SessionPlan,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.session.segment import Chosen


class Swap(Model):
    """A change of what the plan named, and why in one sentence.

    ``replacement`` is another movement, the same one where only its form changed, or None where it is left
    out.
    """

    block: str
    movement: str
    replacement: str | None
    text: Sentence


@dataclass(frozen=True)
class Choice:
    """The chosen movements by the plan's slug, one mapping a block, and what was swapped."""

    by_block: Mapping[str, Mapping[str, Chosen]]
    swaps: tuple[Swap, ...]

    def without(self, plan: SessionPlan, left_out: Collection[str]) -> Choice:
        """The same choice without these movements in work and practice, planned or standing in, and nothing
        in their place."""
        where = {block.id for block in plan.blocks if isinstance(block, WorkBlock | PracticeBlock)}
        gone = {
            (block, slug): chosen.name
            for block in where
            for slug, chosen in self.by_block[block].items()
            if slug in left_out or chosen.movement in left_out
        }
        kept = {
            block: {slug: chosen for slug, chosen in movements.items() if (block, slug) not in gone}
            for block, movements in self.by_block.items()
        }
        said = tuple(
            Swap(
                block=block.id, movement=slug, replacement=None, text=left_out_sentence(gone[block.id, slug])
            )
            for block in plan.work_blocks()
            for slug in movements_named_in(block)
            if (block.id, slug) in gone
        )
        return Choice(kept, (*(s for s in self.swaps if (s.block, s.movement) not in gone), *said))


class _Today:
    """The movements a plan can name, and what this person can do of them; each is looked at once."""

    def __init__(self, known: Mapping[str, Movement], room: Room) -> None:
        self.known = known
        self.room = room
        self.forms_of = cache(lambda slug: room.forms_of(known[slug]))

    def usual(self, slug: str) -> Option:
        """What the plan means by a movement, whether it can be done today or not."""
        return Option(self.known[slug], self.room.usual_form(self.known[slug]))

    def stays(self, slug: str) -> bool:
        return self.usual(slug).form in self.forms_of(slug)

    def as_chosen(self, chosen: Chosen) -> Option:
        movement = self.known[chosen.movement]
        return Option(movement, next(form for form in movement.forms if form.id == chosen.form))

    def stand_ins(
        self, planned: Option, barred: Collection[str], item: WarmUpItem | WorkMovement | None = None
    ) -> tuple[Option, ...]:
        """What may stand in for a movement, nearest first. Repetitions are never asked of a hold."""
        counted = isinstance(item, WarmUpItem) and item.dose.unit is DoseUnit.repetitions
        found = stand_ins(
            planned.movement, planned.form, self.known, self.forms_of, item.easier if item else None
        )
        return tuple(
            option
            for option in found
            if option.movement.slug not in barred
            and not (counted and option.movement.starts_with is StartsWith.hold)
        )


def choose(plan: SessionPlan, room: Room) -> Choice:
    """Chooses a form for every movement of every block. Practice follows what the work blocks chose."""
    today = _Today(plan.known_movements(), room)
    order = sorted(plan.blocks, key=lambda block: isinstance(block, PracticeBlock))
    by_block: dict[str, dict[str, Chosen]] = {}
    swaps: list[Swap] = []
    for block in order:
        taken = _taken_in_work(plan, by_block) if isinstance(block, PracticeBlock) else {}
        by_block[block.id] = dict(_choose_block(block, today, taken, swaps))
        if isinstance(block, PracticeBlock):
            by_block[block.id] = _with_tries(block, by_block[block.id], today)
    return Choice(by_block, tuple(swaps))


def _with_tries(block: PracticeBlock, practised: dict[str, Chosen], today: _Today) -> dict[str, Chosen]:
    """The practice with what is on hold tried in it; its stand-in is practised as well, behind the others."""
    found, behind = dict(practised), dict[str, Chosen]()
    for slug in block.movements:
        form = today.room.form_to_try(today.known[slug])
        if form is not None:
            stand_in = found.get(slug)
            behind |= {stand_in.movement: stand_in} if stand_in is not None else {}
            found[slug] = _chosen(Option(today.known[slug], form), today.known[slug], None)
    return found | behind


def _taken_in_work(
    plan: SessionPlan, by_block: Mapping[str, Mapping[str, Chosen]]
) -> dict[str, Chosen | None]:
    """What became of each movement in the work blocks; None where it was left out."""
    taken: dict[str, Chosen | None] = {}
    for block in plan.work_blocks():
        for slug in movements_named_in(block):
            taken.setdefault(slug, by_block[block.id].get(slug))
    return taken


def _choose_block(
    block: Block, today: _Today, taken: Mapping[str, Chosen | None], swaps: list[Swap]
) -> Iterator[tuple[str, Chosen]]:
    named = movements_named_in(block)
    settled: dict[str, Option | None] = {slug: today.usual(slug) for slug in named if today.stays(slug)}
    settled |= {slug: today.as_chosen(chosen) if chosen else None for slug, chosen in taken.items()}
    barred = {option.movement.slug for option in settled.values() if option is not None}
    places = []
    for slug in named:
        planned, option = today.usual(slug), settled.get(slug)
        options: tuple[Option, ...] = (option,) if option else ()
        if slug not in settled:
            options = today.stand_ins(planned, barred, _item(block, slug))
        places.append(RoundPlace(planned.movement.region, planned.form.grip_heavy, options))
    for slug, option in zip(named, best_round(places), strict=True):
        if slug not in settled:
            swaps.append(_swap(block, today.known[slug], option, today.room))
        if option is not None:
            own = _item(block, option.movement.slug)
            yield slug, taken.get(slug) or _chosen(option, today.known[slug], own)


def substitute_for(
    chosen: Chosen,
    *,
    known: Mapping[str, Movement],
    room: Room,
    neighbours: Sequence[Chosen],
    used: Collection[str],
    sparing: frozenset[Joint],
) -> Chosen | None:
    """The movement that takes another's place in coming rounds, with the joints to spare at grade 0.

    Arguments: ``known``, the movements of the plan and the library by slug; ``neighbours``, what stands
    before and after it in the round (none, one or two); ``used``, the slugs that the round holds already.
    Another form of the same movement is never offered. None where nothing is allowed.
    """
    today = _Today(known, room.sparing(sparing))
    planned = today.as_chosen(chosen)
    beside = [today.as_chosen(neighbour) for neighbour in neighbours[:2]]
    places = [RoundPlace(option.movement.region, option.form.grip_heavy, (option,)) for option in beside]
    at = min(len(places), 1)
    options = today.stand_ins(planned, {chosen.movement, *used})
    places.insert(at, RoundPlace(planned.movement.region, planned.form.grip_heavy, options))
    option = best_round(places)[at]
    if option is None:
        return None
    made = _chosen(option, planned.movement, None)
    return made.model_copy(update={"instead_of": chosen.instead_of or chosen.movement})


def easier_for(
    chosen: Chosen, *, known: Mapping[str, Movement], room: Room, used: Collection[str]
) -> Chosen | None:
    """The next easier movement of its chain that can be done here; None where there is none.

    The coach's own easier movement comes first; ``used`` are the slugs that the session holds already. What
    is easier never takes up another weight.
    """
    planned = known.get(chosen.movement)
    if planned is None:
        return None
    own = [known[slug] for slug in (chosen.easier,) if slug is not None and slug in known]
    for movement in (*own, *easier_chain(planned, known)):
        forms = [form for form in room.forms_of(movement) if form.kit.dumbbells <= chosen.dumbbells]
        if forms and movement.slug not in used:
            made = _chosen(Option(movement, forms[0]), planned, None)
            return made.model_copy(update={"instead_of": chosen.instead_of or chosen.movement})
    return None


def _swap(block: Block, planned: Movement, option: Option | None, room: Room) -> Swap:
    """What became of a movement, and what the person lacks or spares that made it so."""
    usual, possible = room.usual_form(planned), room.possible_forms(planned)
    sore = dict.fromkeys(one for form in (usual, *possible[:1]) for one in room.too_much(planned, form))
    return Swap(
        block=block.id,
        movement=planned.slug,
        replacement=option.movement.slug if option else None,
        text=swap_sentence(
            planned,
            (option.movement, option.form) if option else None,
            lacking=() if usual in possible or room.too_flat(usual) else _lacking(usual, room),
            sore=tuple((one.joint, one.side) for one in sore),
            one_sided=one_sided_joints(usual),
            held=planned.slug in room.held,
            too_flat=room.too_flat(usual),
        ),
    )


def _lacking(usual: Form, room: Room) -> tuple[str, ...]:
    """What the usual form would have needed."""
    if usual.kit.dumbbells > room.kit.dumbbells:
        return ("a weight",) if usual.kit is Kit.single else ("two weights",)
    return tuple(EQUIPMENT_WORDS[one] for one in usual.needs if one in room.without)


def _chosen(option: Option, planned: Movement, item: WorkMovement | WarmUpItem | None) -> Chosen:
    movement, form = option.movement, option.form
    own = item if isinstance(item, WorkMovement) else None
    return Chosen(
        movement=movement.slug,
        name=movement.name,
        form=form.id,
        form_name=form.name,
        sides=sides_of(form),
        changes=changing_in(form),
        held=form.held,
        dumbbells=form.kit.dumbbells,
        pattern=movement.pattern,
        also=movement.also,
        accessory=movement.accessory,
        starts_with=movement.starts_with,
        on_floor=form.on_floor,
        supine=form.supine,
        prone=form.prone,
        hands_bear=form.hands_bear,
        grip_heavy=form.grip_heavy,
        cues=(own.cues if own else ()) or movement.cues,
        end_point=(own.end_point if own else None) or movement.end_point,
        placing=form.placing,
        stop_rules=movement.stop_rules + (own.stop_rules if own else ()),
        easier=(own.easier if own else None) or movement.easier,
        instead_of=planned.slug if movement.slug != planned.slug else None,
    )


def _item(block: Block, slug: str) -> WarmUpItem | WorkMovement | None:
    """What the coach wrote about a movement in a warm-up or a work block."""
    items: tuple[WarmUpItem | WorkMovement, ...] = ()
    if isinstance(block, WarmUpBlock):
        items = block.items
    elif isinstance(block, WorkBlock):
        items = block.movements
    return next((item for item in items if item.movement == slug), None)
