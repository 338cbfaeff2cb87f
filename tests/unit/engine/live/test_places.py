"""A movement with several places in a round, while the session runs."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, Journal, journal, movement, pain
from two_places import in_two_places, two_places

from companion.words.words import ENGLISH
from engine.live.loads import load_of, offered_g
from engine.live.refit import keep_finish
from engine.live.run import at
from engine.live.state import RunState
from engine.live.swap import swap_after_pain, swap_for_easier
from engine.live.timing import remaining_session_at
from engine.movements.movement import MovementPattern
from engine.movements.pain import PainKind
from engine.plan.plan import RoundsRange, SessionPlan
from engine.record.record import LogAnswers
from engine.record.recording import sets_in_turn, sets_of, with_load
from engine.session.segment import BETWEEN, Kind, Segment
from engine.session.to_lift import ToLift

LOADED = in_two_places().with_loads({BOTH.slug: ToLift(load_g=8_000, next_g=10_000)})


def lifts(state: RunState, *, place: int) -> list[Segment]:
    return [s for s in state.segments if s.kind is Kind.work and (s.movement, s.place) == (BOTH.slug, place)]


def loads_g(run: Journal, *, place: int) -> list[int | None]:
    return [load_of(run.state, one) for one in lifts(run.state, place=place)]


def found(run: Journal, load_g: int, *, place: int) -> Journal:
    where = {"block": "circuit", "place": place}
    return run.write("load_found", run.state.at_ms, movement=BOTH.slug, load_g=load_g, **where)


def test_a_heavier_weight_is_for_its_own_place() -> None:
    """What comes later in a round is done tired."""
    run = found(journal(LOADED), 10_000, place=1)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([10_000] * 2, [8_000] * 2)
    found(run, 12_000, place=3)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([10_000] * 2, [12_000] * 2)


def test_a_lighter_weight_is_for_the_other_place_too_until_one_is_chosen_there() -> None:
    run = found(journal(LOADED), 6_000, place=1)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([6_000] * 2, [6_000] * 2)
    found(run, 8_000, place=3)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([6_000] * 2, [8_000] * 2)


def test_where_nothing_was_told_the_other_place_takes_what_was_chosen() -> None:
    run = found(journal(in_two_places()), 6_000, place=1)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([6_000] * 2, [6_000] * 2)


def test_a_weight_for_the_whole_movement_is_for_every_place_from_then_on() -> None:
    run = found(journal(LOADED), 10_000, place=3)
    run.write("load_found", run.state.at_ms, movement=BOTH.slug, load_g=4_000)
    assert (loads_g(run, place=1), loads_g(run, place=3)) == ([4_000] * 2, [4_000] * 2)


def test_the_next_weight_is_offered_in_each_place_by_itself() -> None:
    run = journal(LOADED)
    starts = {
        one.id: sum(s.planned_ms for s in LOADED.segments[:index])
        for index, one in enumerate(LOADED.segments)
    }
    offered = {
        (one.round, place): offered_g(at(run.state, starts[one.id] - 5_000))
        for place in (1, 3)
        for one in lifts(run.state, place=place)
    }
    assert offered == {(1, 1): None, (1, 3): None, (2, 1): 10_000, (2, 3): 10_000}
    at_place = at(run.state, starts[lifts(run.state, place=1)[1].id] - 5_000)
    taken = found(journal(LOADED).write("more_rest", at_place.at_ms, added_ms=15_000), 10_000, place=1)
    assert offered_g(taken.state) is None


def test_each_place_has_its_own_row_in_the_log() -> None:
    run = journal(LOADED)
    run.write("ended", LOADED.total_ms, ending="finished")
    sets = sets_of(run.state, LogAnswers())
    assert [one.place for one in sets if one.movement == BOTH.slug] == [1, 3, 1, 3]
    second = sets_in_turn(LOADED, sets, BOTH.slug, 2)
    after = sets_of(run.state, with_load(LogAnswers(), second, 6_000))
    assert [(one.place, one.load_g) for one in after if one.movement == BOTH.slug] == [
        (1, 8_000),
        (3, 6_000),
        (1, 8_000),
        (3, 6_000),
    ]
    assert LOADED.turn("circuit", 2, HAND.slug) is None


EASY = movement("easy-lift", pattern=MovementPattern.hinge)


def with_easier() -> SessionPlan:
    of = two_places()
    lift = BOTH.model_copy(update={"easier": EASY.slug})
    return of.model_copy(update={"movements": (lift, EASY, HAND, FLOOR)})


def test_an_easier_version_is_for_the_other_place_too() -> None:
    of = with_easier()
    run = journal(in_two_places(of)).write("paused", 20_000)
    refit = swap_for_easier(run.state, of.known_movements())
    assert refit is not None
    assert {added.item.place for added in refit.items} == {1, 3}
    run.write("refitted", 21_000, segments=refit.segments, items=refit.items, said=refit.said)
    coming = [s for s in run.state.coming if s.kind is Kind.work and s.movement == EASY.slug]
    assert [(s.round, s.place) for s in coming] == [(1, 1), (1, 3), (2, 1), (2, 3)]
    assert all(run.state.session.chosen(s) is not None for s in coming)


def test_what_hurts_in_the_second_place_comes_in_neither_any_more() -> None:
    run = journal(LOADED)
    there = lifts(run.state, place=3)[0]
    run.write("paused", sum(s.planned_ms for s in LOADED.segments[: LOADED.segments.index(there)]) + 5_000)
    assert run.state.current == there
    note = pain(session_ms=run.state.at_ms, movement=BOTH.slug, kind=PainKind.joint, rating=4)
    refit = swap_after_pain(run.state, note, two_places().known_movements())
    assert BOTH.slug not in {s.movement for s in refit.segments if s.kind not in BETWEEN}


def test_a_cut_on_the_run_leaves_what_stands_between_the_two_places() -> None:
    """The last round would bring the two lifts together without the press: the floor work at its end goes."""
    items = two_places().work_blocks()[0].movements
    may_go = tuple(item.model_copy(update={"may_go": item.movement != BOTH.slug}) for item in items)
    block = two_places().work_blocks()[0].model_copy(update={"movements": may_go})
    run = journal(in_two_places(two_places().model_copy(update={"blocks": (block,)})))
    run.write("paused", 15_000).write("resumed", 16_000)
    left_ms = remaining_session_at(run.state, run.state.at_ms)
    refit = keep_finish(run.state, left_ms - 61_000)
    assert refit is not None
    assert [(s.round, s.place) for s in refit.segments if s.kind is Kind.work and s.side != "right"][-1] == (
        2,
        3,
    )
    assert keep_finish(run.state, left_ms - 200_000) is None


def test_a_cut_of_one_place_alone_says_which() -> None:
    items = two_places().work_blocks()[0].movements
    may_go = tuple(item.model_copy(update={"may_go": place == 3}) for place, item in enumerate(items, 1))
    block = two_places().work_blocks()[0].model_copy(update={"movements": may_go})
    run = journal(in_two_places(two_places().model_copy(update={"blocks": (block,)})))
    run.write("paused", 15_000).write("resumed", 16_000)
    left_ms = remaining_session_at(run.state, run.state.at_ms)
    refit = keep_finish(run.state, left_ms - 70_000)
    assert refit is not None
    assert ENGLISH.sentences(refit.cut) == "Left out of the last round: Both hands lift, no. 2"


def test_what_comes_after_a_rest_keeps_the_place_before_it_apart_too() -> None:
    """In the rest after the first lift the press may go, but would bring the two lifts together."""
    items = two_places().work_blocks()[0].movements
    may_go = tuple(item.model_copy(update={"may_go": place == 2}) for place, item in enumerate(items, 1))
    block = two_places().work_blocks()[0].model_copy(update={"movements": may_go})
    block = block.model_copy(update={"rounds": RoundsRange(min=1, max=1)})
    run = journal(in_two_places(two_places().model_copy(update={"blocks": (block,)})))
    run.write("paused", 75_000).write("resumed", 76_000)
    assert run.state.current is not None
    assert run.state.current.kind is Kind.rest
    assert keep_finish(run.state, remaining_session_at(run.state, run.state.at_ms) - 61_000) is None
