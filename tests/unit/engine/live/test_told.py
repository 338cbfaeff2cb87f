"""Everything is told when it is needed: what to lift, on which side, in which version, when to stop."""

from __future__ import annotations

from builders import (
    BOTH,
    HAND,
    Journal,
    journal,
    movement,
    pain,
    plan,
    practice,
    session,
    short_session,
    work,
)

from companion.words.words import ENGLISH, Words
from engine.base.units import LoadUnit
from engine.live.cues import coming_cues
from engine.live.loads import exceeded_g, load_of, offered_g, open_to_choice, version_of
from engine.live.run import at
from engine.live.stop_rules import stop_rule_in, stop_rules, stop_rules_beside
from engine.live.swap import swap_after_pain
from engine.movements.movement import Kit, by_slug
from engine.movements.pain import Advice
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
    assert {ENGLISH.sentences(one.said) for one in coming_cues(run.state)} >= {
        "Rest. Next: One hand press, left. 10 kilograms. One weight."
    }
    assert lifted(run) == [
        (1, "left", 12_000),
        (1, "right", 12_000),
        (2, "left", 10_000),
        (2, "right", 10_000),
    ]


def test_the_version_that_says_how_a_weight_is_held_is_told_only_with_a_weight() -> None:
    lifts = told().state, told(ToLift(load_g=0)).state, journal(short_session(kit=Kit.none)).state
    assert [version_of(state, state.segments[1]) for state in lifts] == ["One weight", "", "Without a weight"]


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


def test_a_movement_without_a_weight_has_no_load_whatever_was_found() -> None:
    run = journal(short_session(kit=Kit.none))
    run.write("load_found", 1_000, movement=HAND.slug, load_g=8_000)
    assert {load_of(run.state, one) for one in run.state.segments} == {None}


def test_a_load_found_in_one_place_is_none_for_another_movement_nor_for_another_block() -> None:
    made = session(plan(work(HAND.slug, BOTH.slug, id="first"), work(HAND.slug, id="second")), kit=Kit.pair)
    where = {"block": "first", "place": 1}
    run = journal(made).write("load_found", 1_000, movement=HAND.slug, load_g=8_000, **where)
    parts = [one for one in run.state.segments if one.kind is Kind.work]
    known = {(one.block, one.movement): load_of(run.state, one) for one in parts}
    assert known == {("first", HAND.slug): 8_000, ("first", BOTH.slug): None, ("second", HAND.slug): None}


def test_nothing_is_logged_that_was_neither_told_nor_entered() -> None:
    assert [load_g for *_, load_g in lifted(told(None))] == [None] * 4


def test_loads_are_said_in_the_unit_of_the_person_and_a_pair_is_said_to_be_one() -> None:
    rounds = RoundsRange(min=2, max=2)
    made = session(plan(work(HAND.slug, rounds=rounds)), minutes=5, kit=Kit.pair)
    run = journal(made.with_loads({HAND.slug: ToLift(load_g=9_072)}))
    said = {Words(LoadUnit.lb).sentences(one.said) for one in coming_cues(run.state)}
    assert any("20 pounds each." in one for one in said)
    without = journal(made.with_loads({HAND.slug: ToLift(load_g=0)}))
    assert any("No weight." in ENGLISH.sentences(one.said) for one in coming_cues(without.state))


def test_who_comes_back_from_a_pause_hears_what_to_lift() -> None:
    run = told().write("paused", 20_000).write("resumed", 60_000)
    assert (
        ENGLISH.sentences(coming_cues(run.state)[0].said) == "Get ready. One hand press, left. 12 kilograms."
    )


def test_a_correction_in_the_log_leaves_a_set_with_a_load_of_its_own() -> None:
    over = told().write("ended", 180_000, ending="finished").state
    answers = with_load(LogAnswers(), sets_of(over, LogAnswers()), 9_000)
    assert [one.load_g for one in sets_of(over, answers)] == [12_000, 12_000, 9_000, 9_000]
    made = session(plan(work(BOTH.slug, rounds=RoundsRange(min=2, max=2)))).with_loads(
        {BOTH.slug: HEAVIER_FIRST}
    )
    over = journal(made).write("ended", made.total_ms, ending="finished").state
    answers = with_load(LogAnswers(), sets_of(over, LogAnswers()), 9_000)
    assert [one.load_g for one in sets_of(over, answers)] == [12_000, 9_000]


def test_a_correction_in_the_log_leaves_what_was_tried_without_weight() -> None:
    dull = pain(movement=HAND.slug, rating=2)
    run = told(ToLift(load_g=10_000)).write("paused", 20_000).write("hurt", 40_000, pain=dull)
    run.write("try_started", 50_000).write("hurt", 80_000, pain=dull.model_copy(update={"rating": 0}))
    over = run.write("resumed", 90_000).write("ended", 300_000, ending="finished").state
    before = sets_of(over, LogAnswers())
    after = sets_of(over, with_load(LogAnswers(), before, 9_000))
    assert [(one.load_g, two.load_g) for one, two in zip(before, after, strict=True)] == [
        (0, 0),
        (0, 0),
        (10_000, 9_000),
        (10_000, 9_000),
    ]


TO_FIND = ToLift(load_g=8_000, next_g=10_000)


