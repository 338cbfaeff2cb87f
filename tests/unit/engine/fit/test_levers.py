"""Which levers are sure to shorten a session: the search relies on it."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, plan, practice, warm_up, work

from engine.fit.choose import choose
from engine.fit.levers import levers_of
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import Allowance, Amount, GiveUp, PracticeBlock, SessionPlan, WorkMovement

CIRCUIT = work(
    movements=(
        WorkMovement(movement=BOTH.slug),
        WorkMovement(movement=HAND.slug, optional=True),
        WorkMovement(movement=FLOOR.slug, optional=True),
    )
)


def shortens(give_up: GiveUp, of: SessionPlan) -> bool:
    choice = choose(of, Room(kit=Kit.single))
    asked = of.model_copy(update={"allowances": (Allowance(give_up=give_up),)})
    (lever,) = levers_of(asked, choice.by_block, practice_required=False, cool_down_floor_s=120)
    return lever.shortens


def practised(estimate_s: int | None = None) -> PracticeBlock:
    return practice(repetitions=Amount(low=5), repetitions_estimate_s=estimate_s)


def test_practice_that_opens_a_session_may_be_replaced_by_a_longer_lead_in() -> None:
    assert not shortens(GiveUp.practice, plan(practised(), CIRCUIT))
    assert shortens(GiveUp.practice, plan(warm_up(), practised(), CIRCUIT))


def test_the_other_form_of_practice_may_last_longer() -> None:
    assert not shortens(GiveUp.practice_kind, plan(warm_up(), practised(), CIRCUIT))


def test_fewer_movements_may_last_a_second_longer_only_where_their_practice_is_estimated_as_a_whole() -> None:
    assert shortens(GiveUp.optional_movements, plan(warm_up(), practised(), CIRCUIT))
    assert not shortens(GiveUp.optional_movements, plan(warm_up(), practised(120), CIRCUIT))
    assert shortens(GiveUp.practice, plan(warm_up(), practised(120), CIRCUIT))
