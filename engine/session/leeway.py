"""What a session may still give up while it runs, as its plan allows: rounds and movements to come, never a
rest."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from engine.base.model import Model, Slug
from engine.plan.allowances import allowances_of
from engine.plan.plan import Allowance, Buys, CoolDownBlock, GiveUp, SessionPlan, WarmUpBlock, WorkBlock
from engine.session.block_parts import optional_name
from engine.session.choices import Choices


class OnTheRun(StrEnum):
    """One thing that a re-fit decides on. Rests, work intervals and changes of sides stay as they are."""

    cool_down = "cool_down"
    optional_movements = "optional_movements"
    let_go = "let_go"
    """The movements that the coach lets go only while a session runs."""
    rounds = "rounds"
    warm_up = "warm_up"


_ON_THE_RUN = {
    GiveUp.cool_down: OnTheRun.cool_down,
    GiveUp.optional_movements: OnTheRun.optional_movements,
    GiveUp.extra_rounds: OnTheRun.rounds,
    GiveUp.extra_warm_up: OnTheRun.warm_up,
}


class Leeway(Model):
    """What a session may give up, by block id.

    ``worth`` lists what a re-fit decides on, the most worthy first: the last is given up first.
    ``fewest_rounds`` is the coach's minimum, ``permitted_rounds`` what is permitted below it,
    ``cool_down_s`` the lengths that a cool-down may be brought down to, longest first. ``optional`` and
    ``let_go`` are the places of the movements that may be dropped.
    """

    worth: tuple[OnTheRun, ...] = ()
    fewest_rounds: dict[Slug, int] = {}
    permitted_rounds: dict[Slug, int] = {}
    cool_down_s: dict[Slug, tuple[int, ...]] = {}
    optional: dict[Slug, tuple[int, ...]] = {}
    let_go: dict[Slug, tuple[int, ...]] = {}


def leeway_of(plan: SessionPlan, choices: Choices, *, cool_down_floor_s: int) -> Leeway:
    """What a plan leaves to give up after ``choices``. No cool-down gets shorter than its floor."""
    allowances = allowances_of(plan)
    blocks = {b.id: b for b in plan.blocks if isinstance(b, WarmUpBlock | WorkBlock)}
    let_go = {
        b.id: tuple(place for place, one in enumerate(b.movements, 1) if one.may_go)
        for b in plan.work_blocks()
    }
    worth = (*_worth(plan, allowances), *([OnTheRun.let_go] if any(let_go.values()) else []))
    return Leeway(
        worth=tuple(dict.fromkeys(worth)),
        fewest_rounds={id: b.rounds.min for id, b in blocks.items()},
        permitted_rounds={id: b.rounds.permitted for id, b in blocks.items()},
        cool_down_s=_shorter_cool_downs(plan, choices, allowances, cool_down_floor_s),
        optional=_optional(plan, choices, allowances),
        let_go=let_go,
    )


def _worth(plan: SessionPlan, allowances: tuple[Allowance, ...]) -> Iterator[OnTheRun]:
    """The order of the plan's ``buys``, with its allowances from the last to be given up to the first."""
    for bought in dict.fromkeys((*plan.buys, *Buys)):
        match bought:
            case Buys.rounds:
                yield OnTheRun.rounds
            case Buys.warm_up:
                yield OnTheRun.warm_up
            case Buys.allowances:
                kinds = [allowance.give_up for allowance in reversed(allowances)]
                yield from (_ON_THE_RUN[kind] for kind in kinds if kind in _ON_THE_RUN)


def _shorter_cool_downs(
    plan: SessionPlan, choices: Choices, allowances: tuple[Allowance, ...], floor_s: int
) -> dict[Slug, tuple[int, ...]]:
    """The lengths of each cool-down that are shorter than now, in seconds, longest first."""
    found = {}
    for block in plan.blocks:
        if isinstance(block, CoolDownBlock):
            now_s = choices.cool_down_s.get(block.id, block.duration_s)
            allowed_s = _allowed_s(allowances, block.id)
            found[block.id] = tuple(to_s for to_s in allowed_s if floor_s <= to_s < now_s)
    return found


def _allowed_s(allowances: tuple[Allowance, ...], block: str) -> list[int]:
    """The lengths that a cool-down may be brought down to, longest first."""
    here = (a for a in allowances if a.give_up is GiveUp.cool_down and a.block in (None, block))
    return sorted({length_s for allowance in here for length_s in allowance.to_s}, reverse=True)


def _optional(
    plan: SessionPlan, choices: Choices, allowances: tuple[Allowance, ...]
) -> dict[Slug, tuple[int, ...]]:
    """The places of the optional movements that each work block still has, where they may be dropped."""
    allowed = [a.block for a in allowances if a.give_up is GiveUp.optional_movements]
    return {
        block.id: tuple(
            place
            for place, item in enumerate(block.movements, 1)
            if item.optional and optional_name(block, place) not in choices.without_optional
        )
        for block in plan.work_blocks()
        if None in allowed or block.id in allowed
    }
