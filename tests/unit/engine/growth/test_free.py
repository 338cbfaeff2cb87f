"""The ladder of a movement without a weight."""

from __future__ import annotations

import pytest
from accounts import MINUTE, TODAY, account

from companion.words.words import ENGLISH
from engine.base.message import Moves, Own
from engine.growth.free import FreeMovement, FreeProposal, FreeStep, propose_free
from engine.load.proposal import ONE_CLEAR_SO_FAR, SAME_AGAIN
from engine.load.rules import LoadRules
from engine.movements.movement import Kit, StartsWith
from engine.movements.pain import Advice
from engine.movements.tempo import Phase
from engine.record.exposure import Exposure

FREE = MINUTE.model_copy(update={"kit": Kit.none, "variant": "free"})
HELD = FREE.model_copy(update={"tempo": None})


STAGGERED = Moves(movement="staggered-squat")


def at(tempo: str) -> dict[str, object]:
    return {"key": FREE.model_copy(update={"tempo": tempo})}


def did(days_ago: int, **fields: object) -> Exposure:
    return account(days_ago, None, **({"key": FREE} | fields))


def told(*history: Exposure, **fields: object) -> FreeProposal:
    rules = fields.pop("rules", LoadRules())
    planned = FreeMovement(**({"key": FREE, "name": "Deep lift", "rounds": 3} | fields))
    return propose_free(planned, history, today=TODAY, rules=rules)


def twice(**fields: object) -> tuple[Exposure, Exposure]:
    return did(6, **fields), did(3, **fields)


def test_the_ladder_slows_the_lowering_to_five_seconds_and_then_pauses() -> None:
    """A pause where the movement is hardest. † Our judgement, no source."""
    squat = FreeMovement(key=FREE, name="Squat", rounds=3)
    assert squat.ladder == ("3-0-1-0", "4-0-1-0", "5-0-1-0", "5-1-1-0")
    pull = FreeMovement(key=FREE, name="Row", rounds=3, hardest=Phase.top)
    assert pull.ladder[-1] == "5-0-1-1"
    slow = FREE.model_copy(update={"tempo": "4-1-2-1"})
    assert FreeMovement(key=slow, name="Slow", rounds=3).ladder == ("4-1-2-1",), "8 s is the longest"
    nearly = FREE.model_copy(update={"tempo": "3-1-2-1"})
    assert FreeMovement(key=nearly, name="Slow", rounds=3).ladder == ("3-1-2-1", "4-1-2-1")
    assert FreeMovement(key=HELD, name="Plank", rounds=3, starts_with=StartsWith.hold).ladder == (None,)


def test_two_clear_sessions_make_a_step_and_one_does_not() -> None:
    assert (told().step, told().tempo) == (FreeStep.first_time, "3-0-1-0")
    assert (told(did(3)).step, told(did(3)).tempo) == (FreeStep.same, "3-0-1-0")
    slower = told(*twice())
    assert (slower.step, slower.tempo) == (FreeStep.slower, "4-0-1-0")
    pause = told(*twice(**at("5-0-1-0")))
    assert (pause.step, pause.tempo) == (FreeStep.pause, "5-1-1-0")


def test_a_round_that_the_minutes_bring_is_the_step() -> None:
    more = told(*twice(), rounds=4)
    assert (more.step, more.tempo) == (FreeStep.round_more, "3-0-1-0")


def test_at_the_top_comes_the_harder_version_or_the_coach() -> None:
    top = twice(**at("5-1-1-0"))
    harder = told(*top, harder=STAGGERED)
    assert (harder.step, harder.harder) == (FreeStep.harder, STAGGERED)
    said = ENGLISH.sentences(harder.reason)
    assert "The harder version: Staggered-stance squat. It begins at the first tempo, with practice" in said
    assert told(*top).step is FreeStep.same
    assert "Ask your coach" in ENGLISH.sentences(told(*top).reason)


def test_a_hold_goes_from_two_clear_sessions_to_the_harder_version() -> None:
    held = [did(days, key=HELD, repetitions=None) for days in (6, 3)]
    fields = {"key": HELD, "starts_with": StartsWith.hold}
    assert told(*held, **fields, harder=Own(own="Forearms ahead")).step is FreeStep.harder


@pytest.mark.parametrize(
    "fields", [{"pain": 1}, {"form_kept": False}, {"range_kept": False}, {"easier_variant": True}]
)
def test_nothing_grows_on_pain_form_or_range_and_two_in_a_row_lead_one_rung_back(fields: dict) -> None:
    slow = at("4-0-1-0")
    once = told(did(9, **slow), did(6, **slow), did(3, **slow, **fields))
    assert (once.step, once.tempo) == (FreeStep.same, "4-0-1-0")
    again = told(did(9, **slow), did(6, **slow, **fields), did(3, **slow, **fields))
    assert (again.step, again.tempo) == (FreeStep.rung_back, "3-0-1-0")


def test_what_went_badly_last_counts_in_this_version_and_in_any_other() -> None:
    """Position, then range, then repetitions: a version with a weight says so of the movement too."""
    slipped = {"form_kept": False}
    elsewhere = told(did(9), did(6), account(3, **slipped))
    assert (elsewhere.step, elsewhere.tempo) == (FreeStep.same, "3-0-1-0")
    assert "Form slipped last time." in ENGLISH.sentences(elsewhere.reason)
    here = told(did(9), did(6, **slipped), account(3))
    assert (here.step, here.practice_required) == (FreeStep.same, True)


def test_what_was_too_hard_twice_goes_one_rung_back_and_four_times_to_the_coach() -> None:
    hard = [did(days, **at("5-0-1-0"), effort=9) for days in (12, 9, 6, 3)]
    assert (told(*hard[2:]).step, told(*hard[2:]).tempo) == (FreeStep.rung_back, "4-0-1-0")
    assert told(*hard[2:]).question is None
    assert told(*hard).question is not None


def test_from_the_first_rung_the_easier_version_is_the_way_back() -> None:
    short = told(*twice(repetitions=9))
    assert (short.step, "the easier version" in ENGLISH.sentences(short.reason)) == (FreeStep.same, True)


def test_a_long_break_an_illness_and_pain_begin_again_with_the_plans_tempo() -> None:
    slow = at("5-0-1-0")
    away = told(did(20, **slow))
    assert (away.step, away.tempo, away.minimum_of_rounds) == (FreeStep.after_absence, "3-0-1-0", True)
    ill = told(did(4, **slow), rules=LoadRules(easy_session=1))
    assert (ill.step, ill.tempo, ill.reserve) == (FreeStep.returning, "3-0-1-0", 5)
    hurt = {"pain": 4, "advice": Advice.swap_and_leave_out}
    back = told(did(9, **slow), did(6, **slow, **hurt), did(3))
    assert (back.step, back.tempo) == (FreeStep.returning, "3-0-1-0")


def test_what_is_missing_is_said_of_the_last_session_alone() -> None:
    unrated = told(did(6), did(3, effort=None))
    assert "Say how many repetitions were left" in ENGLISH.sentences(unrated.reason)
    rated = told(did(6, effort=None), did(3))
    assert rated.reason == (ONE_CLEAR_SO_FAR, SAME_AGAIN)


def test_a_clock_that_was_set_back_is_no_time_away() -> None:
    assert told(did(-3)).reason == (ONE_CLEAR_SO_FAR, SAME_AGAIN)


def test_nothing_grows_on_a_day_that_hurts() -> None:
    assert told(*twice(), rules=LoadRules(no_growth=True)).step is FreeStep.same
    assert told(*twice(effort=None)).step is FreeStep.same
