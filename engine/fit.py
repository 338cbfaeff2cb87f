"""The fit: minutes, kit and sore joints to the best session the plan allows, with the reason for every cut.

The plan's ``buys`` is an order of worth. The fit is the lexicographic optimum of that order: each decision,
the most worthy first, takes its best value for which the rest can still be made to fit the minutes.

Under the default order the dearest allowance is spent last and least, whole rounds are bought from what is
then spare, and extra rounds of the warm-up from what is left after that. Nothing is spent to buy rounds
beyond the minimum; a session below the minimum is made only where the plan permits it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import product

from engine.choose import Choice, Room, choose
from engine.fitted import FittedBlock, FittedItem, FittedSession, Reason
from engine.leeway import leeway_of
from engine.levers import Lever, Step, levers_of
from engine.movement import Side
from engine.pace import PersonalPace
from engine.plan import (
    LEAD_IN_S,
    Block,
    Buys,
    CoolDownBlock,
    Dose,
    PracticeBlock,
    PracticeForm,
    SessionPlan,
    WarmUpBlock,
    WorkBlock,
    plan_revision,
)
from engine.segment import TO_THE_FLOOR_S, Choices, Pace, total_ms
from engine.timeline import block_segments, compile_plan
from engine.units import MS_PER_MIN, ms, seconds
from engine.wording import lever_sentence

COOL_DOWN_FLOOR_S = 120
CAREFUL_COOL_DOWN_FLOOR_S = 180
"""What a cool-down keeps: 2 min, or 3 where the profile asks for it. † Our judgement, no source."""
CAREFUL_TO_THE_FLOOR_S = 20
"""Older or pregnant trainees. † Our judgement, no source."""


@dataclass(frozen=True)
class Asked:
    """What the person asks for.

    ``rounds`` fixes the rounds of the work blocks; ``side_change`` False takes every change out of the
    interval. ``first_time`` is a session with a movement never done before: practice stays and no alternative
    spends levers. ``extra_rounds_percent`` of the rounds beyond the plan's minimum may be bought. ``pace`` is
    the person's own in what no clock runs.
    """

    minutes: float
    room: Room = field(default_factory=Room)
    rounds: int | None = None
    side_change: bool = True
    first_time: bool = False
    practice_required: bool = False
    careful_cool_down: bool = False
    careful_to_floor: bool = False
    first_side: Side = Side.left
    extra_rounds_percent: int = 100
    pace: PersonalPace = field(default_factory=PersonalPace)

    @property
    def budget_ms(self) -> int:
        return int(self.minutes * MS_PER_MIN)

    def most_rounds(self, block: WorkBlock) -> int:
        extra = block.rounds.max - block.rounds.min
        return block.rounds.min + extra * self.extra_rounds_percent // 100

    @property
    def cool_down_floor_s(self) -> int:
        return CAREFUL_COOL_DOWN_FLOOR_S if self.careful_cool_down else COOL_DOWN_FLOOR_S


@dataclass(frozen=True)
class Decision:
    """One thing to decide: its values best first, each a change of the choices."""

    values: tuple[Step, ...]
    shortest: tuple[Step, ...]
    """The values among which the shortest session can lie; one, unless lengths have to be compared."""
    lever: Lever | None = None
    rounds: bool = False


@dataclass(frozen=True)
class Solution:
    """The value taken for each decision, and the choices they add up to."""

    taken: tuple[tuple[Decision, Step], ...]
    choices: Choices

    def spent(self) -> tuple[tuple[Lever, Step], ...]:
        """The levers that moved, and how far, first-given-up first."""
        moved = [
            (decision.lever, step)
            for decision, step in self.taken
            if decision.lever is not None and step is not decision.values[0]
        ]
        return tuple(reversed(moved))


@dataclass
class Measure:
    """Lengths of a plan under choices; each block is compiled once for each set of choices that touches
    it."""

    plan: SessionPlan
    choice: Choice
    _known: dict[tuple[object, ...], tuple[int, bool]] = field(default_factory=dict)

    def total_ms(self, choices: Choices) -> int:
        """Exactly the length of the compiled session, without compiling the rounds one by one."""
        present = [
            (length, clocked)
            for block in self.plan.blocks
            for length, clocked in (self._block(block, choices),)
            if length
        ]
        if not present:
            return 0
        lead_in_ms = ms(LEAD_IN_S) if present[0][1] else 0
        return (
            lead_in_ms
            + ms(self.plan.transition_s) * (len(present) - 1)
            + sum(length for length, _ in present)
        )

    def _block(self, block: Block, choices: Choices) -> tuple[int, bool]:
        if not isinstance(block, WarmUpBlock | WorkBlock):
            return self._rounds_of(block, choices, 1)
        rounds = choices.rounds[block.id]
        once, clocked = self._rounds_of(block, choices, 1)
        if rounds == 1:
            return once, clocked
        return once + (rounds - 1) * (self._rounds_of(block, choices, 2)[0] - once), clocked

    def _rounds_of(self, block: Block, choices: Choices, rounds: int) -> tuple[int, bool]:
        key = (block.id, rounds, *_touching(block, choices))
        if key not in self._known:
            few = choices.model_copy(update={"rounds": {block.id: rounds}})
            segments = block_segments(self.plan, block, few, self.choice.by_block)
            self._known[key] = (total_ms(segments), bool(segments) and segments[0].pace is Pace.clock)
        return self._known[key]


def _touching(block: Block, choices: Choices) -> tuple[object, ...]:
    """The choices on which a block's length depends, its rounds aside."""
    return (
        choices.practice.get(block.id),
        block.id in choices.hand_inside,
        block.id in choices.leg_inside,
        choices.rest_s.get(block.id),
        choices.work_s.get(block.id),
        choices.cool_down_s.get(block.id),
        block.id in choices.without_optional,
    )


