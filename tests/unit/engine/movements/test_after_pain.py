"""Movements that are left out after joint pain, and their way back."""

from __future__ import annotations

from datetime import timedelta

import pytest
from builders import (
    BOTH,
    HAND,
    STARTED_AT,
    Journal,
    movement,
    pain,
    plan,
    practice,
    profile,
    session,
    work,
)
from reasons_said import swaps_said

from engine.fit.choose import choose
from engine.live.timing import remaining_at
from engine.movements.after_pain import (
    JointRating,
    MovementPain,
    PainFreeTry,
    Stage,
    after_pain,
    room_after_pain,
)
from engine.movements.movement import Joint, Kit, MovementPattern, Side
from engine.movements.pain import PainNote
from engine.movements.room import Room, SoreJoint
from engine.plan.plan import RoundsRange
from engine.record.amendment import AmendedField, Amendment
from engine.record.history import history_of
from engine.record.record import LogAnswers, Record
from engine.record.recording import record_from

KNEE = (Joint.knee, Side.left)
SQUAT = "deep-squat"


def hurt(day: int) -> MovementPain:
    at = STARTED_AT + timedelta(days=day)
    return MovementPain(
        at=at,
        local_date=at.date(),
        record_id=f"hurt-{day}",
        movement=SQUAT,
        name="Deep squat",
        joint=Joint.knee,
        side=Side.left,
    )


def tried(
    day: int, *, worked: bool = False, next_morning: int | None = None, side: Side = Side.left
) -> PainFreeTry:
    at = STARTED_AT + timedelta(days=day)
    told = () if next_morning is None else (JointRating(joint=Joint.knee, side=side, rating=next_morning),)
    return PainFreeTry(at=at, record_id=f"tried-{day}", movement=SQUAT, worked=worked, mornings=told)


@pytest.mark.parametrize(
    "pains, later, stage",
    [
        ([hurt(0)], [], Stage.left_out),
        ([hurt(0)], [tried(2)], Stage.left_out),
        ([hurt(0)], [tried(2, next_morning=1)], Stage.left_out),
        ([hurt(0)], [tried(2, next_morning=0)], Stage.returning),
        ([hurt(0)], [tried(2, next_morning=0, side=Side.right)], Stage.left_out),
        ([hurt(0)], [tried(2, next_morning=0), tried(4, worked=True)], Stage.returning),
        ([hurt(0)], [tried(2, next_morning=0), tried(4, worked=True), tried(6, worked=True)], None),
        ([hurt(0), hurt(4)], [tried(2, next_morning=0)], Stage.left_out),
        ([hurt(3)], [tried(1, worked=True), tried(2, worked=True)], Stage.left_out),
        ([hurt(0), hurt(9)], [tried(4, worked=True), tried(6, worked=True)], Stage.left_out),
    ],
)
def test_a_hold_is_released_by_practice_the_next_morning_and_two_sound_returns(pains, later, stage) -> None:
    current = after_pain(pains, later)
    assert [one.stage for one in current] == ([stage] if stage else [])
    assert after_pain(pains[::-1], later[::-1]) == current


@pytest.mark.parametrize(
    "pains, later, after_days, asked",
    [
        ([hurt(0)], [], 13, False),
        ([hurt(0)], [], 14, True),
        ([hurt(0), hurt(3)], [], 4, True),
        ([hurt(0), hurt(9)], [tried(4, worked=True), tried(6, worked=True)], 10, False),
    ],
)
def test_held_twice_or_for_a_fortnight_a_clinician_should_look(pains, later, after_days, asked) -> None:
    (left_out,) = after_pain(pains, later)
    assert left_out.asks_for_clinician((STARTED_AT + timedelta(days=after_days)).date()) is asked


def test_until_today_is_said_the_joint_counts_as_three_and_the_movement_stays_out() -> None:
    room = room_after_pain(Room(kit=Kit.single), after_pain([hurt(0)], []), ())
    assert room.sore == (SoreJoint(joint=Joint.knee, side=Side.left, rating=3),)
    assert (room.after_pain, room.tried) == ((SQUAT,), ())


def test_on_a_day_without_pain_the_movement_is_only_practised() -> None:
    room = room_after_pain(Room(kit=Kit.single), after_pain([hurt(0)], []), {KNEE})
    assert (room.sore, room.after_pain, room.tried) == ((), (SQUAT,), (SQUAT,))


def test_a_joint_that_hurts_today_is_not_tried() -> None:
    own = Room(sore=(SoreJoint(joint=Joint.knee, side=Side.left, rating=1),))
    room = room_after_pain(own, after_pain([hurt(0)], []), {KNEE})
    assert (room.sore, room.tried) == (own.sore, ())


SQUAT_MOVEMENT = movement(SQUAT, pattern=MovementPattern.squat, stress={Joint.knee: 2})
CHAIR = movement("chair-squat", pattern=MovementPattern.squat)
PLAN = plan(
    practice(movements=(SQUAT, HAND.slug)),
    work(SQUAT, HAND.slug, rounds=RoundsRange(min=1, max=2)),
    movements=(SQUAT_MOVEMENT, CHAIR, HAND, BOTH),
)


