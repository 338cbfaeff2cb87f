"""Plans drawn by number: the same number always draws the same plan and question.

Several blocks, every lever, the three ways to change sides, kits, sore joints, substitutions that change
sides, and practice whose other kind lasts longer. ``largest`` is the largest of them.
"""

from __future__ import annotations

from random import Random

from builders import BEND, TURN, cool_down, movement, permitting, plan, practice, work

from engine.fit.asked import Asked
from engine.movements.movement import Joint, Kit, Movement, MovementPattern, Region, Sides
from engine.movements.room import Room, SoreJoint
from engine.plan.plan import (
    Allowance,
    Amount,
    AmountCount,
    Buys,
    CoolDownBlock,
    GiveUp,
    PracticeBlock,
    PracticeKind,
    RoundsRange,
    SessionPlan,
    SideChange,
    SideChangeMode,
    TimedPractice,
    WarmUpBlock,
    WarmUpItem,
    WorkBlock,
    WorkMovement,
)

LOWER, UPPER, TRUNK = Region.lower_body, Region.upper_body, Region.trunk
KINDS: tuple[tuple[str, Region, MovementPattern, Sides, dict[str, object]], ...] = (
    ("deep-sit", LOWER, MovementPattern.squat, Sides.none, {"stress": {"knee": 3}}),
    ("one-arm-row", UPPER, MovementPattern.horizontal_pull, Sides.hand, {"grip_heavy": True}),
    ("split-stand", LOWER, MovementPattern.lunge, Sides.leg, {"stress": {"knee": 2}}),
    ("floor-push", UPPER, MovementPattern.horizontal_push, Sides.none, {"on_floor": True}),
    ("long-hinge", LOWER, MovementPattern.hinge, Sides.none, {"grip_heavy": True}),
    ("one-arm-press", UPPER, MovementPattern.vertical_push, Sides.hand, {"stress": {"shoulder": 2}}),
    ("one-leg-hinge", LOWER, MovementPattern.hinge, Sides.leg, {}),
    ("floor-hold", TRUNK, MovementPattern.trunk, Sides.none, {"on_floor": True}),
    ("side-hold", TRUNK, MovementPattern.trunk, Sides.hand, {"on_floor": True}),
    ("side-step", LOWER, MovementPattern.lunge, Sides.leg, {}),
    ("pull-down", UPPER, MovementPattern.vertical_pull, Sides.none, {}),
    ("walk-with-one", TRUNK, MovementPattern.carry, Sides.hand, {"grip_heavy": True}),
)
POOL = tuple(
    movement(slug, region=region, pattern=pattern, sides=sides, **more)
    for slug, region, pattern, sides, more in KINDS
)


def weighted_only(of: Movement) -> Movement:
    """The movement with only its variants for weights: without weights another has to stand in."""
    return of.model_copy(update={"variants": of.variants[1:]})


LENGTHS_S = {
    GiveUp.cool_down: (270, 240, 210, 180, 150, 120),
    GiveUp.rest: (50, 45, 40, 35, 30, 25, 20, 15),
    GiveUp.work: (45, 40, 35, 30, 25, 20),
}
OF_THE_CIRCUIT = (
    *(GiveUp.rest, GiveUp.work, GiveUp.hand_change, GiveUp.leg_change, GiveUp.optional_movements),
    GiveUp.extra_rounds,
)


