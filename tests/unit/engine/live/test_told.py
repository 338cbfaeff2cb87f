"""Everything is told when it is needed: what to lift, on which side, in which version, when to stop."""

from __future__ import annotations

from builders import HAND, Journal, journal, pain, plan, session, short_session, work

from engine.base.units import LoadUnit
from engine.live.cues import coming_cues
from engine.live.loads import load_of
from engine.live.run import at
from engine.live.stop_rules import stop_rule_in, stop_rules
from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange
from engine.record.record import LogAnswers
from engine.record.recording import sets_of, with_load
from engine.session.segment import Kind
from engine.session.to_lift import ToLift

# The short session, in seconds: 0 lead-in, 10 left, 40 change, 50 right, 80 rest, 110 left, 140 change,
# 150 right, 180 end.
HEAVIER_FIRST = ToLift(load_g=10_000, heavier_g=12_000, heavier_rounds=1, practice_g=6_000)


def told(to_lift: ToLift | None = HEAVIER_FIRST) -> Journal:
    return journal(short_session().with_loads({HAND.slug: to_lift} if to_lift else {}))


def lifted(run: Journal) -> list[tuple[int, str, int | None]]:
    over = run.write("ended", 180_000, ending="finished").state
    return [(one.round, one.side, one.load_g) for one in sets_of(over, LogAnswers())]


def test_a_heavier_weight_in_one_round_only_can_be_followed() -> None:
    run = told()
    by_round = [(one.round, load_of(run.state, one)) for one in run.state.segments if one.kind is Kind.work]
    assert by_round == [(1, 12_000), (1, 12_000), (2, 10_000), (2, 10_000)]
    assert {one.words for one in coming_cues(run.state)} >= {
        "Rest. Next: One hand press, left. 10 kilograms. One weight."
    }
    assert lifted(run) == [
        (1, "left", 12_000),
        (1, "right", 12_000),
        (2, "left", 10_000),
        (2, "right", 10_000),
    ]


def test_practice_takes_its_own_load() -> None:
    made = session(plan(work(HAND.slug, rounds=RoundsRange(min=1, max=1))), minutes=30)
    practised = made.with_loads({HAND.slug: HEAVIER_FIRST})
    run = journal(practised)
    kinds = {one.kind: load_of(run.state, one) for one in run.state.segments if one.movement == HAND.slug}
    assert kinds[Kind.work] == 12_000
    assert kinds.get(Kind.practice, 6_000) == 6_000


def test_a_load_found_on_the_way_counts_from_then_on() -> None:
    run = told().write("load_found", 90_000, movement=HAND.slug, load_g=8_000)
    assert [load_g for *_, load_g in lifted(run)] == [12_000, 12_000, 8_000, 8_000]


def test_a_load_found_on_the_way_also_counts_for_what_was_lifted_untold() -> None:
    run = told(None)
    assert load_of(run.state, run.state.segments[1]) is None
    run.write("load_found", 90_000, movement=HAND.slug, load_g=8_000)
    assert [load_g for *_, load_g in lifted(run)] == [8_000] * 4


def test_nothing_is_logged_that_was_neither_told_nor_entered() -> None:
    assert [load_g for *_, load_g in lifted(told(None))] == [None] * 4


def test_loads_are_said_in_the_unit_of_the_person_and_a_pair_is_said_to_be_one() -> None:
    rounds = RoundsRange(min=2, max=2)
    made = session(plan(work(HAND.slug, rounds=rounds)), minutes=5, kit=Kit.pair)
    run = journal(made.with_loads({HAND.slug: ToLift(load_g=9_072)}))
    said = {one.words for one in coming_cues(run.state, unit=LoadUnit.lb)}
    assert any("20 pounds each." in one for one in said)
    without = journal(made.with_loads({HAND.slug: ToLift(load_g=0)}))
    assert any("No weight." in one.words for one in coming_cues(without.state))


def test_who_comes_back_from_a_pause_hears_what_to_lift() -> None:
    run = told().write("paused", 20_000).write("resumed", 60_000)
    assert coming_cues(run.state)[0].words == "Get ready. One hand press, left. 12 kilograms."


def test_a_correction_in_the_log_leaves_a_set_with_a_load_of_its_own() -> None:
    over = told().write("ended", 180_000, ending="finished").state
    answers = with_load(LogAnswers(), sets_of(over, LogAnswers()), HAND.slug, 9_000)
    assert [one.load_g for one in sets_of(over, answers)] == [12_000, 12_000, 9_000, 9_000]


def test_a_correction_in_the_log_leaves_what_was_tried_without_weight() -> None:
    dull = pain(movement=HAND.slug, rating=2)
    run = told(ToLift(load_g=10_000)).write("paused", 20_000).write("hurt", 40_000, pain=dull)
    run.write("try_started", 50_000).write("hurt", 80_000, pain=dull.model_copy(update={"rating": 0}))
    over = run.write("resumed", 90_000).write("ended", 300_000, ending="finished").state
    before = sets_of(over, LogAnswers())
    after = sets_of(over, with_load(LogAnswers(), before, HAND.slug, 9_000))
    assert [(one.load_g, two.load_g) for one, two in zip(before, after, strict=True)] == [
        (0, 0),
        (0, 0),
        (10_000, 9_000),
        (10_000, 9_000),
    ]


def test_each_rest_has_one_stop_rule_of_what_comes_and_the_rounds_take_turns() -> None:
    rules = ("Stop if the wrist hurts.", "Stop if the weight wanders.")
    run = told()
    (item,) = run.state.session.blocks[0].items
    chosen = item.chosen.model_copy(update={"stop_rules": rules})
    block = run.state.session.blocks[0].model_copy(
        update={"items": (item.model_copy(update={"chosen": chosen}),)}
    )
    in_force = run.state.session.model_copy(update={"blocks": (block,), "stop_rules": ("Breathe.",)})
    ruled = run.state.model_copy(update={"session": in_force})
    assert stop_rules(ruled, 0) == (*rules, "Breathe.")
    resting = at(ruled, 90_000)
    assert (resting.current.kind, stop_rule_in(ruled, 0)) == (Kind.rest, rules[0])
    assert stop_rule_in(resting, resting.index) == rules[1]
    assert stop_rule_in(resting, len(ruled.segments)) is None
