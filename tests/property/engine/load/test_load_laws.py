"""Laws of proposed loads, of the weights behind them and of what they rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import combinations_with_replacement

from accounts import MINUTE, TODAY, account, load_in_round, loaded
from builders import Journal, logged, record
from hypothesis import assume, given
from hypothesis import strategies as st
from load_cases import FREE, PAUSED, SHORTER, any_rules, cases, weights
from strategies import fits, journals

from engine.live.state import Outcome, Status
from engine.load.clear import shortfall
from engine.load.proposal import LoadedMovement, LoadProposal, LoadStep
from engine.load.propose import propose
from engine.load.rack import AdjustableBell, Plates, Rack, next_above
from engine.load.rules import LoadRules, barred_by
from engine.load.rung import rung_of
from engine.load.session_loads import proposals
from engine.movements.movement import Kit, MovementPattern, Side
from engine.movements.pain import Advice
from engine.movements.tempo import parse_tempo, predicted_repetitions
from engine.record.exposure import Exposure, exposures_of
from engine.record.sets import repetitions_of

FROM_ELSEWHERE = (
    LoadStep.returning,
    LoadStep.after_absence,
    LoadStep.after_illness,
    LoadStep.staged,
    LoadStep.carried_over,
)


@st.composite
def two_clear_sessions(draw: st.DrawFn) -> tuple[LoadedMovement, tuple[Exposure, ...], tuple[int, ...]]:
    """Two clear sessions with one load and nothing else; the next weight is near or far."""
    load_g, steps = (
        draw(st.integers(10, 80)) * 500,
        draw(st.lists(st.integers(1, 10), min_size=1, max_size=4)),
    )
    weights_g = tuple(load_g + 500 * sum(steps[:n]) for n in range(len(steps) + 1))
    kit = draw(st.sampled_from((Kit.single, Kit.pair)))
    key = MINUTE.model_copy(update={"kit": kit})
    pattern = draw(st.sampled_from((MovementPattern.squat, MovementPattern.vertical_push)))
    history = tuple(account(ago, load_g, key=key) for ago in (5, 2))
    return loaded(key, pattern=pattern), history, weights_g


def proposed(case, **rules: object) -> LoadProposal:
    lifted, history, weights_g = case
    return propose(lifted, history, weights_g, today=TODAY, rules=LoadRules(**rules))


"""Whatever the coach, the profile and the day may say, the leave to rise included."""


def by_round(proposal: LoadProposal, rounds: int = 4) -> list[int]:
    return [load_in_round(proposal, number) or 0 for number in range(1, rounds + 1)]


def latest(history: Sequence[Exposure], *keys: object) -> Exposure | None:
    return next((one for one in reversed(history) if one.key in keys), None)


@given(cases(), any_rules)
def test_a_proposal_is_always_a_weight_that_can_be_had_or_none(case, rules) -> None:
    made = proposed(case, **rules)
    assert {*by_round(made), made.practice_g} <= {0, *case[2]}
    assert (made.practice_g or 0) * 2 <= (made.load_g or 0)


@given(cases(), st.randoms(use_true_random=False))
def test_the_same_question_has_the_same_answer_in_whatever_order_history_comes(case, chance) -> None:
    lifted, history, weights_g = case
    shuffled = list(history)
    chance.shuffle(shuffled)
    assert proposed((lifted, tuple(shuffled), weights_g)) == proposed(case)


@given(cases(), any_rules)
def test_no_load_rises_after_pain_a_lost_position_or_a_shortened_range(case, rules) -> None:
    """Where the last session of the movement was unsound, no round is heavier than its working load was;
    none is loaded at all where it was done without a weight, unless a hold was released since."""
    made, history = proposed(case, **rules), case[1]
    assume(history and not history[-1].sound)
    last = history[-1]
    if last.key.kit is Kit.single:
        assert max(by_round(made)) <= last.load_g
    elif last.key.kit is Kit.none and made.step is not LoadStep.returning:
        assert max(by_round(made)) == 0
    assert made.tempo == MINUTE.tempo


@given(cases(), any_rules)
def test_never_more_than_one_step_at_a_time(case, rules) -> None:
    """Compared with the last session with this key, at most one thing rises: the load of all rounds, rounds
    with a heavier weight, the length of a repetition, the rounds. A weight rises by one on the rack, or to
    one lifted then.

    Returns after pain or a break and loads of another interval start from elsewhere and have their own laws.
    """
    made, history, weights_g = proposed(case, **rules), case[1], case[2]
    last = latest(history, MINUTE, PAUSED)
    assume(last is not None and made.step not in FROM_ELSEWHERE)
    rung = rung_of(last, MINUTE)
    up_g = next_above(weights_g, rung.load_g) or rung.load_g
    assert max(by_round(made)) <= max(up_g, *last.loads_g)
    rises = (
        made.load_g > rung.load_g,
        made.heavier_rounds > rung.heavier_rounds,
        made.tempo == PAUSED.tempo and not rung.pause,
    )
    assert sum(rises) <= 1


@given(cases(), any_rules)
def test_nothing_rises_unless_the_last_session_was_clear(case, rules) -> None:
    made, history = proposed(case, **rules), case[1]
    last = latest(history, MINUTE, PAUSED)
    assume(last is not None and last == history[-1] and shortfall(last) is not None)
    assume(made.step is not LoadStep.returning)
    assert made.load_g <= last.load_g
    assert max(by_round(made)) <= max(last.loads_g)


@given(cases())
def test_what_is_lifted_after_time_away_is_a_fifth_or_a_half_less(case) -> None:
    """At most 80 % of the heaviest load of the form after 14 days, half after more than 28."""
    made, history = proposed(case), case[1]
    loaded = [one for one in history if one.key.kit is Kit.single]
    assume(loaded)
    away_days = (TODAY - loaded[-1].local_date).days
    heaviest_g = max(load_g for one in loaded for load_g in one.loads_g)
    if away_days > 28:
        assert made.load_g * 2 <= heaviest_g
    elif away_days > 13:
        assert made.load_g * 5 <= heaviest_g * 4


@given(cases(), st.sampled_from((MINUTE, PAUSED, SHORTER, FREE)))
def test_after_a_hold_the_first_return_is_half_the_load_or_less(case, key) -> None:
    lifted, history, weights_g = case
    hurt = {"pain": 4, "advice": Advice.swap_and_leave_out}
    load_g = None if key is FREE else weights_g[-1]
    history = (*history, account(0, load_g, key=key, record_id="record-last", **hurt))
    made = proposed((lifted, history, weights_g))
    heaviest_g = max((g for one in history if one.key.kit is Kit.single for g in one.loads_g), default=0)
    assert max(by_round(made)) * 2 <= heaviest_g


@given(two_clear_sessions(), st.integers(10, 120), st.sampled_from(("2-0-1-0", "3-0-1-0", "5-0-1-0")))
def test_what_is_carried_over_from_another_interval_or_tempo_is_never_more(case, interval_s, tempo) -> None:
    """At a slower tempo it is half at most."""
    lifted, history, weights_g = case
    key = lifted.key.model_copy(update={"interval_ms": interval_s * 1_000, "tempo": tempo})
    made = proposed((lifted.model_copy(update={"key": key}), history, (*weights_g, weights_g[0] // 2)))
    assume(made.step is LoadStep.carried_over)
    assert max(by_round(made)) * (2 if tempo == "5-0-1-0" else 1) <= weights_g[0]


@given(cases())
def test_the_other_side_matches_the_weaker(case) -> None:
    """What the stronger side lifted beyond the weaker one changes no load."""
    lifted, history, weights_g = case
    uneven = tuple(one.model_copy(update={"sets": tuple(map(_heavier_right, one.sets))}) for one in history)
    assert by_round(proposed((lifted, uneven, weights_g))) == by_round(proposed(case))


def _heavier_right(done):
    heavier = done.side is Side.right and done.load_g is not None
    return done.model_copy(update={"load_g": done.load_g + 500}) if heavier else done


@given(two_clear_sessions())
def test_a_rise_of_all_rounds_is_within_both_published_rules(case) -> None:
    """By the band at most ten percent, and at most the kilograms that are usual; else there is a pause."""
    made, (lifted, _, weights_g) = proposed(case), case
    dumbbells, pattern = lifted.key.kit.dumbbells, lifted.pattern
    barred = barred_by(weights_g[0], weights_g[1], dumbbells=dumbbells, pattern=pattern)
    assert barred or weights_g[1] * 10 <= weights_g[0] * 11
    assert (made.step, made.load_g) == (
        (LoadStep.pause, weights_g[0]) if barred else (LoadStep.heavier, weights_g[1])
    )


@given(cases(), any_rules)
def test_nothing_grows_on_a_day_that_hurts(case, rules) -> None:
    made, history = proposed(case, **(rules | {"no_growth": True})), case[1]
    last = latest(history, MINUTE, PAUSED)
    assume(last is not None and made.step not in FROM_ELSEWHERE)
    assert max(by_round(made)) <= max(last.loads_g)
    assert made.tempo == MINUTE.tempo or rung_of(last, MINUTE).pause


@given(cases(), any_rules)
def test_a_goal_is_never_above_the_ceiling_and_the_reserve_never_below_its_floor(case, rules) -> None:
    made, history = proposed(case, **rules), case[1]
    assert made.heavier_goal is None or 1 <= made.heavier_goal <= made.key.ceiling
    own = {one.record_id for one in history if one.sets and one.key.same_variant(MINUTE)}
    assert made.reserve >= (3 if rules["careful"] or len(own) < 4 else 2)


@given(cases(), st.integers(1, 20))
def test_a_weight_beyond_the_next_one_changes_nothing(case, further) -> None:
    lifted, history, weights_g = case
    last = latest(history, MINUTE, PAUSED)
    assume(last is not None and next_above(weights_g, max(last.loads_g)) is not None)
    more = (*weights_g, weights_g[-1] + 500 * further)
    assert proposed((lifted, history, more)) == proposed(case)


plates = st.lists(
    st.builds(Plates, load_g=st.sampled_from((500, 1_250, 2_500)), count=st.integers(1, 8)),
    max_size=3,
    unique_by=lambda one: one.load_g,
)


@given(plates, st.integers(1, 2))
def test_an_adjustable_bell_reaches_exactly_what_its_plates_can_build(owned, dumbbells) -> None:
    """Compared with building, plate by plate, every end that the plates allow four or two times."""
    bell = AdjustableBell(bar_g=2_000, bars=2, plates=tuple(owned))
    counts = {one.load_g: one.count for one in owned}
    buildable = set()
    for number in range(sum(counts.values()) // (2 * dumbbells) + 1):
        for end in combinations_with_replacement(sorted(counts), number):
            if all(used * 2 * dumbbells <= counts[one] for one, used in Counter(end).items()):
                buildable.add(2_000 + 2 * sum(end))
    assert Rack(adjustable=(bell,)).loads_g(dumbbells) == tuple(sorted(buildable))


@given(plates)
def test_what_a_pair_can_weigh_one_bell_can_weigh_too(owned) -> None:
    bell = AdjustableBell(bar_g=2_000, bars=2, plates=tuple(owned))
    assert set(bell.loads_g(2)) <= set(bell.loads_g(1))


@given(st.integers(0, 600_000), st.sampled_from(("3-0-1-0", "1-0-1-0", "6-0-4-0")))
def test_the_repetitions_predicted_fit_and_one_more_does_not(interval_ms, tempo) -> None:
    repetition_ms = parse_tempo(tempo).repetition_ms
    predicted = predicted_repetitions(interval_ms, tempo)
    assert predicted * repetition_ms <= interval_ms < (predicted + 1) * repetition_ms


@st.composite
def ended_runs(draw: st.DrawFn) -> Journal:
    run = draw(journals(draw(fits())[2]))
    ended = run.state.status is Status.ended
    return run if ended else run.write("ended", run.state.at_ms, ending="early")


@given(ended_runs())
def test_every_set_that_was_worked_stands_in_one_account(run) -> None:
    """Whatever happened in a session, no set is lost or counted twice, and each exposure is of one key."""
    made = logged(run)
    accounted = [done.key for one in exposures_of(made) for done in one.sets]
    worked = [
        done.key
        for done in made.sets
        if done.outcome is not Outcome.skipped and done.worked_ms and repetitions_of(done) != 0
    ]
    assert sorted(accounted) == sorted(worked)
    assert all(
        len({(s.movement, s.variant, s.planned_ms, s.tempo) for s in one.sets}) <= 1
        for one in exposures_of(made)
    )


@given(fits(), weights)
def test_every_loaded_movement_of_a_session_has_one_proposal(fit, weights_g) -> None:
    session = fit[2]
    made = proposals(session, exposures_of(record(session)), Rack.of_weights(weights_g), today=TODAY)
    loaded = {
        item.chosen.movement
        for block in session.blocks
        if block.kind == "work" and block.rounds
        for item in block.items
        if item.chosen.dumbbells
    }
    assert {one.key.movement for one in made} == loaded
    assert len({one.key for one in made}) == len(made)
