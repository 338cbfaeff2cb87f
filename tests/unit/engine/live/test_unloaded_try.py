"""The try without weight after dull pain: a step with a lead-in, logged at 0, its number asked at the end."""

from __future__ import annotations

import pytest
from builders import HAND, Journal, journal, pain, short_session

from companion.words.words import ENGLISH
from engine.live.cues import CueKind, coming_cues
from engine.live.pain_stop import note_after_try, recent_joints
from engine.live.run import at, replay
from engine.live.state import Status
from engine.live.timing import elapsed_at, lead_in_at
from engine.movements.pain import Advice, advice
from engine.record.record import LogAnswers
from engine.record.recording import sets_of
from engine.session.segment import Kind
from engine.session.to_lift import ToLift

# The short session, in seconds: 0 lead-in, 10 left, 40 change, 50 right, 80 rest, 110 left, 140 change,
# 150 right, 180 end.
DULL = pain(movement=HAND.slug, rating=2)
LOADED = short_session().with_loads({HAND.slug: ToLift(load_g=8_000)})


def tried(at_ms: int = 20_000) -> Journal:
    """Pain at a moment of the session, and the try begun 30 s later."""
    run = journal(LOADED).write("paused", at_ms).write("hurt", at_ms + 20_000, pain=DULL)
    return run.write("try_started", at_ms + 30_000)


def loads_of(run: Journal) -> list[tuple[int, str, int | None]]:
    return [(one.round, one.side, one.load_g) for one in sets_of(run.state, LogAnswers())]


def test_it_has_a_lead_in_and_lasts_for_the_rest_of_the_side() -> None:
    run = tried()
    assert (run.state.status, lead_in_at(run.state, 50_000)) == (Status.running, 10_000)
    assert elapsed_at(run.state, 60_000) == 10_000
    assert at(run.state, 79_999).attempt.asks_number is False
    over = at(run.state, 80_000)
    assert (over.status, over.attempt.asks_number, over.current.kind) == (
        Status.paused,
        True,
        Kind.side_change,
    )
    assert at(run.state, 500_000).index == over.index, "nothing goes on before the number is given"


def test_it_is_told_and_its_end_stops() -> None:
    cues = coming_cues(tried().state)
    assert [(one.at_ms // 1000, one.kind) for one in cues] == [
        (50, CueKind.get_ready),
        (57, CueKind.countdown),
        (60, CueKind.work),
        (77, CueKind.countdown),
        (80, CueKind.stop),
    ]
    assert ENGLISH.sentences(cues[0].said) == "Get ready. One hand press, left. No weight."


def test_the_number_at_its_end_decides_and_only_then_it_goes_on() -> None:
    run = tried().write("resumed", 85_000)
    assert run.state.status is Status.paused
    run.write("hurt", 90_000, pain=DULL.model_copy(update={"rating": 0, "after_try": True}))
    assert advice(run.state.pains[-1]) is Advice.go_on
    run.write("resumed", 95_000)
    assert (run.state.status, at(run.state, 105_000).current.side) == (Status.running, "right")


def test_both_sides_of_the_interval_are_logged_at_zero_and_the_next_round_as_before() -> None:
    run = tried()
    run.write("hurt", 90_000, pain=DULL.model_copy(update={"rating": 0, "after_try": True}))
    run.write("resumed", 95_000).write("mark", 400_000, segment_id="over")
    assert loads_of(run) == [
        (1, "left", 0),
        (1, "right", 0),
        (2, "left", 8_000),
        (2, "right", 8_000),
    ]


def test_pain_said_in_a_rest_is_tried_in_the_next_interval_of_the_movement() -> None:
    run = tried(85_000)
    assert run.state.current.kind is Kind.rest
    over = at(run.state, 400_000)
    assert (over.attempt.asks_number, over.done[-1].segment_id) == (
        True,
        "circuit:2:1:one-hand-press:left:work",
    )
    run.write("hurt", 401_000, pain=DULL.model_copy(update={"rating": 0, "after_try": True}))
    run.write("resumed", 402_000).write("mark", 600_000, segment_id="over")
    assert loads_of(run) == [(1, "left", 8_000), (1, "right", 8_000), (2, "left", 0), (2, "right", 0)]


def test_its_number_is_of_the_pain_said_last_and_of_what_was_tried() -> None:
    earlier = [pain(movement=HAND.slug, joint=joint, rating=1) for joint in ("wrist", "elbow")]
    run = journal(LOADED)
    for at_ms, note in zip((12_000, 95_000), earlier, strict=True):
        run.write("paused", at_ms).write("hurt", at_ms, pain=note).write("resumed", at_ms)
    run.write("paused", 97_000).write("hurt", 97_000, pain=DULL).write("try_started", 97_000)
    note = note_after_try(at(run.state, 500_000), 500_000)
    assert (note.joint, note.rating, note.after_try) == (DULL.joint, None, True)
    assert note.segment_id == "circuit:2:1:one-hand-press:left:work"


def test_offered_first_are_the_joints_that_hurt_and_no_muscle() -> None:
    """A number of 0 is no pain."""
    notes = (
        pain(joint="wrist", side="left", rating=2),
        pain(joint="elbow", side="left", rating=0),
        pain(kind="muscle", joint=None, side=None, rating=4),
    )
    state = journal(LOADED).state.model_copy(update={"pains": notes})
    assert recent_joints(state) == (("wrist", "left"),)


def test_after_the_last_side_the_number_is_still_taken() -> None:
    run = tried(170_000)
    over = at(run.state, 400_000)
    assert (over.status, over.attempt.asks_number) == (Status.ended, True)
    run.write("hurt", 400_000, pain=DULL.model_copy(update={"rating": 2, "after_try": True}))
    assert (run.state.attempt.asks_number, len(run.state.pains)) == (False, 2)


@pytest.mark.parametrize("leave", ["skipped", "ended"])
def test_a_try_that_is_left_early_asks_unless_the_session_is_ended(leave: str) -> None:
    more = {"ending": "early"} if leave == "ended" else {}
    run = tried().write(leave, 65_000, **more)
    assert run.state.attempt.asks_number is (leave == "skipped")


def test_doing_it_again_keeps_the_number_for_the_end() -> None:
    run = tried().write("redone", 65_000)
    assert (run.state.status, run.state.attempt.asks_number) == (Status.running, False)
    assert at(run.state, 400_000).attempt.asks_number


def test_replaying_a_try_gives_the_state_that_was() -> None:
    run = tried().write("mark", 100_000, segment_id="over")
    assert replay(run.record()) == run.state
