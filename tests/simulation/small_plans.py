"""Small plans drawn by a seed, so that a session takes milliseconds: one to three movements."""

from __future__ import annotations

from random import Random

from builders import BEND, TURN, cool_down, movement, permitting, plan, practice, warm_up, work

from engine.movements.movement import Movement, MovementPattern, Region, Sides
from engine.plan.plan import Allowance, Amount, GiveUp, RoundsRange, SessionPlan, WarmUpItem, WorkMovement

LOWER, UPPER = Region.lower_body, Region.upper_body
POOL: tuple[Movement, ...] = (
    movement("low-sit", pattern=MovementPattern.squat, region=LOWER, stress={"knee": 2}, easier="high-sit"),
    movement("high-sit", pattern=MovementPattern.squat, region=LOWER, stress={"knee": 1}),
    movement("one-arm-row", pattern=MovementPattern.horizontal_pull, region=UPPER, sides=Sides.hand),
    movement("split-stand", pattern=MovementPattern.lunge, region=LOWER, sides=Sides.leg, stress={"knee": 3}),
    movement(
        "arm-press",
        pattern=MovementPattern.vertical_push,
        region=UPPER,
        sides=Sides.hand,
        stress={"shoulder": 2},
    ),
    movement("long-hinge", pattern=MovementPattern.hinge, region=LOWER, stress={"low_back": 2}),
)


def small_plan(draw: Random, number: int) -> SessionPlan:
    """A plan of one work block, with a short warm-up, practice or cool-down now and then."""
    slugs = draw.sample([one.slug for one in POOL], draw.choice((1, 2, 2, 3)))
    least = draw.choice((1, 1, 2))
    items = tuple(
        WorkMovement(movement=slug, optional=at > 0 and draw.random() < 0.2) for at, slug in enumerate(slugs)
    )
    blocks: list[object] = [
        work(
            movements=items,
            rounds=RoundsRange(min=least, max=least + draw.choice((0, 1, 1))),
            work_s=draw.choice((20, 30, 40)),
            rest_s=draw.choice((15, 30)),
        )
    ]
    if draw.random() < 0.25:
        blocks.insert(0, practice(movements=tuple(slugs[:2])))
    if draw.random() < 0.25:
        warm = (WarmUpItem(movement=TURN.slug, amount=Amount(low=5), estimate_s=20),)
        blocks.insert(0, warm_up(items=warm, rounds=RoundsRange(min=1, max=1)))
    if draw.random() < 0.2:
        blocks.append(cool_down(duration_s=120))
    made = plan(
        *blocks,
        id=f"plan-{number}",
        name=f"Plan {number}",
        movements=(*POOL, BEND, TURN),
        transition_s=draw.choice((0, 20)),
        allowances=(Allowance(give_up=GiveUp.extra_rounds), Allowance(give_up=GiveUp.optional_movements)),
    )
    return permitting(made) if draw.random() < 0.5 else made
