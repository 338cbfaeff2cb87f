"""What was written once can be read for ever, and the same question still has the same answer."""

from __future__ import annotations

import json

import pytest
from voyage import TO_LIFT, fit_the_plan, frozen, golden, log, page_for_the_coach

from engine.coach.page import CoachPage
from engine.formats import FORMATS
from engine.live.events import RunningRecord
from engine.live.run import replay
from engine.plan.check import check
from engine.plan.plan import SessionPlan
from engine.record.amendment import AmendedField, Amendment, amended
from engine.record.profile import Profile
from engine.record.record import Record
from engine.session.fitted import FittedSession


@pytest.mark.parametrize("name", FORMATS)
def test_a_golden_example_is_read_and_written_back_unchanged(name: str) -> None:
    document = frozen(FORMATS[name], name)
    assert document.model_dump(mode="json") == json.loads(golden(name))
    assert FORMATS[name].model_validate_json(document.model_dump_json()) == document


@pytest.mark.parametrize("name", FORMATS)
def test_every_golden_file_begins_with_its_format_and_version(name: str) -> None:
    assert list(json.loads(golden(name)))[:2] == ["format", "version"]


def test_the_golden_plan_has_no_faults() -> None:
    assert check(frozen(SessionPlan, "plan")) == ()


def test_fitting_the_golden_plan_gives_the_golden_session() -> None:
    assert fit_the_plan() == frozen(FittedSession, "fitted-session")


def test_replaying_the_golden_run_gives_the_golden_record() -> None:
    run = frozen(RunningRecord, "running-record")
    assert run.session == frozen(FittedSession, "fitted-session").with_loads(TO_LIFT)
    assert log(run, frozen(Profile, "profile")) == frozen(Record, "record")


def test_the_golden_run_holds_what_can_go_otherwise_than_planned() -> None:
    state = replay(frozen(RunningRecord, "running-record"))
    assert (len(state.pains), len(state.lost), state.finish_released) == (1, 1, True)
    lead_ins_ms = 10_000 + 10_000 + 1_000  # an interval was skipped one second into the last one
    assert state.paused_ms == 13_250 + 9_000 + 40_000 + lead_ins_ms
    assert sum(done.worked_ms for done in state.done) + state.paused_ms == state.at_ms
    assert {done.outcome for done in state.done} == {"done", "partly", "skipped"}


def test_the_golden_amendment_corrects_the_golden_record() -> None:
    record, amendment = frozen(Record, "record"), frozen(Amendment, "amendment")
    assert amendment.field is AmendedField.set
    corrected = amended(record, [amendment])
    pairs = zip(record.sets, corrected.sets, strict=True)
    changed = [(before.key, before.load_g, after.load_g) for before, after in pairs if before != after]
    assert changed == [("crossing:1:1:crate-lift:both", 16_000, 18_000)]


def test_the_golden_record_gives_the_golden_page() -> None:
    page = page_for_the_coach()
    assert page == frozen(CoachPage, "coach-page")
    assert [review.sessions for review in page.reviews] == [0, 1]
    assert page.sessions[0].pains
    assert page.sessions[0].amendments
