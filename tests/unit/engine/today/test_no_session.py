"""No strength session while a joint hurts at 6 or more, and what the answers ask for then."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest
from accounts import TODAY, account

from engine.movements.movement import Joint, Side
from engine.movements.pain import Advice
from engine.movements.room import SoreJoint
from engine.record.history import History
from engine.today.no_session import AboutPain, NextStep, NoSession, hurt_lately, no_session

KNEE = SoreJoint(joint=Joint.knee, side=Side.left, rating=7)
NONE_OF_THEM = dict.fromkeys(AboutPain, False)


def ended(days_ago: int) -> History:
    """A history with one session that pain has ended."""
    return History(exposures=(account(days_ago, pain=7, advice=Advice.end_session),))


@pytest.mark.parametrize("rating", range(1, 11))
def test_from_six_on_there_is_no_session(rating: int) -> None:
    """The published model stops the exercise above 5 (Thomeé 1997, Phys Ther 77:1690–1703, from memory)."""
    sore = (KNEE.model_copy(update={"rating": rating}), SoreJoint(joint=Joint.neck, rating=2))
    found = no_session(sore)
    assert found == (NoSession(sore[:1]) if rating > 5 else None)


def test_questions_come_one_after_another_the_urgent_signs_first() -> None:
    why, answers = NoSession((KNEE,)), dict[AboutPain, bool]()
    for number, about in enumerate(AboutPain, start=1):
        assert why.asked(answers) == tuple(AboutPain)[:number]
        assert why.next_step(answers) is None
        answers[about] = False
    assert why.next_step(answers) is NextStep.rest


def test_an_urgent_sign_goes_before_everything_and_ends_the_questions() -> None:
    for others in product((True, False), repeat=3):
        answers = {AboutPain.urgent_signs: True, **dict(zip(list(AboutPain)[1:], others, strict=True))}
        assert NoSession((KNEE,)).next_step(answers) is NextStep.get_help
    said = {AboutPain.urgent_signs: True}
    assert NoSession((KNEE,), again=True).next_step(said) is NextStep.get_help
    assert NoSession((KNEE,)).asked(said) == (AboutPain.urgent_signs,)


@pytest.mark.parametrize("about", [AboutPain.nerve_signs, AboutPain.swelling, AboutPain.injury])
def test_nerve_signs_swelling_and_injury_need_a_clinician(about: AboutPain) -> None:
    assert NoSession((KNEE,)).next_step(NONE_OF_THEM | {about: True}) is NextStep.see_clinician


@pytest.mark.parametrize(
    "days_ago, noted_days_ago, again",
    [(1, None, True), (6, None, True), (7, None, False), (0, None, False), (9, 6, True), (9, 7, False)],
)
def test_two_days_in_seven_need_a_clinician(days_ago: int, noted_days_ago: int | None, again: bool) -> None:
    """† Our judgement, no source. Today is one of the two; twice on one day is one day."""
    noted: set[date] = set() if noted_days_ago is None else {TODAY - timedelta(days=noted_days_ago)}
    assert hurt_lately(TODAY, ended(days_ago), noted) is again
    expected = NextStep.see_clinician if again else NextStep.rest
    assert NoSession((KNEE,), again).next_step(NONE_OF_THEM) is expected


def test_pain_that_did_not_end_a_session_is_no_such_day() -> None:
    milder = account(2, pain=5, advice=Advice.swap_and_leave_out)
    assert not hurt_lately(TODAY, History(exposures=(milder,)))
