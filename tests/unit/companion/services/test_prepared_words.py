"""The recorded words contain everything that a cue says, except for names that a coach made up."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import pairwise

import pytest
from builders import Journal, journal, session
from places import ASSETS

from companion.actions.home.cues import SPOKEN
from companion.samples import sample_plans
from engine.live.cues import CueKind, coming_cues
from engine.live.state import Status
from engine.movements.movement import Kit, library
from engine.plan.plan import SessionPlan
from engine.session.segment import Pace
from engine.session.timed_hold import dose_to_hold_ms

LIST = ASSETS / "voice" / "words.json"
PLACES: dict[str, tuple[int, int]] = json.loads(LIST.read_text(encoding="utf-8"))


def pieces(words: str) -> list[str]:
    """The pieces that cues.js makes of some words."""
    whole = words.removesuffix(".")
    return [whole] if whole in PLACES else re.split(r"[.,:] ", whole)


def said_in(run: Journal) -> Iterator[str]:
    """Everything the cues of a session say, with each item held and ticked in order."""
    at_ms = 0
    while run.state.status is Status.running:
        current = run.state.current
        if current.pace is Pace.self:
            if dose_to_hold_ms(run.state.session.item(current)) is not None:
                run.write("hold_started", at_ms)
                yield from (cue.words for cue in coming_cues(run.state))
            at_ms += current.planned_ms
            run.write("ticked", at_ms)
        else:
            yield from (cue.words for cue in coming_cues(run.state))
            at_ms += current.planned_ms
            run.write("mark", at_ms, segment_id=current.id)


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
def test_whatever_is_said_in_a_session_is_prepared(plan: SessionPlan) -> None:
    for kit in Kit:
        said = set(said_in(journal(session(plan, minutes=40, kit=kit))))
        assert len(said) > 5
        unprepared = {piece for words in said for piece in pieces(words)} - PLACES.keys()
        assert unprepared <= {own.name for own in plan.movements}


def test_what_is_said_where_a_cue_is_tried_and_the_name_of_each_movement_are_prepared() -> None:
    said = {piece for words in SPOKEN.values() for piece in pieces(words)}
    assert said | {movement.name for movement in library().values()} <= PLACES.keys()


def test_each_kind_of_cue_has_words_of_its_own() -> None:
    assert SPOKEN.keys() == set(CueKind)
    assert len(set(SPOKEN.values())) == len(CueKind)


def test_the_pieces_follow_each_other_without_touching_and_the_count_takes_three_seconds() -> None:
    places = list(PLACES.values())
    assert all(start < end < following for (start, end), (following, _) in pairwise(places))
    start, end = PLACES["Three, two, one"]
    assert 2_000 < end - start < 3_000
