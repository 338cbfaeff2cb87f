"""Which side starts the next session."""

from __future__ import annotations

from datetime import timedelta

from accounts import MINUTE, account
from builders import HAND, STARTED_AT, journal, profile, record

from engine.movements.movement import Side
from engine.record.exposure import Exposure, exposures_of
from engine.record.record import LogAnswers, Record, SetAnswer, set_key
from engine.record.recording import record_from
from engine.today.first_side import first_side

BOTH_SIDES = (Side.left, Side.right)


def left_alone(record_id: str = "cut", **fields: object) -> Record:
    """A session that ended after the left side of its first round."""
    run = journal().write("ended", 42_000, ending="early")
    started_at = STARTED_AT + timedelta(days=1)
    return record_from(
        run.state,
        LogAnswers(),
        record_id=record_id,
        profile=profile(),
        started_at=started_at,
        ended_at=started_at,
    )


def answered(left: int, right: int) -> Record:
    said = {
        set_key("circuit", number, 1, HAND.slug, side): SetAnswer(repetitions=counted)
        for number in (1, 2)
        for side, counted in ((Side.left, left), (Side.right, right))
    }
    return record(exceptions=said)


def test_the_left_starts_where_nothing_is_known() -> None:
    assert first_side(()) is Side.left
    assert first_side(exposures_of(record())) is Side.left


def test_the_side_that_was_left_out_starts_next_time() -> None:
    assert first_side(exposures_of(left_alone())) is Side.right
    assert first_side((*exposures_of(left_alone()), *exposures_of(record()))) is Side.right


def test_the_weaker_side_starts() -> None:
    assert first_side(exposures_of(answered(left=9, right=7))) is Side.right
    assert first_side(exposures_of(answered(left=7, right=9))) is Side.left


def test_where_each_side_is_weaker_in_as_many_movements_the_left_starts() -> None:
    def weaker(side: Side, movement: str, days_ago: int) -> Exposure:
        key = MINUTE.model_copy(update={"movement": movement})
        return account(days_ago, key=key, sides=BOTH_SIDES, of_side={side: {"repetitions": 9}})

    tie = (weaker(Side.right, "row", 5), weaker(Side.left, "press", 4))
    assert first_side(tie) is Side.left
    assert first_side((*tie, weaker(Side.right, "lunge", 3))) is Side.right