class Drawing:
    """Draws one plan and one question."""

    def __init__(self, number: int) -> None:
        self.chance = Random(number)

    def often(self, share: float) -> bool:
        return self.chance.random() < share

    def plan(self) -> SessionPlan:
        pool = [weighted_only(one) if self.often(0.2) else one for one in POOL]
        works = self._works(self.chance.sample([one.slug for one in pool], self.chance.randint(1, 12)))
        blocks: list[WarmUpBlock | PracticeBlock | WorkBlock | CoolDownBlock] = [*works]
        for number in range(self.chance.choice((0, 1, 1, 1, 2))):
            blocks.insert(
                0 if number == 0 else self.chance.randrange(len(blocks)), self._practice(number, works)
            )
        if self.often(0.8):
            blocks.insert(0, self._warm_up())
        if self.often(0.6):
            blocks.append(
                cool_down(movements=(BEND.slug, TURN.slug), duration_s=self.chance.randint(120, 420))
            )
        made = plan(
            *blocks,
            movements=(*pool, BEND, TURN),
            transition_s=self.chance.choice((0, 20, 30, 60)),
            side_change=SideChange(
                mode=self.chance.choice(list(SideChangeMode)), change_s=self.chance.randint(5, 15)
            ),
            allowances=None if self.often(0.15) else self._allowances(works),
            buys=tuple(self.chance.sample(list(Buys), 3)) if self.often(0.5) else tuple(Buys),
        )
        return permitting(made, self.chance.randint(1, 2)) if self.often(0.4) else made

    def _works(self, slugs: list[str]) -> list[WorkBlock]:
        count = min(self.chance.randint(1, 4), len(slugs))
        cuts = sorted(self.chance.sample(range(1, len(slugs)), count - 1))
        parts = [slugs[a:b] for a, b in zip([0, *cuts], [*cuts, len(slugs)], strict=True)]
        return [self._work(f"part-{number}", part) for number, part in enumerate(parts, 1)]

    def _work(self, id: str, slugs: list[str]) -> WorkBlock:
        items = tuple(
            WorkMovement(
                movement=slug,
                tempo=self.chance.choice(("3-0-1-0", "2-0-1-0", "4-1-2-1")),
                work_s=self.chance.randint(20, 70) if self.often(0.2) else None,
                optional=index > 0 and self.often(0.3),
            )
            for index, slug in enumerate(slugs)
        )
        return work(
            id=id,
            movements=items,
            rounds=self._rounds(3, 3),
            work_s=self.chance.randint(25, 70),
            rest_s=self.chance.randint(30, 60),
            round_rest_s=self.chance.randint(30, 90) if self.often(0.3) else None,
        )

    def _rounds(self, most_least: int, most_more: int) -> RoundsRange:
        least = self.chance.randint(1, most_least)
        return RoundsRange(min=least, max=least + self.chance.randint(0, most_more))

    def _practice(self, number: int, works: list[WorkBlock]) -> PracticeBlock:
        named = [item.movement for block in works for item in block.movements]
        usual = self.chance.choice((PracticeKind.timed, PracticeKind.repetitions))
        both = self.often(0.7)
        return practice(
            id=f"practice-{number + 1}",
            movements=tuple(self.chance.sample(named, self.chance.randint(1, len(named)))),
            timed=TimedPractice(work_s=self.chance.randint(10, 45), rest_s=self.chance.randint(5, 20))
            if both or usual is PracticeKind.timed
            else None,
            repetitions=Amount(low=self.chance.randint(1, 8), high=None if self.often(0.5) else 9)
            if both or usual is PracticeKind.repetitions
            else None,
            repetitions_estimate_s=self.chance.randint(1, 240) if self.often(0.2) else None,
            usual=usual,
        )

    def _warm_up(self) -> WarmUpBlock:
        items = (
            WarmUpItem(movement=BEND.slug, amount=Amount(low=self.chance.randint(4, 20))),
            WarmUpItem(
                movement=TURN.slug,
                amount=Amount(low=self.chance.randint(4, 20), count=AmountCount.per_side),
                estimate_s=self.chance.randint(20, 120) if self.often(0.5) else None,
            ),
        )
        return WarmUpBlock(id="warm-up", items=items, rounds=self._rounds(2, 2))

    def _allowances(self, works: list[WorkBlock]) -> tuple[Allowance, ...]:
        kinds = self.chance.sample(list(GiveUp), self.chance.choice((0, 3, 5, 7, 9, len(GiveUp))))
        found = []
        for kind in kinds:
            blocks: list[str | None] = [None]
            if kind in OF_THE_CIRCUIT and self.often(0.4):
                chosen = [None, *(block.id for block in works)]
                blocks = self.chance.sample(chosen, min(2, len(chosen)))
            found += [Allowance(give_up=kind, to_s=self._lengths(kind), block=block) for block in blocks]
        self.chance.shuffle(found)
        return tuple(found)

    def _lengths(self, kind: GiveUp) -> tuple[int, ...]:
        lengths = LENGTHS_S.get(kind, ())
        kept = self.chance.sample(lengths, self.chance.randint(1, min(4, len(lengths)))) if lengths else []
        return tuple(sorted(kept, reverse=True))

    def room(self) -> Room:
        sore = [
            SoreJoint(
                joint=self.chance.choice((Joint.knee, Joint.shoulder)), rating=self.chance.randint(1, 5)
            )
        ]
        return Room(kit=self.chance.choice(list(Kit)), sore=tuple(sore) if self.often(0.25) else ())

    def question(self) -> Asked:
        return Asked(
            minutes=1,
            room=self.room(),
            side_change=SideChangeMode.inside if self.often(0.1) else None,
            first_time=self.often(0.15),
            careful_cool_down=self.often(0.2),
            careful_to_floor=self.often(0.2),
        )

    def minutes(self, shortest_ms: int) -> float:
        """Mostly too few for everything, now and then too few for anything."""
        most = self.chance.choice((-0.1, 0.0, 0.05, 0.1, 0.2, 0.3, 0.5, 1.0, 2.0, 3.0))
        return max(1, round(shortest_ms * (1 + most * self.chance.random()))) / 60_000


def largest() -> SessionPlan:
    """Four work blocks with twelve movements in all, three of them optional, and every lever."""
    slugs = [one.slug for one in POOL]
    parts = [slugs[index : index + 3] for index in range(0, 12, 3)]
    works = [
        work(
            id=f"part-{number}",
            movements=tuple(WorkMovement(movement=slug, optional=slug == part[-1]) for slug in part),
            rounds=RoundsRange(min=2, max=6),
            work_s=50,
            rest_s=60,
        )
        for number, part in enumerate(parts, 1)
    ]
    made = plan(
        WarmUpBlock(
            id="warm-up",
            items=tuple(WarmUpItem(movement=one.slug, amount=Amount(low=10)) for one in (BEND, TURN)),
            rounds=RoundsRange(min=1, max=3),
        ),
        practice(movements=tuple(slugs), repetitions=Amount(low=3, high=5)),
        *works,
        cool_down(movements=(BEND.slug, TURN.slug), duration_s=300),
        movements=(*POOL, BEND, TURN),
        allowances=tuple(Allowance(give_up=kind, to_s=LENGTHS_S.get(kind, ())) for kind in GiveUp),
    )
    return permitting(made)