@dataclass(frozen=True)
class Problem:
    """A plan for one person: what can be decided, and how long any choice lasts."""

    plan: SessionPlan
    asked: Asked
    choice: Choice
    measure: Measure
    start: Choices
    levers: tuple[Lever, ...]

    def shortest_ms(self, decisions: Sequence[Decision], choices: Choices) -> int:
        """The length of the shortest session that the open decisions still allow."""
        every_way = product(*(decision.shortest for decision in decisions))
        return min(self.measure.total_ms(_taken(way, choices)) for way in every_way)

    def best(self, decisions: Sequence[Decision], budget_ms: int) -> Solution | None:
        """The lexicographic optimum within the budget, or None where nothing fits."""
        choices = self.start
        if self.shortest_ms(decisions, choices) > budget_ms:
            return None
        taken = []
        for index, decision in enumerate(decisions):
            later = decisions[index + 1 :]
            step = next(v for v in decision.values if self.shortest_ms(later, v(choices)) <= budget_ms)
            choices = step(choices)
            taken.append((decision, step))
        return Solution(tuple(taken), choices)


def _taken(way: Iterable[Step], choices: Choices) -> Choices:
    for step in way:
        choices = step(choices)
    return choices


def pose(plan: SessionPlan, asked: Asked) -> Problem:
    """Sets the problem up. ``plan`` has to be free of faults (see ``check``)."""
    choice = choose(plan, asked.room)
    rounds = {b.id: b.rounds.min for b in plan.blocks if isinstance(b, WarmUpBlock | WorkBlock)}
    chosen = (one.movement for block in choice.by_block.values() for one in block.values())
    start = Choices(
        rounds=rounds,
        practice={b.id: PracticeForm(b.usual) for b in plan.blocks if isinstance(b, PracticeBlock)},
        first_side=asked.first_side,
        to_floor_s=CAREFUL_TO_THE_FLOOR_S if asked.careful_to_floor else TO_THE_FLOOR_S,
        pace=asked.pace.of_movements(chosen),
    )
    levers = levers_of(
        plan,
        choice.by_block,
        practice_required=asked.practice_required or asked.first_time,
        cool_down_floor_s=asked.cool_down_floor_s,
    )
    if not asked.side_change:
        work = tuple(block.id for block in plan.work_blocks())
        start = start.model_copy(update={"hand_inside": work, "leg_inside": work})
        levers = tuple(lever for lever in levers if not lever.code.endswith("_change"))
    return Problem(plan, asked, choice, Measure(plan, choice), start, levers)


def decisions_of(problem: Problem, vectors: Sequence[dict[str, int]]) -> list[Decision]:
    """The decisions in the plan's order of worth, for the given ways to set the rounds of the work blocks."""
    warm_ups = [block for block in problem.plan.blocks if isinstance(block, WarmUpBlock)]
    ranges = {block.id: (block.rounds.min, block.rounds.max) for block in warm_ups}
    by_kind = {
        Buys.allowances: [_lever_decision(lever) for lever in reversed(problem.levers)],
        Buys.rounds: [_rounds_decision(vectors, rounds=True)],
        Buys.warm_up: [_rounds_decision(round_vectors(ranges), rounds=False)],
    }
    order = [*problem.plan.buys, *(kind for kind in Buys if kind not in problem.plan.buys)]
    return [decision for kind in order for decision in by_kind[kind]]


def _lever_decision(lever: Lever) -> Decision:
    shortest = lever.steps[-1:] if lever.monotone else lever.steps
    return Decision(lever.steps, shortest, lever=lever)


def _rounds_decision(vectors: Sequence[dict[str, int]], *, rounds: bool) -> Decision:
    steps = tuple(partial(_with_rounds, vector) for vector in vectors)
    return Decision(steps, steps[-1:], rounds=rounds)


def _with_rounds(vector: dict[str, int], choices: Choices) -> Choices:
    return choices.model_copy(update={"rounds": choices.rounds | vector})


def round_vectors(ranges: dict[str, tuple[int, int]]) -> list[dict[str, int]]:
    """Every way to set the rounds, best first: most in all, then most even, then the earlier block."""
    ways = product(*(range(low, high + 1) for low, high in ranges.values()))
    spare = [low for low, _ in ranges.values()]

    def worth(way: tuple[int, ...]) -> tuple[object, ...]:
        above = [rounds - low for rounds, low in zip(way, spare, strict=True)]
        return (-sum(way), max(above, default=0) - min(above, default=0), tuple(-rounds for rounds in way))

    return [dict(zip(ranges, way, strict=True)) for way in sorted(ways, key=worth)]


