"""What a plan is, and how it is identified."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pytest
from builders import BOTH, HAND, TEST_MOVEMENTS, cool_down, movement, plan, practice, warm_up, work
from pydantic import ValidationError

from companion.words.faults import fault_words
from engine.base.issue import Unreadable
from engine.base.model import Model, revision_of
from engine.base.reading import read
from engine.movements.movement import Kit, Sides, library, sides_of
from engine.plan.plan import (
    Amount,
    RoundsRange,
    SessionPlan,
    TimedPractice,
    WarmUpItem,
    WorkMovement,
    movements_named_in,
)

BOUNDS = [
    (Amount, "low", 1, 600),
    (partial(Amount, low=1), "high", 1, 600),
    (partial(RoundsRange, max=30), "min", 1, 30),
    (partial(RoundsRange, min=1), "max", 1, 30),
    (partial(RoundsRange, min=1, max=30), "fewest", 1, 30),
    (TimedPractice, "work_s", 10, 120),
    (TimedPractice, "rest_s", 5, 120),
    (partial(WorkMovement, movement=BOTH.slug), "work_s", 10, 600),
    (partial(WorkMovement, movement=BOTH.slug), "goal", 1, 100),
    (partial(WorkMovement, movement=BOTH.slug), "reserve", 2, 5),
    (work, "work_s", 10, 600),
    (work, "rest_s", 0, 600),
    (work, "round_rest_s", 0, 600),
    (cool_down, "duration_s", 30, 1_800),
    (partial(WarmUpItem, movement=BOTH.slug, amount=Amount(low=1)), "estimate_s", 1, 3_600),
    (practice, "repetitions_estimate_s", 1, 3_600),
]


def test_the_revision_changes_with_any_change_of_content() -> None:
    assert revision_of(plan()) == revision_of(plan())
    assert revision_of(plan()) != revision_of(plan(note="Slower today."))
    assert revision_of(plan()) != revision_of(plan(transition_s=30))


def test_writing_out_a_default_does_not_change_the_revision() -> None:
    assert revision_of(plan()) == revision_of(plan(transition_s=20, stop_rules=()))


def test_a_plan_cannot_be_changed_in_place() -> None:
    with pytest.raises(ValidationError, match="frozen"):
        plan().name = "Another"  # type: ignore[misc]


def test_an_unknown_field_is_refused_with_its_place() -> None:
    raw = plan().model_dump_json().replace('"note":null', '"colour":"red"')
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, raw)
    assert list(map(fault_words, refused.value.issues)) == ["colour: This is not known here."]


def test_the_plans_own_movements_stand_over_the_library() -> None:
    slug = next(iter(library()))
    own = movement(slug, name="The coach's own")
    assert plan(movements=(*TEST_MOVEMENTS, own)).known_movements()[slug].name == "The coach's own"


def test_a_block_names_its_movements_in_order() -> None:
    assert movements_named_in(work()) == movements_named_in(practice())
    assert movements_named_in(warm_up()) == ("easy-bend", "easy-turn")


def test_the_most_of_a_dose_is_its_upper_end_or_its_only_number() -> None:
    assert (Amount(low=3, high=5).most, Amount(low=4).most) == (5, 4)


@pytest.mark.parametrize("make, field, least, most", BOUNDS)
def test_a_figure_of_a_plan_keeps_within_what_a_session_can_hold(
    make: Callable[..., Model], field: str, least: int, most: int
) -> None:
    """† Our judgement, no source: long enough to be done, and far beyond what anybody does."""
    for value in (least, most):
        assert getattr(make(**{field: value}), field) == value
    for value in (least - 1, most + 1):
        with pytest.raises(ValidationError):
            make(**{field: value})


def test_a_hand_stops_being_a_side_with_a_pair_and_a_leg_never_does() -> None:
    hand = {variant.kit: sides_of(variant) for variant in HAND.variants}
    leg = {variant.kit: sides_of(variant) for variant in movement("step", sides=Sides.leg).variants}
    assert hand == {Kit.none: Sides.none, Kit.single: Sides.hand, Kit.pair: Sides.none}
    assert set(leg.values()) == {Sides.leg}


def test_a_form_uses_the_most_of_the_kit_on_hand() -> None:
    chosen = {kit: variant.id for kit in Kit if (variant := BOTH.variant_for(kit)) is not None}
    assert chosen == {Kit.none: "free", Kit.single: "one", Kit.pair: "two"}
