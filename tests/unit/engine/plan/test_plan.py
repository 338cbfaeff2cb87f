"""What a plan is, and how it is identified."""

from __future__ import annotations

import pytest
from builders import BOTH, HAND, TEST_MOVEMENTS, movement, plan, practice, warm_up, work
from pydantic import ValidationError

from engine.base.issue import Unreadable
from engine.base.model import revision_of
from engine.base.reading import read
from engine.movements.movement import Kit, Sides, library, sides_of
from engine.plan.plan import Dose, SessionPlan, movements_named_in


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
    assert [str(issue) for issue in refused.value.issues] == ["colour: this is not known here."]


def test_the_plans_own_movements_stand_over_the_library() -> None:
    slug = next(iter(library()))
    own = movement(slug, name="The coach's own")
    assert plan(movements=(*TEST_MOVEMENTS, own)).known_movements()[slug].name == "The coach's own"


def test_a_block_names_its_movements_in_order() -> None:
    assert movements_named_in(work()) == movements_named_in(practice())
    assert movements_named_in(warm_up()) == ("easy-bend", "easy-turn")


def test_the_most_of_a_dose_is_its_upper_end_or_its_only_number() -> None:
    assert (Dose(low=3, high=5).most, Dose(low=4).most) == (5, 4)


def test_a_hand_stops_being_a_side_with_a_pair_and_a_leg_never_does() -> None:
    hand = {form.kit: sides_of(form) for form in HAND.forms}
    leg = {form.kit: sides_of(form) for form in movement("step", sides=Sides.leg).forms}
    assert hand == {Kit.none: Sides.none, Kit.single: Sides.hand, Kit.pair: Sides.none}
    assert set(leg.values()) == {Sides.leg}


def test_a_form_uses_the_most_of_the_kit_on_hand() -> None:
    chosen = {kit: form.id for kit in Kit if (form := BOTH.form_for(kit)) is not None}
    assert chosen == {Kit.none: "free", Kit.single: "one", Kit.pair: "two"}
