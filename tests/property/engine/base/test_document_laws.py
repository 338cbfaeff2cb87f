"""Laws of documents: what was saved is what is read, and each content has one revision."""

from __future__ import annotations

import contextlib
import json
import random
from datetime import timedelta

import pytest
from builders import STARTED_AT, profile
from hypothesis import given
from hypothesis import strategies as st
from strategies import fits, journals, plans

from companion.words.faults import fault_words
from engine.base.issue import Unreadable
from engine.base.model import canonical_json, revision_of
from engine.base.reading import parse_json, read
from engine.live.events import RunningRecord
from engine.plan.plan import SessionPlan
from engine.record.record import LogAnswers, Record
from engine.record.recording import record_from
from engine.session.fitted import FittedSession

json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**18), 10**18)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=10,
)


def shuffled(content: object, order: random.Random) -> object:
    """The same JSON with the keys of every object in another order."""
    if isinstance(content, dict):
        keys = sorted(content)
        order.shuffle(keys)
        return {key: shuffled(content[key], order) for key in keys}
    return [shuffled(one, order) for one in content] if isinstance(content, list) else content


@given(plans())
def test_a_plan_is_read_as_it_was_written(plan) -> None:
    assert read(SessionPlan, plan.model_dump_json()) == plan


@given(plans(), st.randoms(use_true_random=False))
def test_the_revision_depends_on_the_content_alone(plan, order) -> None:
    """It depends neither on the order of keys nor on whether defaults are written out."""
    other_order = json.dumps(shuffled(plan.model_dump(mode="json"), order))
    without_defaults = plan.model_dump_json(exclude_defaults=True)
    content = json.loads(without_defaults) | {"format": plan.format, "version": plan.version}
    for block, whole in zip(content["blocks"], plan.blocks, strict=True):
        block["kind"] = whole.kind
    for text in (other_order, json.dumps(content)):
        assert revision_of(read(SessionPlan, text)) == revision_of(plan)


@given(plans(), st.sampled_from(["id", "name", "transition_s", "author"]))
def test_another_content_has_another_revision(plan, field) -> None:
    other = {"id": "other", "name": "Other", "transition_s": 33, "author": "Odd"}
    assert revision_of(plan.model_copy(update={field: other[field]})) != revision_of(plan)


@given(plans())
def test_the_canonical_text_is_its_own_canonical_text(plan) -> None:
    assert canonical_json(read(SessionPlan, canonical_json(plan))) == canonical_json(plan)


@given(fits(), st.data())
def test_a_session_its_run_and_its_record_are_read_as_they_were_written(fit, data) -> None:
    session = fit[2]
    run = data.draw(journals(session))
    assert read(FittedSession, session.model_dump_json()) == session
    assert read(RunningRecord, run.record().model_dump_json()) == run.record()
    if run.state.ending is None:
        run.write("ended", run.state.at_ms, ending="early")
    record = record_from(
        run.state,
        LogAnswers(effort=7.5),
        record_id="r",
        profile=profile(),
        started_at=STARTED_AT,
        ended_at=STARTED_AT + timedelta(milliseconds=run.state.at_ms),
    )
    assert read(Record, record.model_dump_json()) == record


@given(json_values)
def test_any_json_is_decoded_as_the_standard_decoder_does(value) -> None:
    assert parse_json(json.dumps(value)) == json.loads(json.dumps(value))


@given(st.binary(max_size=200) | st.text(max_size=200))
def test_anything_else_is_refused_and_never_crashes(raw) -> None:
    with contextlib.suppress(Unreadable):
        parse_json(raw)


@given(json_values)
def test_any_json_that_is_no_plan_is_refused_with_its_faults(value) -> None:
    framed = {"format": "session-plan", "version": 1, "blocks": value}
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(framed))
    assert all(fault_words(issue) for issue in refused.value.issues)
