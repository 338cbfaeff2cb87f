"""The record of a session: what was really done."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest
from builders import BOTH, HAND, STARTED_AT, journal, logged, pain, plan, profile, record, session, work
from pydantic import ValidationError

from engine.live.events import Ending
from engine.live.state import Outcome
from engine.load.clear import shortfall
from engine.movements.movement import Kit, Side
from engine.plan.plan import RoundsRange, WorkMovement
from engine.record.amendment import AmendedField, Amendment, amended
from engine.record.exposure import exposures_of
from engine.record.record import LimitedBy, LogAnswers, SetAnswer, set_key
from engine.record.recording import record_from, sets_of
from engine.session.fitted import FittedSession
from engine.session.segment import Kind

LEFT = set_key("circuit", 1, 1, HAND.slug, Side.left)


def amend(field: AmendedField, value: object, *, day: int = 1, record_id: str = "record-1") -> Amendment:
    return Amendment.model_validate(
        {
            "id": f"{field}-{day}",
            "record_id": record_id,
            "at": STARTED_AT + timedelta(days=day),
            "field": field,
            "value": value,
        }
    )


@pytest.mark.parametrize("missing", ["round", "place", "side"])
def test_work_that_does_not_say_where_it_belongs_is_no_set(missing: str) -> None:
    """A set is found again by its block, round, place, movement and side."""
    state = journal().write("ended", 40_000, ending="early").state
    work_of = next(one for one in state.segments if one.kind is Kind.work)
    lost = [one.model_copy(update={missing: None}) if one is work_of else one for one in state.segments]
    with pytest.raises(ValueError, match="names no movement of its block"):
        sets_of(state.model_copy(update={"segments": tuple(lost)}), LogAnswers())


def test_a_record_holds_each_round_and_side_as_its_own_set() -> None:
    sets = record(loads_g={HAND.slug: 8_000}).sets
    assert [(one.round, one.side, one.load_g, one.planned_repetitions) for one in sets] == [
        (1, Side.left, 8_000, 7),
        (1, Side.right, 8_000, 7),
        (2, Side.left, 8_000, 7),
        (2, Side.right, 8_000, 7),
    ]


def test_an_exception_replaces_what_holds_for_all() -> None:
    answer = SetAnswer(load_g=6_000, repetitions=5, effort=8.5, limited_by=LimitedBy.grip)
    sets = record(loads_g={HAND.slug: 8_000}, exceptions={LEFT: answer}).sets
    assert (sets[0].load_g, sets[0].repetitions, sets[0].effort, sets[0].limited_by) == (
        6_000,
        5,
        8.5,
        "grip",
    )
    assert sets[1].load_g == 8_000


TURNS = BOTH.model_copy(
    update={
        "slug": "taking-turns",
        "variants": tuple(variant.model_copy(update={"alternates": True}) for variant in BOTH.variants),
    }
)


def turns_session() -> FittedSession:
    """40 s at 2-0-1-0 hold 13 repetitions."""
    one = WorkMovement(movement=TURNS.slug, tempo="2-0-1-0")
    block = work(movements=(one,), rounds=RoundsRange(min=1, max=1), work_s=40)
    return session(plan(block, movements=(TURNS,)))


def test_sides_that_take_turns_are_told_an_even_number_and_that_is_all_the_interval_holds() -> None:
    made = turns_session()
    key = set_key("circuit", 1, 1, TURNS.slug, Side.both)
    told = record(made, loads_g={TURNS.slug: 8_000}, exceptions={key: SetAnswer(effort=6)})
    assert [done.planned_repetitions for done in told.sets] == [12]
    (exposure,) = exposures_of(told)
    assert exposure.key.ceiling == 12
    assert shortfall(exposure) is None, "12 of 12 is a clear session"


def test_an_interval_of_turns_that_was_cut_short_counts_what_went() -> None:
    run = journal(turns_session())
    worked_from_ms = 10_000
    cut = logged(run.write("ended", worked_from_ms + 21_000, ending="early"))
    assert [(done.worked_ms, done.planned_repetitions) for done in cut.sets] == [(21_000, 7)]


def test_a_pair_is_one_set_of_two_dumbbells() -> None:
    made = session(plan(work(HAND.slug, rounds=RoundsRange(min=1, max=1))), kit=Kit.pair)
    (only,) = record(made, loads_g={HAND.slug: 8_000}).sets
    assert (only.side, only.dumbbells, only.load_g, only.planned_repetitions) == (Side.both, 2, 8_000, 15)


def test_without_a_weight_there_is_no_load() -> None:
    made = session(plan(work(BOTH.slug)), kit=Kit.none)
    assert {one.load_g for one in record(made, loads_g={BOTH.slug: 8_000}).sets} == {None}


def test_a_skipped_interval_is_no_set_and_a_broken_one_is_partly_done() -> None:
    run = journal().write("skipped", 20_000).write("ended", 30_000, ending="early")
    (only,) = sets_of(run.state, LogAnswers())
    assert (only.outcome, only.worked_ms, only.planned_repetitions) == (Outcome.partly, 10_000, 2)


def test_an_interval_done_again_counts_as_it_was_done_last() -> None:
    run = journal().write("redone", 60_000).write("ended", 125_000, ending="early")
    first_round = [one for one in sets_of(run.state, LogAnswers()) if one.round == 1]
    assert [(one.side, one.worked_ms) for one in first_round] == [(Side.left, 30_000), (Side.right, 25_000)]


def test_looking_back_at_a_finished_interval_leaves_it_finished() -> None:
    run = journal().write("went_back", 85_000).write("went_back", 85_000).write("skipped", 85_000)
    run.write("ended", 86_000, ending="early")
    outcomes = {(one.round, one.side): one.outcome for one in sets_of(run.state, LogAnswers())}
    assert outcomes[1, Side.right] is Outcome.done


def test_the_local_date_is_the_date_where_it_started() -> None:
    ahead = timezone(timedelta(hours=13))
    late = datetime(2026, 3, 3, 0, 30, tzinfo=ahead)
    made = record(started_at=late)
    assert (made.local_date.isoformat(), made.utc_offset_min) == ("2026-03-03", 780)
    assert made.started_at.astimezone(STARTED_AT.tzinfo).date().isoformat() == "2026-03-02"


def test_time_worked_and_time_paused_are_kept_apart() -> None:
    run = journal().write("paused", 20_000).write("resumed", 50_000).write("ended", 60_000, ending="early")
    made = record_from(
        run.state,
        LogAnswers(),
        record_id="r",
        profile=profile(),
        started_at=STARTED_AT,
        ended_at=STARTED_AT + timedelta(seconds=60),
    )
    assert (made.active_ms, made.paused_ms, made.ending) == (20_000, 40_000, Ending.early), "10 s of lead-in"


def test_pain_and_lost_positions_go_into_the_record() -> None:
    run = journal().write("form_slipped", 20_000).write("hurt", 21_000, pain=pain(session_ms=21_000))
    run.write("ended", 22_000, ending="pain")
    made = record_from(
        run.state, LogAnswers(), record_id="r", profile=profile(), started_at=STARTED_AT, ended_at=STARTED_AT
    )
    assert (len(made.pains), len(made.lost), made.ending) == (1, 1, Ending.pain)


def test_a_session_that_runs_has_no_record_yet() -> None:
    with pytest.raises(ValueError, match="has ended"):
        record_from(
            journal().state,
            LogAnswers(),
            record_id="r",
            profile=profile(),
            started_at=STARTED_AT,
            ended_at=STARTED_AT,
        )


def test_a_time_without_its_offset_is_refused() -> None:
    over = journal().write("ended", 20_000, ending="early").state
    for name in ("started_at", "ended_at"):
        times = {"started_at": STARTED_AT, "ended_at": STARTED_AT, name: STARTED_AT.replace(tzinfo=None)}
        with pytest.raises(ValueError, match="offset"):
            record_from(over, LogAnswers(), record_id="r", profile=profile(), **times)


def test_the_latest_amendment_counts_and_the_record_stays_as_it_was() -> None:
    made = record(effort=6)
    late = [amend(AmendedField.effort, 8, day=2), amend(AmendedField.effort, 7, day=1)]
    assert amended(made, late).effort == 8
    assert made.effort == 6


def test_a_set_is_corrected_by_its_key() -> None:
    value = {"key": LEFT, "answer": {"load_g": 10_000, "repetitions": 6}}
    corrected = amended(record(loads_g={HAND.slug: 8_000}), [amend(AmendedField.set, value)])
    assert [one.load_g for one in corrected.sets] == [10_000, 8_000, 8_000, 8_000]
    assert corrected.sets[0].repetitions == 6


def test_an_amendment_of_another_record_changes_nothing() -> None:
    assert amended(record(), [amend(AmendedField.note, "Other.", record_id="record-2")]) == record()


def test_the_answers_of_the_next_morning_stand_beside_the_record() -> None:
    late = [amend(AmendedField.next_morning_pain, 2), amend(AmendedField.soreness, "legs")]
    assert amended(record(), late) == record()


@pytest.mark.parametrize("effort", [-1, 10.5, 7.25])
def test_an_effort_is_a_half_step_from_0_to_10(effort: float) -> None:
    with pytest.raises(ValidationError):
        LogAnswers(effort=effort)


def test_a_note_has_room_for_a_page_of_text_and_no_more() -> None:
    """† Our judgement, no source."""
    assert len(LogAnswers(note="x" * 2_000).note) == 2_000
    with pytest.raises(ValidationError):
        LogAnswers(note="x" * 2_001)