def test_after_a_round_the_next_weight_is_offered_once_while_the_load_is_being_found() -> None:
    """In a movement's first sessions, one step a session. † Our judgement, no source."""
    run = told(TO_FIND)
    assert [offered_g(at(run.state, second * 1_000)) for second in (5, 45, 85, 105)] == [
        None,
        None,
        10_000,
        10_000,
    ]
    assert offered_g(at(told(HEAVIER_FIRST).state, 85_000)) is None
    run.write("load_found", 90_000, movement=HAND.slug, load_g=10_000)
    assert offered_g(run.state) is None


def test_what_is_heavier_than_told_and_than_the_next_weight_is_noticed() -> None:
    def after(load_g: int) -> int | None:
        run = told(TO_FIND).write("load_found", 90_000, movement=HAND.slug, load_g=load_g)
        return exceeded_g(run.state)

    assert [after(load_g) for load_g in (0, 6_000, 8_000, 10_000, 12_000)] == [None, None, None, None, 8_000]
    assert exceeded_g(at(told(None).state, 85_000)) is None


def test_no_weight_is_offered_after_what_was_skipped_hurt_or_slipped() -> None:
    skipped = told(TO_FIND).write("skipped", 20_000)
    assert offered_g(at(skipped.state, skipped.state.at_ms + 55_000)) is None
    slipped = told(TO_FIND).write("form_slipped", 20_000).write("resumed", 30_000)
    assert offered_g(at(slipped.state, 130_000)) is None
    dull = pain(movement=HAND.slug, rating=1)
    hurt = told(TO_FIND).write("paused", 85_000).write("hurt", 86_000, pain=dull)
    assert offered_g(hurt.state) is None


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


def test_no_stop_rule_stands_beside_advice_that_takes_the_movement_up_again() -> None:
    rule = "Joint pain is never pushed through: stop the movement at once."
    run = told().state
    ruled = run.model_copy(update={"session": run.session.model_copy(update={"stop_rules": (rule,)})})
    asked_or_stopped = {None, Advice.stop_movement, Advice.swap_and_leave_out, Advice.end_session}
    for said in (None, *Advice):
        shown = rule in stop_rules_beside(ruled, 0, said)
        assert shown == (said in {*asked_or_stopped, Advice.get_help}), said


def chosen_for(run: Journal) -> tuple[str, int | None, str] | None:
    """The kind, the round and the side of the work whose weight can be chosen."""
    work_ahead = open_to_choice(run.state)
    return None if work_ahead is None else (work_ahead.kind.value, work_ahead.round, str(work_ahead.side))


def test_a_weight_is_chosen_in_a_lead_in_in_a_rest_and_on_pause_and_not_while_it_is_lifted() -> None:
    assert chosen_for(told()) == ("work", 1, "left")
    in_a_rest = told().write("paused", 90_000).write("resumed", 91_000)
    assert chosen_for(in_a_rest) == ("work", 2, "left")
    assert open_to_choice(at(told().state, 20_000)) is None
    assert chosen_for(told().write("paused", 20_000)) == ("work", 1, "left")
    assert chosen_for(told().write("paused", 45_000)) == ("work", 1, "right"), "between the sides"
    assert chosen_for(told().write("paused", 85_000)) == ("work", 2, "left")


def test_before_practice_no_weight_is_chosen_for_practice_has_its_own() -> None:
    of = plan(practice(movements=(HAND.slug,)), work(HAND.slug))
    run = journal(session(of, minutes=30, kit=Kit.single))
    assert run.state.leads_to(0) is not None
    assert run.state.segments[1].kind is Kind.practice
    assert chosen_for(run) is None
    assert chosen_for(run.write("paused", 1_000)) is None


def test_without_a_weight_in_the_hand_there_is_none_to_choose() -> None:
    bare = journal(session(plan(work(HAND.slug)), minutes=30, kit=Kit.none))
    assert chosen_for(bare) is None
    tried = told().write("hurt", 85_000, pain=pain(session_ms=85_000, movement=HAND.slug, rating=2))
    assert chosen_for(tried) == ("work", 2, "left")
    assert chosen_for(tried.write("try_started", 86_000).write("paused", 87_000)) is None


def test_what_enters_after_pain_in_a_joint_takes_no_weight_and_what_enters_before_it_may() -> None:
    squat, lift = movement("hard-squat"), movement("other-squat")
    of = plan(work(squat.slug, HAND.slug, rounds=RoundsRange(min=2, max=2)), movements=(squat, lift, HAND))
    for rating, may in ((3, False), (0, True)):
        run = journal(session(of, minutes=30, kit=Kit.single))
        note = pain(session_ms=75_000, movement=squat.slug, rating=rating)
        run.write("hurt", 75_000, pain=note)
        refit = swap_after_pain(run.state, note, by_slug(of.movements))
        run.write("refitted", 76_000, segments=refit.segments, items=refit.items, said=refit.said)
        while (ahead_now := run.state.leads_to(run.state.index)) is None or ahead_now.movement != lift.slug:
            run.write("resumed", run.state.at_ms).write("skipped", run.state.at_ms)
        run.write("paused", run.state.at_ms)
        assert (chosen_for(run) is not None) == may
