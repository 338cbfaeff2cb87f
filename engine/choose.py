"""Which movements and forms this person does today: kit, room and sore joints; every change is said.

A missing form or a sore joint leads to another movement of the same pattern, then of the same region;
where there is none, the movement is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from engine.model import Model, Sentence
from engine.movement import Equipment, Form, Joint, Kit, Movement, MovementPattern, Side, sides_of
from engine.plan import (
    Block,
    PracticeBlock,
    SessionPlan,
    WorkBlock,
    WorkMovement,
    movements_named_in,
)
from engine.segment import Chosen

SORE_ALLOWS = ((3, 0), (1, 1))
"""Pain today of at least the first figure allows joint stress up to the second. † Our judgement, no
source."""


class SoreJoint(Model):
    """A joint that hurts today, rated 1–10; neck and low back have no side."""

    joint: Joint
    side: Side | None = None
    rating: Annotated[int, Field(ge=1, le=10)]


class Room(Model):
    """What the person has today."""

    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()

    def form_of(self, movement: Movement) -> Form | None:
        """The form this kit and room allow; None where a sore joint or the kit forbids all."""
        if any(movement.stress_on(sore.joint) > allowed_stress(sore.rating) for sore in self.sore):
            return None
        return movement.form_for(self.kit, frozenset(self.without))


class Swap(Model):
    """A movement replaced (or left out, where ``replacement`` is None), and why in one sentence."""

    block: str
    movement: str
    replacement: str | None
    text: Sentence


@dataclass(frozen=True)
class Choice:
    """The chosen movements by the plan's slug, one mapping a block, and what was swapped."""

    by_block: Mapping[str, Mapping[str, Chosen]]
    swaps: tuple[Swap, ...]


def allowed_stress(rating: int) -> int:
    """The joint stress grade that a joint rated so today may take."""
    return next((grade for least, grade in SORE_ALLOWS if rating >= least), 3)


def choose(plan: SessionPlan, room: Room) -> Choice:
    """Chooses a form for every movement of every block. Practice follows what the work blocks chose."""
    known = plan.known_movements()
    order = sorted(plan.blocks, key=lambda block: isinstance(block, PracticeBlock))
    by_block: dict[str, dict[str, Chosen]] = {}
    swaps: list[Swap] = []
    for block in order:
        taken = _taken_in_work(plan, by_block) if isinstance(block, PracticeBlock) else {}
        by_block[block.id] = dict(_choose_block(block, known, room, taken, swaps))
    return Choice(by_block, tuple(swaps))


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
    block: Block,
    known: Mapping[str, Movement],
    room: Room,
    taken: Mapping[str, Chosen | None],
    swaps: list[Swap],
) -> Iterator[tuple[str, Chosen]]:
    named = movements_named_in(block)
    used = set(named)
    for index, slug in enumerate(named):
        if slug in taken:
            chosen = taken[slug]
            if chosen is not None:
                yield slug, chosen
            continue
        movement, form = known[slug], room.form_of(known[slug])
        if form is not None:
            yield slug, _chosen(movement, form, block)
            continue
        replacement = _substitute(movement, _neighbours(named, index, known), used, known, room)
        swaps.append(_swap(block, movement, replacement[0] if replacement else None, room))
        if replacement is not None:
            used.add(replacement[0].slug)
            yield slug, _chosen(*replacement, block, instead_of=movement)


def _neighbours(named: tuple[str, ...], index: int, known: Mapping[str, Movement]) -> list[Movement]:
    """The movements before and after in the round; a round closes on itself."""
    return [known[named[(index + step) % len(named)]] for step in (-1, 1) if len(named) > 1]


def _substitute(
    movement: Movement,
    neighbours: list[Movement],
    used: Iterable[str],
    known: Mapping[str, Movement],
    room: Room,
) -> tuple[Movement, Form] | None:
    """The nearest movement that is allowed: easier form, same pattern, same region; neighbours kept apart."""
    barred = set(used)
    chain = list(_easier_chain(movement, known))
    same = [m for m in known.values() if m.pattern is movement.pattern]
    near = [
        m for m in known.values() if m.region is movement.region and _is_mobility(m) == _is_mobility(movement)
    ]
    candidates = [
        (candidate, form)
        for candidate in (*chain, *same, *near)
        if candidate.slug not in barred and (form := room.form_of(candidate)) is not None
    ]
    apart = [pair for pair in candidates if not _crowds(pair[0], pair[1], movement, neighbours, room)]
    return next(iter(apart or candidates), None)


def _is_mobility(movement: Movement) -> bool:
    return movement.pattern is MovementPattern.mobility


def _easier_chain(movement: Movement, known: Mapping[str, Movement]) -> Iterator[Movement]:
    seen = {movement.slug}
    while movement.easier is not None and movement.easier in known and movement.easier not in seen:
        movement = known[movement.easier]
        seen.add(movement.slug)
        yield movement


def _crowds(
    candidate: Movement, form: Form, original: Movement, neighbours: list[Movement], room: Room
) -> bool:
    """Whether a substitute puts one region twice in a row where the plan did not, or grip beside grip."""
    for neighbour in neighbours:
        if candidate.region is neighbour.region and original.region is not neighbour.region:
            return True
        beside = room.form_of(neighbour)
        if form.grip_heavy and beside is not None and beside.grip_heavy:
            return True
    return False


def _swap(block: Block, movement: Movement, replacement: Movement | None, room: Room) -> Swap:
    sore = [s for s in room.sore if movement.stress_on(s.joint) > allowed_stress(s.rating)]
    if sore:
        names = " and ".join(sorted({s.joint.replace("_", " ") for s in sore}))
        why = f"to spare the {names}"
    else:
        why = "for want of kit or room"
    what = f"{replacement.name} instead of {movement.name}" if replacement else f"{movement.name} left out"
    return Swap(
        block=block.id,
        movement=movement.slug,
        replacement=replacement.slug if replacement else None,
        text=f"{what}, {why}.",
    )


def _chosen(movement: Movement, form: Form, block: Block, instead_of: Movement | None = None) -> Chosen:
    item = _item(block, movement.slug)
    return Chosen(
        movement=movement.slug,
        name=movement.name,
        form=form.id,
        form_name=form.name,
        sides=sides_of(form),
        held=form.held,
        dumbbells=form.kit.dumbbells,
        pattern=movement.pattern,
        also=movement.also,
        starts_with=movement.starts_with,
        on_floor=form.on_floor,
        grip_heavy=form.grip_heavy,
        cues=(item.cues if item else ()) or movement.cues,
        end_point=(item.end_point if item else None) or movement.end_point,
        placing=form.placing,
        stop_rules=movement.stop_rules + (item.stop_rules if item else ()),
        easier=(item.easier if item else None) or movement.easier,
        instead_of=instead_of.slug if instead_of else None,
    )


def _item(block: Block, slug: str) -> WorkMovement | None:
    """The coach's own words about a movement, where a work block has them."""
    if not isinstance(block, WorkBlock):
        return None
    return next((item for item in block.movements if item.movement == slug), None)
