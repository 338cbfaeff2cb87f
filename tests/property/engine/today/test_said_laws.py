"""Laws of what was said about today."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

from builders import BOTH, HAND, STARTED_AT, movement, plan, practice, work
from hypothesis import given
from hypothesis import strategies as st

from engine.base.local_day import day_is_over
from engine.movements.after_pain import MovementPain
from engine.movements.movement import Joint, JointPoint, Side
from engine.record.history import History
from engine.record.joint_pain import JointPain, ToldIn
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.question import FitQuestion, question
from engine.today.said import (
    SaidStill,
    SaidToday,
    pruned,
    still_counts,
    with_joint,
    with_pressure,
    with_sore_muscles,
)

SQUAT = movement("deep-squat", stress={"knee": 2})
PLAN = plan(practice(movements=(SQUAT.slug,)), work(SQUAT.slug, HAND.slug), movements=(SQUAT, BOTH, HAND))
POINTS: tuple[JointPoint, ...] = ((Joint.knee, Side.left), (Joint.knee, Side.right), (Joint.neck, None))
DAY_MIN = 24 * 60

offsets = st.sampled_from([-600, -60, 0, 60, 120, 345, 840])
minutes = st.integers(0, 3 * DAY_MIN)


@st.composite
def moments(draw: st.DrawFn) -> datetime:
    """A moment of three days, by the wall clock of some place."""
    zone = timezone(timedelta(minutes=draw(offsets)))
    return (datetime(2026, 3, 2, tzinfo=UTC) + timedelta(minutes=draw(minutes))).astimezone(zone)


@st.composite
def answers(draw: st.DrawFn) -> SaidToday | None:
    """What somebody said one after another, each time at a later moment."""
    said: SaidToday | None = None
    times = sorted(draw(st.lists(moments(), max_size=5)))
    for at in times:
        about = draw(st.sampled_from(("joint", "muscles", "pressure")))
        if about == "joint":
            said = with_joint(said, draw(st.sampled_from(POINTS)), draw(st.integers(0, 10)), at)
        elif about == "muscles":
            said = with_sore_muscles(said, draw(st.integers(0, 10)), at)
        else:
            said = with_pressure(said, draw(st.none() | st.booleans()), at)
    return said


@st.composite
def pains(draw: st.DrawFn) -> JointPain:
    joint, side = draw(st.sampled_from(POINTS))
    rating, sign = draw(st.integers(1, 10)), draw(st.booleans())
    told_in = draw(st.sampled_from(ToldIn))
    return JointPain(at=draw(moments()), joint=joint, side=side, rating=rating, sign=sign, told_in=told_in)


@given(answers(), st.lists(pains(), max_size=3), moments(), st.integers(48, 100))
def test_what_was_said_yesterday_changes_nothing_today(
    said: SaidToday | None, told: list[JointPain], now: datetime, hours: int
) -> None:
    """48 h after the last word it is past 04:00 the next day, even after a journey of 24 h to the west."""
    last = max([now, *(one.at for one in told), *([said.said_at] if said else [])])
    assert still_counts(said, told, last + timedelta(hours=hours)) == SaidStill()


@given(answers(), st.lists(pains(), max_size=3), moments(), st.none() | moments())
def test_what_is_stored_counts_as_what_was_said(
    said: SaidToday | None, told: list[JointPain], now: datetime, last: datetime | None
) -> None:
    if said is not None:
        kept = pruned(said, told, now, last_started=last)
        assert still_counts(kept, told, now, last_started=last) == still_counts(
            said, told, now, last_started=last
        )


@given(answers(), st.lists(pains(), min_size=1, max_size=3), moments(), st.integers(0, 10))
def test_pain_that_left_movements_out_is_never_answered_away_the_same_day(
    said: SaidToday | None, told: list[JointPain], now: datetime, rating: int
) -> None:
    """Asked again the same evening, somebody says less: the joint counts as the worst of a session from 3 on,
    and of a note from 6 on. A morning alone is answered away."""
    point = told[0].joint, told[0].side
    again = with_joint(said, point, rating, now)
    today = [one for one in told if not day_is_over(one.at, now) and one.is_of(point)]
    least = {ToldIn.session: 3, ToldIn.note: 6, ToldIn.morning: 11}
    worst = max((one.rating for one in today if one.rating >= least[one.told_in]), default=0)
    found = {(one.joint, one.side): one.rating for one in still_counts(again, told, now).sore}
    assert found.get(point, 0) >= worst
    mornings = [
        one.model_copy(update={"told_in": ToldIn.morning, "sign": False}) for one in told if one.at <= now
    ]
    freed = {(one.joint, one.side): one.rating for one in still_counts(again, mornings, now).sore}
    assert freed.get(point, 0) == rating


@given(answers(), st.lists(pains(), min_size=1, max_size=3), moments())
def test_after_a_sign_of_injury_the_joint_counts_as_3_at_least_all_day(
    said: SaidToday | None, told: list[JointPain], now: datetime
) -> None:
    sharp = told[0].model_copy(update={"sign": True, "at": now})
    later = now + timedelta(hours=5, minutes=59)
    said = with_joint(said, (sharp.joint, sharp.side), 0, now + timedelta(minutes=1))
    ratings = {(one.joint, one.side): one.rating for one in still_counts(said, [sharp], later).sore}
    assert ratings[sharp.joint, sharp.side] >= 3


@given(answers(), st.integers(0, 10 * DAY_MIN), st.none() | moments())
def test_nothing_left_out_after_pain_comes_back_through_what_was_said_before_the_pain(
    said: SaidToday | None, later: int, last: datetime | None
) -> None:
    """Whatever was said before: after the pain the movement is neither worked nor tried, whenever that is."""
    at = max([STARTED_AT, *([said.said_at] if said else [])]) + timedelta(minutes=1)
    history = History(
        days=(at.date(),),
        flagged=(
            MovementPain(
                at=at,
                local_date=at.date(),
                record_id="hurt",
                movement=SQUAT.slug,
                name=SQUAT.name,
                joint=Joint.knee,
                side=Side.left,
            ),
        ),
        pains=(JointPain(at=at, joint=Joint.knee, side=Side.left, rating=4),),
    )
    now = at + timedelta(minutes=later)
    still = still_counts(said, history.pains, now, last_started=last)
    sore = tuple(one for one in still.sore if one.rating < 6)  # at 6 and more there is no session at all
    today = Today(day=now.date(), minutes=40, sore=sore, rated=still.rated, spared=still.spared)
    put = question(PLAN, today, Learned.from_history(history))
    assert isinstance(put, FitQuestion)
    assert put.asked.room.after_pain == (SQUAT.slug,)
    assert put.asked.room.tried == ()