def work_vectors(problem: Problem, *, below_minimum: bool = False) -> list[dict[str, int]]:
    """The rounds the work blocks may have: what was asked, else the coach's range, else below its minimum."""
    ranges = {}
    for block in problem.plan.work_blocks():
        low, high = block.rounds.min, problem.asked.most_rounds(block)
        if problem.asked.rounds is not None:
            low = high = problem.asked.rounds
        elif below_minimum:
            low, high = 1, block.rounds.min
        ranges[block.id] = (low, high)
    return round_vectors(ranges)


def rounds_fault(plan: SessionPlan, rounds: int) -> str | None:
    """Why the work blocks cannot have so many rounds, in one sentence; None where they can."""
    for block in plan.work_blocks():
        low = 1 if plan.below_minimum else block.rounds.min
        if not low <= rounds <= block.rounds.max:
            return f"The block “{block.id}” has {low} to {block.rounds.max} rounds, not {rounds}."
    return None


def solve(problem: Problem, budget_ms: int) -> Solution | None:
    """The best solution within the minutes; below the minimum of rounds only where the plan permits it."""
    if not any(problem.choice.by_block[block.id] for block in problem.plan.work_blocks()):
        return None
    solution = problem.best(decisions_of(problem, work_vectors(problem)), budget_ms)
    if solution is None and problem.plan.below_minimum and problem.asked.rounds is None:
        return problem.best(_below_decisions(problem), budget_ms)
    return solution


def _below_decisions(problem: Problem) -> list[Decision]:
    """Below the minimum, rounds come first: a session short of rounds spends its levers to be less short."""
    decisions = decisions_of(problem, work_vectors(problem, below_minimum=True))
    return sorted(decisions, key=lambda decision: not decision.rounds)


def shortest_possible_ms(problem: Problem) -> int:
    """The length of the shortest session the plan permits this person."""
    permitted = work_vectors(problem, below_minimum=problem.plan.below_minimum)
    return problem.shortest_ms(decisions_of(problem, permitted), problem.start)


def fitted(problem: Problem, solution: Solution) -> FittedSession:
    """The session of a solution, with its reasons."""
    plan, choices = problem.plan, solution.choices
    segments = compile_plan(plan, choices, problem.choice.by_block)
    present = {segment.block for segment in segments}
    return FittedSession(
        plan_id=plan.id,
        plan_revision=plan_revision(plan),
        plan_name=plan.name,
        minutes=problem.asked.minutes,
        room=problem.asked.room,
        choices=choices,
        below_minimum=any(choices.rounds[b.id] < b.rounds.min for b in plan.work_blocks()),
        reasons=tuple(_reasons(problem, solution)),
        blocks=tuple(_fitted_block(problem, b, choices) for b in plan.blocks if b.id in present),
        segments=segments,
        stop_rules=plan.stop_rules,
        leeway=leeway_of(plan, choices, cool_down_floor_s=problem.asked.cool_down_floor_s),
    )


def _reasons(problem: Problem, solution: Solution) -> Iterator[Reason]:
    total = problem.measure.total_ms(solution.choices)
    for lever, step in solution.spent():
        unspent = _taken((s for _, s in solution.taken if s is not step), problem.start)
        gained_ms = problem.measure.total_ms(unspent) - total
        text = lever_sentence(lever.code, solution.choices, block=lever.block)
        yield Reason(code=lever.code, text=text, seconds=seconds(gained_ms))
    for swap in problem.choice.swaps:
        code = "swapped" if swap.replacement else "left_out"
        yield Reason(code=code, text=swap.text, seconds=0)


def _fitted_block(problem: Problem, block: Block, choices: Choices) -> FittedBlock:
    chosen = problem.choice.by_block[block.id]
    return FittedBlock(
        id=block.id,
        kind=block.kind,
        rounds=choices.rounds.get(block.id, 1),
        items=tuple(
            FittedItem(chosen=chosen[slug], dose=dose, tempo=tempo)
            for slug, dose, tempo in _asked_of(problem.plan, block, choices)
            if slug in chosen
        ),
    )


def _asked_of(
    plan: SessionPlan, block: Block, choices: Choices
) -> Iterator[tuple[str, Dose | None, str | None]]:
    """Movement, dose and tempo of each item of a block."""
    tempos = {item.movement: item.tempo for work in plan.work_blocks() for item in work.movements}
    match block:
        case WarmUpBlock():
            yield from ((item.movement, item.dose, None) for item in block.items)
        case PracticeBlock():
            dose = block.repetitions if choices.practice[block.id] is PracticeForm.repetitions else None
            yield from ((slug, dose, tempos.get(slug)) for slug in block.movements)
        case WorkBlock():
            dropped = block.id in choices.without_optional
            yield from ((i.movement, None, i.tempo) for i in block.movements if not (dropped and i.optional))
        case CoolDownBlock():
            yield from ((slug, None, None) for slug in block.movements)
