"""What the rules say to do when something hurts."""

from __future__ import annotations

import pytest
from builders import pain

from engine.movements.pain import Advice, PainKind, PainQuality, advice, hurt_before, rating_to_spare


@pytest.mark.parametrize(
    "rating, said",
    [
        (0, Advice.go_on),
        (1, Advice.retry_unloaded),
        (2, Advice.retry_unloaded),
        (3, Advice.swap_and_leave_out),
        (5, Advice.swap_and_leave_out),
        (6, Advice.end_session),
        (10, Advice.end_session),
    ],
)
def test_joint_pain_is_never_pushed_through(rating: int, said: Advice) -> None:
    assert advice(pain(rating=rating)) is said


@pytest.mark.parametrize("quality", PainQuality)
@pytest.mark.parametrize("rating", [0, 1])
def test_a_serious_quality_counts_whatever_the_number(quality: PainQuality, rating: int) -> None:
    assert advice(pain(rating=rating, qualities=(quality,))) is Advice.swap_and_leave_out


def test_the_retry_is_good_only_at_zero() -> None:
    assert advice(pain(rating=1), retried=True) is Advice.swap_and_leave_out
    assert advice(pain(rating=0), retried=True) is Advice.go_on


def test_muscle_effort_is_expected_but_not_above_five() -> None:
    assert advice(pain(kind=PainKind.muscle, rating=5)) is Advice.go_on
    assert advice(pain(kind=PainKind.muscle, rating=6)) is Advice.end_session


@pytest.mark.parametrize(
    "unsaid",
    [
        {"kind": None, "rating": 2},
        {"rating": None},
        {"joint": None},
        {"joint": None, "qualities": ("sharp",)},
    ],
)
def test_nothing_is_advised_before_kind_place_and_number_are_said(unsaid: dict[str, object]) -> None:
    assert advice(pain(**unsaid)) is None


def test_what_has_to_end_the_session_needs_no_further_answer() -> None:
    assert advice(pain(kind=None, rating=6)) is Advice.end_session
    assert advice(pain(kind=PainKind.warning_sign, rating=None, joint=None)) is Advice.get_help


@pytest.mark.parametrize(
    "rating, qualities, spares_as", [(1, (), 1), (2, (), 2), (1, ("locking",), 3), (5, (), 5)]
)
def test_serious_pain_spares_the_joint_as_three_at_least(rating, qualities, spares_as) -> None:
    assert rating_to_spare(pain(rating=rating, qualities=qualities)) == spares_as


def test_a_warning_sign_always_means_help() -> None:
    assert advice(pain(kind=PainKind.warning_sign, rating=0)) is Advice.get_help


def test_a_movement_is_retried_where_it_has_hurt_before_in_the_session() -> None:
    note = pain(rating=2, movement="deadlift")
    assert hurt_before(note, [pain(rating=1, movement="deadlift")])
    assert not hurt_before(note, [pain(rating=0, movement="deadlift"), pain(rating=4, movement="squat")])