def test_what_is_on_hold_is_practised_without_a_weight_and_its_stand_in_as_well() -> None:
    choice = choose(PLAN, Room(kit=Kit.single, after_pain=(SQUAT,), tried=(SQUAT,)))
    worked = [chosen.movement for chosen in choice.by_block["circuit"].values()]
    practised = [(chosen.movement, chosen.dumbbells) for chosen in choice.by_block["practice"].values()]
    assert worked == ["chair-squat", HAND.slug]
    assert practised == [(SQUAT, 0), (HAND.slug, 1), ("chair-squat", 1)]
    assert swaps_said(choice)[0] == "Chair squat (One weight) instead of Deep squat: after pain."


def test_a_session_with_a_try_is_fitted_as_long_as_it_lasts() -> None:
    with_try = session(PLAN, minutes=20, kit=Kit.single)
    assert [s.movement for s in with_try.segments if s.kind == "practice"]
    assert with_try.total_ms <= 20 * 60_000


def done_session(record_id: str, day: int, *, hurts: bool) -> Record:
    """A session of the plan in which the squat hurts in its first round, or nothing hurts."""
    started_at = STARTED_AT + timedelta(days=day)
    run = Journal(session(PLAN, minutes=20, kit=Kit.single), started_at=started_at).write("started", 0)
    while run.state.current is not None and run.state.current.kind != "work":
        current, end_ms = run.state.current, run.state.at_ms + remaining_at(run.state, run.state.at_ms)
        if current.pace == "self":
            run.write("ticked", end_ms)
        else:
            run.write("mark", end_ms, segment_id=current.id)
    if hurts:
        note = pain(session_ms=run.state.at_ms, movement=SQUAT, rating=4)
        run.write("hurt", run.state.at_ms + 1_000, pain=note)
    run.write("ended", run.state.at_ms + 1_000, ending="early")
    return record_from(
        run.state,
        LogAnswers(),
        record_id=record_id,
        profile=profile(),
        started_at=started_at,
        ended_at=started_at + timedelta(milliseconds=run.state.at_ms),
    )


def test_records_tell_the_story_of_a_hold() -> None:
    first, second = done_session("first", 0, hurts=True), done_session("second", 2, hurts=False)
    morning = Amendment(
        id="morning",
        record_id="second",
        at=STARTED_AT + timedelta(days=3),
        field=AmendedField.next_morning_pain,
        value={"joint": "knee", "side": "left", "rating": 0},
    )
    before = history_of([first])
    assert [(one.movement, one.joint) for one in before.flagged] == [(SQUAT, Joint.knee)]
    assert {one.movement for one in before.tried} == {HAND.slug}
    assert [one.stage for one in after_pain(before.flagged, before.tried)] == [Stage.left_out]
    after = history_of([second, first], [morning])
    assert [
        (one.movement, one.worked, one.morning_of(KNEE)) for one in after.tried if one.record_id == "second"
    ] == [
        (SQUAT, False, 0),
        (HAND.slug, False, 0),
    ]
    assert [one.stage for one in after_pain(after.flagged, after.tried)] == [Stage.returning]


@pytest.mark.parametrize(
    "said, left_out",
    [
        ({"kind": "muscle", "rating": 6}, False),
        ({"kind": "muscle", "rating": 2, "qualities": ("sharp",)}, True),
        ({"kind": "muscle", "rating": None, "qualities": ("snap",)}, True),
        ({"kind": "joint", "rating": 2}, False),
        ({"kind": "joint", "rating": 2, "after_try": True}, True),
        ({"kind": "joint", "rating": 2, "said_before": 2, "after_try": True}, False),
    ],
)
def test_a_sign_in_a_muscle_and_a_failed_try_leave_a_movement_out(
    said: dict[str, object], left_out: bool
) -> None:
    one = done_session("one", 0, hurts=True)
    note = one.pains[0].model_copy(update={"rating": None}).model_dump() | said
    after = history_of([one.model_copy(update={"pains": (PainNote.model_validate(note),)})])
    assert [flagged.movement for flagged in after.flagged] == [SQUAT] * left_out


def test_after_72_hours_without_an_answer_todays_own_0_stands_in_and_nothing_else_does() -> None:
    """Tried on Wednesday evening: the morning is asked about until Sunday 8 March at 04:00. † 72 h ours."""
    current = after_pain([hurt(0)], [tried(2)])
    sunday, room = STARTED_AT.date() + timedelta(days=6), Room()
    assert room_after_pain(room, current, {KNEE}, sunday - timedelta(days=1)).after_pain == (SQUAT,)
    assert room_after_pain(room, current, {KNEE}, sunday).after_pain == ()
    assert room_after_pain(room, current, (), sunday).after_pain == (SQUAT,)
    never = after_pain([hurt(0)], [])
    assert room_after_pain(room, never, {KNEE}, sunday).after_pain == (SQUAT,)
