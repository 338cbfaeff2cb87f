"""What the rules ask for when something hurts."""

from __future__ import annotations

import pytest
from builders import pain

from engine.movements.pain import (
    EFFORT_GONE_WITHIN_S,
    Advice,
    PainKind,
    PainQuality,
    advice,
    counts_as_joint,
    hurt_before,
    is_pain,
    rating_to_spare,
)


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


@pytest.mark.parametrize("kind", [PainKind.joint, PainKind.muscle, None])
@pytest.mark.parametrize("quality", PainQuality)
@pytest.mark.parametrize("rating", [None, 0, 1, 5])
def test_any_sign_stops_the_movement_whatever_hurts_and_whatever_the_number(
    kind: PainKind | None, quality: PainQuality, rating: int | None
) -> None:
    note = pain(kind=kind, rating=rating, qualities=(quality,))
    assert advice(note) is Advice.swap_and_leave_out
    assert counts_as_joint(note)
    assert is_pain(note)


@pytest.mark.parametrize("quality", PainQuality)
def test_a_sign_in_a_muscle_counts_as_a_joint_at_six_too(quality: PainQuality) -> None:
    assert advice(pain(kind=PainKind.muscle, rating=6, qualities=(quality,))) is Advice.end_session


def test_the_signs_are_those_of_the_rules() -> None:
    assert {quality.value for quality in PainQuality} == {
        *("sharp", "sudden", "snap", "giving_way", "locking", "nerve_like")
    }


def test_the_retry_is_good_only_at_zero() -> None:
    assert advice(pain(rating=1), retried=True) is Advice.swap_and_leave_out
    assert advice(pain(rating=0), retried=True) is Advice.go_on


@pytest.mark.parametrize(
    "before, after, said",
    [
        (None, 0, Advice.go_on),
        (None, 1, Advice.swap_and_leave_out),
        (0, 1, Advice.swap_and_leave_out),
        (1, 1, Advice.go_on),
        (1, 2, Advice.swap_and_leave_out),
        (2, 2, Advice.go_on),
        (2, 3, Advice.swap_and_leave_out),
        (3, 1, Advice.swap_and_leave_out),
        (4, 4, Advice.swap_and_leave_out),
    ],
)
def test_the_unloaded_try_passes_at_zero_or_at_what_was_said_before_the_start_up_to_two(
    before: int | None, after: int, said: Advice
) -> None:
    assert advice(pain(rating=after, said_before=before, after_try=True)) is said


def test_a_try_made_earlier_lets_nobody_go_on_at_what_was_said_before() -> None:
    assert advice(pain(rating=2, said_before=2), retried=True) is Advice.swap_and_leave_out


@pytest.mark.parametrize(
    "rating, said",
    [
        (0, Advice.go_on),
        (2, Advice.go_on),
        (3, Advice.ease),
        (5, Advice.ease),
        (6, Advice.stop_movement),
        (10, Advice.stop_movement),
    ],
)
def test_dull_pain_in_a_muscle_is_eased_from_three_and_stops_the_movement_from_six(
    rating: int, said: Advice
) -> None:
    assert advice(pain(kind=PainKind.muscle, rating=rating)) is said


def test_burning_that_is_gone_within_a_minute_is_effort() -> None:
    gone = pain(kind=PainKind.muscle, rating=None, gone_after_s=EFFORT_GONE_WITHIN_S)
    late = pain(kind=PainKind.muscle, rating=None, gone_after_s=EFFORT_GONE_WITHIN_S + 1)
    assert EFFORT_GONE_WITHIN_S == 60
    assert (advice(gone), is_pain(gone)) == (Advice.go_on, False)
    assert (advice(late), is_pain(late)) == (Advice.ease, True)
    assert advice(pain(rating=3, gone_after_s=5)) is Advice.swap_and_leave_out, "a joint does not burn"


@pytest.mark.parametrize("unsaid", [{"kind": None, "rating": 2}, {"rating": None}, {"joint": None}])
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
