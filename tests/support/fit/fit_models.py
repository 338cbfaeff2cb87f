"""A second model of the fit to compare with, without the engine's search or its lengths.

A ``Model`` computes every block from the fields of the plan alone and orders the decisions by itself. It
takes over what may be decided (the steps of a lever, the movements a kit and a body allow). It finds the
optimum twice: by looking at every session, and by OR-tools' CP-SAT.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from math import prod

import numpy as np
from ortools.sat.python import cp_model

from engine.fit.problem import Problem
from engine.movements.movement import Sides
from engine.plan.plan import (
    AmountCount,
    AmountUnit,
    Buys,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    SideChangeMode,
    WarmUpBlock,
    WorkBlock,
    WorkMovement,
)
from engine.session.choices import Choices, Chosen

S = 1_000
"""Milliseconds in a second."""


@dataclass(frozen=True)
class Part:
    """A block under some choices: the first round, each round more, and whether it begins on the clock."""

    once_ms: int
    again_ms: int
    clocked: bool


@dataclass(frozen=True)
class Axis:
    """One decision: a lever by its number, or the rounds of blocks in ``ways``; best first."""

    lever: int | None
    ways: tuple[dict[str, int], ...]

    @property
    def size(self) -> int:
        return len(self.ways)


class Model:
    """One plan for one person. ``below`` for sessions short of the coach's minimum."""

    def __init__(self, problem: Problem, *, below: bool = False) -> None:
        self.problem, self.plan, self.below = problem, problem.plan, below
        self.movements = problem.choice.by_block
        self.axes = list(self._axes())

    # The order of worth

    def _axes(self) -> Iterator[Axis]:
        if self.below:
            yield self._rounds([(b.id, b.rounds.permitted, b.rounds.min) for b in self.plan.work_blocks()])
        numbered = {(lever.code, lever.block): n for n, lever in enumerate(self.problem.levers)}
        allowances = self._allowances()
        own = {g: [b for give_up, b in allowances if give_up is g and b] for g in GiveUp}
        kinds = {GiveUp.extra_rounds: Buys.rounds, GiveUp.extra_warm_up: Buys.warm_up}
        placed = {give_up for give_up, block in allowances if block is None}
        for kind in self.plan.buys:
            if kind is Buys.allowances:
                for give_up, block in reversed(allowances):
                    if (give_up, block) in numbered:
                        number = numbered[give_up, block]
                        yield Axis(number, ({},) * len(self.problem.levers[number].steps))
                    elif give_up in kinds:
                        yield from self._extra(give_up, own[give_up], block)
            else:
                give_up = next(g for g in kinds if kinds[g] is kind)
                if give_up not in placed:
                    yield from self._extra(give_up, own[give_up], None)

    def _allowances(self) -> list[tuple[GiveUp, str | None]]:
        if self.plan.allowances is not None:
            return [(allowance.give_up, allowance.block) for allowance in self.plan.allowances]
        order = "cool_down hand_change leg_change practice_kind practice optional_movements rest"
        return [(GiveUp(name), None) for name in order.split()]

    def _extra(self, give_up: GiveUp, own: list[str], block: str | None) -> Iterator[Axis]:
        kind = WorkBlock if give_up is GiveUp.extra_rounds else WarmUpBlock
        if kind is WorkBlock and self.below:
            return
        meant = [b for b in self.plan.blocks if isinstance(b, kind)]
        meant = [b for b in meant if (b.id == block if block else b.id not in own)]
        if meant:
            yield self._rounds([(b.id, b.rounds.min, b.rounds.max) for b in meant])

    def _rounds(self, ranges: list[tuple[str, int, int]]) -> Axis:
        """Adds one round at a time, to the earliest block among those that got fewest."""
        gained = dict.fromkeys((block for block, _, _ in ranges), 0)
        ways = [{block: low for block, low, _ in ranges}]
        for _ in range(sum(high - low for _, low, high in ranges)):
            open_ones = [block for block, low, high in ranges if low + gained[block] < high]
            gained[min(open_ones, key=gained.__getitem__)] += 1
            ways.insert(0, {block: low + gained[block] for block, low, _ in ranges})
        return Axis(None, tuple(ways))

    # Lengths, from the fields of the plan

    def part(self, block: object, choices: Choices) -> Part | None:
        match block:
            case WarmUpBlock():
                round_ms = sum(self._item_ms(block, item, choices) for item in block.items)
                return Part(round_ms, round_ms, False) if self.movements[block.id] else None
            case PracticeBlock():
                return self._practice(block, choices)
            case WorkBlock():
                return self._work(block, choices)
            case CoolDownBlock():
                length_s = choices.cool_down_s.get(block.id, block.duration_s)
                return Part(length_s * S, 0, True) if self.movements[block.id] else None
        raise AssertionError(block)

    def _item_ms(self, block: WarmUpBlock, item: object, choices: Choices) -> int:
        chosen = self.movements[block.id].get(item.movement)
        if chosen is None:
            return 0
        if item.estimate_s is not None:
            return item.estimate_s * S
        each_ms = 1 * S if item.amount.unit is AmountUnit.seconds else 3 * S
        sides = 2 if item.amount.count is AmountCount.per_side else 1
        both = [item.amount.low * sides, item.amount.most * sides]
        if chosen.instead_of and (chosen.alternates or chosen.sides is not Sides.none):
            both = [number + number % 2 for number in both]  # shared evenly between the sides
        return sum(both) * each_ms // 2 + _way_there_ms(chosen, choices)

    def _practice(self, block: PracticeBlock, choices: Choices) -> Part | None:
        variant = choices.practice[block.id]
        kept = {item.movement for b in self.plan.work_blocks() for item, _ in self._kept(b, choices)}
        worked = {slug for b in self.plan.work_blocks() for slug in self.movements[b.id]}
        here = [
            (slug, self.movements[block.id][slug])
            for slug in block.movements
            if slug in self.movements[block.id] and (slug in kept or slug not in worked)
        ]
        if not here or variant is PracticeKind.skipped:
            return None
        if variant is PracticeKind.timed:
            return Part(
                len(here) * block.timed.work_s * S + (len(here) - 1) * block.timed.rest_s * S, 0, True
            )
        if block.repetitions_estimate_s is not None:
            return Part(block.repetitions_estimate_s * S, 0, False)
        return Part(sum(self._repeated_ms(block, slug, one, choices) for slug, one in here), 0, False)

    def _repeated_ms(self, block: PracticeBlock, slug: str, chosen: Chosen, choices: Choices) -> int:
        planned = chosen.instead_of or chosen.movement
        tempo = next(
            (
                i.tempo
                for b in reversed(self.plan.work_blocks())
                for i in b.movements
                if i.movement == planned
            ),
            None,
        )
        each_s = sum(int(figure) for figure in tempo.split("-")) if tempo else 3
        both = [block.repetitions.low, block.repetitions.most]
        if chosen.alternates and chosen.sides is Sides.none:
            both = [number + number % 2 for number in both]  # shared evenly between the sides
        if block.repetitions.unit == "seconds":
            each_s = 1
        elif chosen.starts_with == "hold":
            each_s = 3
        one_side_ms = sum(both) * each_s * S // 2
        if chosen.sides is not Sides.none:
            change_s = 5 if chosen.sides is Sides.hand else 10
            one_side_ms = 2 * one_side_ms + change_s * S
        return one_side_ms + _way_there_ms(chosen, choices)

    def _kept(self, block: WorkBlock, choices: Choices) -> list[tuple[WorkMovement, Chosen]]:
        gone = {
            int(name.split(":")[1]) for name in choices.without_optional if name.split(":")[0] == block.id
        }
        chosen = self.movements[block.id]
        kept = [item for place, item in enumerate(block.movements, 1) if place not in gone]
        return [(item, chosen[item.movement]) for item in kept if item.movement in chosen]

    def _work(self, block: WorkBlock, choices: Choices) -> Part | None:
        kept = self._kept(block, choices)
        round_s = last_rest_s = 0
        for index, (item, chosen) in enumerate(kept):
            closing = index == len(kept) - 1
            following = kept[0 if closing else index + 1][1]
            work_s = min(item.work_s or block.work_s, choices.work_s.get(block.id, 10_000))
            added_s, taken_s = self._change_s(block, chosen, choices)
            unlike = following.on_floor or following.dumbbells != chosen.dumbbells
            rest_s, floor_s = block.rest_s, 30 if unlike else 15
            if closing and block.round_rest_s is not None:
                rest_s = block.round_rest_s
            elif block.id in choices.rest_s:
                rest_s = min(rest_s, max(choices.rest_s[block.id], floor_s))
            last_rest_s = max(rest_s - taken_s, min(rest_s, floor_s))
            round_s += work_s + added_s + last_rest_s
        return Part((round_s - last_rest_s) * S, round_s * S, True) if kept else None

    def _change_s(self, block: WorkBlock, chosen: Chosen, choices: Choices) -> tuple[int, int]:
        """What a change of sides adds to the interval, and what it takes from the rest after it."""
        given_up = choices.hand_inside if chosen.sides is Sides.hand else choices.leg_inside
        mode = self.plan.side_change.mode
        if chosen.sides is Sides.none or block.id in given_up or mode is SideChangeMode.inside:
            return 0, 0
        change_s = self.plan.side_change.change_s
        return change_s, change_s if mode is SideChangeMode.from_rest else 0

    # Tables: the parts of each block by the steps of the levers that change it

    @cached_property
    def tables(self) -> list[tuple[list[int], dict[tuple[int, ...], Part | None]]]:
        """The axes (by index) of the levers that change each block, and its part for every combination."""
        return [self._table(block) for block in self.plan.blocks]

    def _table(self, block: object) -> tuple[list[int], dict[tuple[int, ...], Part | None]]:
        moved = [
            index
            for index, axis in enumerate(self.axes)
            if axis.lever is not None and block.id in self.problem.levers[axis.lever].blocks
        ]
        parts = {}
        for way in product(*(range(self.axes[index].size) for index in moved)):
            choices = self.problem.start
            for index, place in zip(moved, way, strict=True):
                choices = self.problem.levers[self.axes[index].lever].steps[place](choices)
            parts[way] = self.part(block, choices)
        return moved, parts

    def rounds_axis(self, block: object) -> int | None:
        return next((i for i, axis in enumerate(self.axes) if block.id in axis.ways[0]), None)

    def fixed_rounds(self, block: object) -> int:
        return self.problem.start.rounds.get(block.id, 1)

    # Every session

    @property
    def sessions(self) -> int:
        return prod(axis.size for axis in self.axes)

    def all_lengths_ms(self) -> np.ndarray:
        """The length of every session, with one axis for each decision, the most valuable first."""
        shape = [axis.size for axis in self.axes]
        total_ms = np.zeros(shape, dtype=np.int64)
        nothing_before = np.ones(shape, dtype=bool)
        for block, (moved, parts) in zip(self.plan.blocks, self.tables, strict=True):
            once, again, present, clocked = self._arrays(moved, parts)
            rounds = self._rounds_array(block)
            way_in_ms = np.where(nothing_before, clocked * 10 * S, self.plan.transition_s * S)
            total_ms = total_ms + present * (once + (rounds - 1) * again + way_in_ms)
            nothing_before = nothing_before & ~present.astype(bool)
        return total_ms

    def _arrays(self, moved: list[int], parts: dict[tuple[int, ...], Part | None]) -> list[np.ndarray]:
        shape = [axis.size if index in moved else 1 for index, axis in enumerate(self.axes)]
        rows = [(p.once_ms, p.again_ms, 1, int(p.clocked)) if p else (0, 0, 0, 0) for p in parts.values()]
        return [np.array(column, dtype=np.int64).reshape(shape) for column in zip(*rows, strict=True)]

    def _rounds_array(self, block: object) -> np.ndarray | int:
        index = self.rounds_axis(block)
        if index is None:
            return self.fixed_rounds(block)
        rounds = [way[block.id] for way in self.axes[index].ways]
        return np.array(rounds).reshape([-1 if i == index else 1 for i in range(len(self.axes))])

    def best_of_all(self, budget_ms: int) -> tuple[int, ...] | None:
        """The first session, in the order of worth, that fits the budget."""
        fits = (self.all_lengths_ms() <= budget_ms).ravel()
        first = int(fits.argmax())
        if not fits[first]:
            return None
        return tuple(int(i) for i in np.unravel_index(first, [axis.size for axis in self.axes]))

    # CP-SAT

    def by_constraint_solver(self, budget_ms: int) -> tuple[int, ...] | None:
        model = cp_model.CpModel()
        places = [model.new_int_var(0, axis.size - 1, f"axis {i}") for i, axis in enumerate(self.axes)]
        whole = [
            self._block_vars(model, places, *pair) for pair in zip(self.plan.blocks, self.tables, strict=True)
        ]
        total = sum(length for length, _, _ in whole)
        before = []
        for _, present, clocked in whole:
            first = model.new_bool_var("first")
            model.add_min_equality(first, [present, *(1 - other for other in before)])
            lead_in = model.new_bool_var("lead-in")
            model.add_min_equality(lead_in, [first, clocked])
            total += self.plan.transition_s * S * (present - first) + 10 * S * lead_in
            before.append(present)
        model.add(total <= budget_ms)
        worth = 1
        objective = 0
        for axis, place in zip(reversed(self.axes), reversed(places), strict=True):
            objective += worth * place
            worth *= axis.size
        model.minimize(objective)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        if solver.solve(model) != cp_model.OPTIMAL:
            return None
        return tuple(solver.value(place) for place in places)

    def _block_vars(self, model, places, block, table):
        """Its length with all rounds, whether anything of it is left, and whether it begins on the clock."""
        moved, parts = table
        most_ms = max((max(p.once_ms, p.again_ms) for p in parts.values() if p), default=0)
        once, again = (model.new_int_var(0, most_ms, name) for name in ("once", "again"))
        present, clocked = model.new_bool_var("present"), model.new_bool_var("clocked")
        rows = [
            (*way, *((p.once_ms, p.again_ms, 1, int(p.clocked)) if p else (0, 0, 0, 0)))
            for way, p in parts.items()
        ]
        model.add_allowed_assignments([*(places[i] for i in moved), once, again, present, clocked], rows)
        index = self.rounds_axis(block)
        if index is None:
            return once + (self.fixed_rounds(block) - 1) * again, present, clocked
        ways = [way[block.id] for way in self.axes[index].ways]
        more = model.new_int_var(0, max(ways) - 1, "rounds after the first")
        model.add_element(places[index], [rounds - 1 for rounds in ways], more)
        added = model.new_int_var(0, most_ms * max(ways), "rounds × round")
        model.add_multiplication_equality(added, [more, again])
        return once + added, present, clocked


def _way_there_ms(chosen: Chosen, choices: Choices) -> int:
    return (choices.to_floor_s if chosen.on_floor else 5) * S
