"""The recorded words contain everything that a cue says, except for names that a coach made up."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from itertools import pairwise

import pytest
from builders import Journal, journal, session
from places import ASSETS

from companion.samples import sample_plans
from companion.words.registry import ALOUD
from companion.words.words import ENGLISH, english
from engine.base.units import LoadUnit, format_load
from engine.live.cues import SAID_ALONE, CueKind, coming_cues
from engine.live.state import Status
from engine.movements.movement import Kit, library
from engine.plan.plan import SessionPlan
from engine.session.segment import Pace
from engine.session.timed_hold import amount_to_hold_ms
from engine.session.to_lift import ToLift

LIST = ASSETS / "voice" / "words.json"
PLACES: dict[str, tuple[int, int]] = json.loads(LIST.read_text(encoding="utf-8"))


def pieces(words: str) -> list[str]:
    """The pieces that cues.js makes of some words."""
    whole = words.removesuffix(".")
    if whole in PLACES:
        return [whole]
    return [one for piece in re.split(r"[.,:] ", whole) for one in spelled(piece)]


def spelled(piece: str) -> list[str]:
    """What a load is put together from, as in cues.js."""
    load = re.fullmatch(r"(\d{1,3})(?:\.(\d+))? (kilograms?|pounds?)( each)?", piece)
    if load is None:
        return [piece]
    number, fraction, unit, each = load.groups()
    hundreds, rest = divmod(int(number), 100)
    ones = rest % 10 if rest > 20 else 0
    figures = [*([str(hundreds), "hundred"] if hundreds else []), *(str(n) for n in (rest - ones, ones) if n)]
    return [
        *(figures or ["0"]),
        *(["point", *fraction] if fraction else []),
        unit,
        *(["each"] if each else []),
    ]


def said_in(run: Journal) -> Iterator[str]:
    """Everything the cues of a session say, with each item held and ticked in order."""
    at_ms = 0
    while run.state.status is Status.running:
        current = run.state.current
        if current.pace is Pace.self:
            if amount_to_hold_ms(run.state.session.item(current)) is not None:
                run.write("hold_started", at_ms)
                yield from (ENGLISH.sentences(cue.said) for cue in coming_cues(run.state))
            at_ms += current.planned_ms
            run.write("ticked", at_ms)
        else:
            yield from (ENGLISH.sentences(cue.said) for cue in coming_cues(run.state))
            at_ms += current.planned_ms
            run.write("mark", at_ms, segment_id=current.id)


@pytest.mark.parametrize("plan", sample_plans(), ids=lambda plan: plan.id)
def test_whatever_is_said_in_a_session_is_prepared(plan: SessionPlan) -> None:
    for kit in Kit:
        made = session(plan, minutes=40, kit=kit)
        loaded = {item.chosen.movement for block in made.blocks for item in block.items}
        to_lift = {slug: ToLift(load_g=12_500, practice_g=6_000) for slug in loaded}
        said = set(said_in(journal(made.with_loads(to_lift))))
        assert len(said) > 5
        unprepared = {piece for words in said for piece in pieces(words)} - PLACES.keys()
        assert unprepared <= {own.name for own in plan.movements}


def test_what_is_said_where_a_cue_is_tried_and_the_name_of_each_movement_are_prepared() -> None:
    said = {piece for said in SAID_ALONE.values() for piece in pieces(english(said))}
    assert said | {movement.name for movement in library().values()} <= PLACES.keys()


@pytest.mark.parametrize("unit", LoadUnit)
def test_every_load_that_can_be_lifted_is_prepared(unit: LoadUnit) -> None:
    figures = {format_load(load_g, unit).split()[0] for load_g in range(0, 250_000, 50)}
    names = [text.removeprefix("{loads}") for text in (ALOUD[unit].one, ALOUD[unit].other)]
    units = {f"{name}{each}" for name in names for each in ("", " each")}
    assert len(figures) > 1_000
    assert {one for figure in figures for name in units for one in spelled(figure + name)} <= PLACES.keys()


def test_each_kind_of_cue_has_words_of_its_own() -> None:
    assert SAID_ALONE.keys() == set(CueKind)
    assert len(set(SAID_ALONE.values())) == len(CueKind)


def test_the_pieces_follow_each_other_without_touching_and_the_count_takes_three_seconds() -> None:
    places = list(PLACES.values())
    assert all(start < end < following for (start, end), (following, _) in pairwise(places))
    start, end = PLACES["Three, two, one"]
    assert 2_000 < end - start < 3_000
