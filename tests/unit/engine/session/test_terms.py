"""Movements of a session in messages: those of the library by their ids, those of a coach by their names."""

from builders import plan, session, work

from engine.base.message import Moves, Own, Version
from engine.session.choices import Chosen
from engine.session.terms import chosen_term, version_term


def first_chosen() -> Chosen:
    return session(plan(work("split-squat")), minutes=30).blocks[0].items[0].chosen


def test_what_the_library_names_is_said_by_its_ids() -> None:
    chosen = first_chosen()
    assert chosen_term(chosen) == Moves(movement="split-squat")
    assert version_term(chosen) == Version(movement="split-squat", version="single")


def test_what_a_coach_named_keeps_its_name() -> None:
    chosen = first_chosen().model_copy(update={"name": "Split squat, ours", "variant_name": "On the stairs"})
    assert chosen_term(chosen) == Own(own="Split squat, ours")
    assert version_term(chosen) == Own(own="On the stairs")
