"""Repetitions and session lengths against published values and common practice."""

from __future__ import annotations

import json

import pytest
from builders import BEND, BOTH, HAND, LEG, TURN, cool_down, movement, plan, practice, session, warm_up, work
from places import SAMPLES

from companion.cli import main as cli
from engine.load.rung import pause_key
from engine.movements.movement import Kit, MovementPattern, library
from engine.movements.tempo import Phase, parse_tempo, predicted_repetitions
from engine.plan.plan import Amount, RoundsRange, SessionPlan, TimedPractice, WarmUpItem
from engine.record.exposure import LoadKey
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, total_ms

SIX = tuple(movement(f"move-{number}") for number in range(1, 7))
"""Six movements without sides."""


@pytest.mark.parametrize(
    "tempo, interval_s, repetitions, left_s",
    [
        # Computed as floor(interval / sum of the tempo). The notation with the lowering first is printed in
        # PMC6006544 (2/0/2/0, 5/0/3/0, 6/0/4/0) and PMC7196738.
        ("3-0-1-0", 40, 10, 0),
        ("3-0-1-0", 45, 11, 1),
        ("3-1-1-0", 40, 8, 0),
        ("3-0-2-1", 30, 5, 0),
        ("5-0-3-0", 40, 5, 0),
        ("6-0-4-0", 40, 4, 0),
        # Common practice, no source.
        ("3-0-1-0", 30, 7, 2),
        ("3-0-1-0", 60, 15, 0),
    ],
)
def test_repetitions_are_the_whole_ones_that_fit(
    tempo: str, interval_s: int, repetitions: int, left_s: int
) -> None:
    assert predicted_repetitions(interval_s * 1_000, tempo) == repetitions
    assert interval_s - repetitions * sum(int(phase) for phase in tempo.split("-")) == left_s


@pytest.mark.parametrize("tempo", ["2-0-X-0", "4-0-X-0", "6-0-X-0"])
def test_as_fast_as_possible_predicts_nothing(tempo: str) -> None:
    """X has no duration: tempos of PMC7196738."""
    assert predicted_repetitions(40_000, tempo) is None
    assert parse_tempo(tempo).repetition_ms is None


def test_a_slower_tempo_means_fewer_repetitions_and_longer_tension_in_each() -> None:
    """The tempos of PMC6006544 in 60 s: 15, 7 and 6 repetitions of 4, 8 and 10 s under tension."""
    tempos = ("2-0-2-0", "5-0-3-0", "6-0-4-0")
    repetitions = [predicted_repetitions(60_000, tempo) for tempo in tempos]
    assert repetitions == [15, 7, 6]
    assert [parse_tempo(tempo).repetition_ms for tempo in tempos] == [4_000, 8_000, 10_000]


def sample_plans() -> list[SessionPlan]:
    return [
        SessionPlan.model_validate_json(path.read_text("utf-8")) for path in sorted(SAMPLES.glob("*.json"))
    ]


def test_every_sample_keeps_its_repetitions_and_our_pauses_between_half_a_second_and_eight() -> None:
    """0.5–8 s a repetition give similar growth, over 10 s less: Schoenfeld, Ogborn & Krieger 2015, Sports Med
    45:577–585."""
    tempos = {m.tempo for one in sample_plans() for block in one.work_blocks() for m in block.movements}
    assert tempos
    for tempo in tempos:
        assert 500 <= (parse_tempo(tempo).repetition_ms or 0) <= 8_000
    key = LoadKey(movement="lift", variant="one", kit=Kit.single, interval_ms=60_000, tempo="4-0-3-0")
    assert pause_key(key, Phase.bottom) is not None, "8 s"
    assert pause_key(key.model_copy(update={"tempo": "4-0-4-0"}), Phase.bottom) is None, "9 s"


def test_the_rests_of_the_samples_are_those_of_endurance_circuits() -> None:
    """20–60 s: de Salles 2009, Sports Med 39:765–777 (values from memory)."""
    for one in sample_plans():
        for block in one.work_blocks():
            assert 20 <= block.rest_s <= 60
            assert 20 <= (block.round_rest_s or block.rest_s) <= 60


def test_a_sample_circuit_of_four_holds_what_training_short_of_time_keeps() -> None:
    """A squat, a pull and a push, with 4 sets a week of each in two sessions: Iversen 2021, Sports Med
    51:2079–2095."""
    circuits = [b for one in sample_plans() for b in one.work_blocks() if len(b.movements) == 4]
    assert circuits
    for block in circuits:
        patterns = {library()[item.movement].pattern for item in block.movements}
        assert MovementPattern.squat in patterns
        assert patterns & {MovementPattern.horizontal_pull, MovementPattern.vertical_pull}
        assert patterns & {MovementPattern.horizontal_push, MovementPattern.vertical_push}
        assert 2 * block.rounds.min >= 4


def minute_items(warm_up_s: int) -> tuple[WarmUpItem, ...]:
    half = (warm_up_s + 1) // 2
    return (
        WarmUpItem(movement=BEND.slug, amount=Amount(low=1), estimate_s=half),
        WarmUpItem(movement=TURN.slug, amount=Amount(low=1), estimate_s=warm_up_s - half),
    )


def identity_plan(
    *,
    warm_up_s: int,
    practice_s: int,
    rounds: int,
    movements: int,
    work_s: int,
    rest_s: int,
    round_rest_s: int,
    cool_s: int,
) -> SessionPlan:
    """A plan of exactly the parts of the duration identity, with no time between the blocks."""
    once = RoundsRange(min=1, max=1)
    slugs = tuple(one.slug for one in SIX[:movements])
    blocks = [
        warm_up(items=minute_items(warm_up_s), rounds=once),
        practice(
            movements=slugs,
            timed=None,
            repetitions=Amount(low=3),
            usual="repetitions",
            repetitions_estimate_s=practice_s,
        ),
        work(
            *slugs,
            rounds=RoundsRange(min=rounds, max=rounds),
            work_s=work_s,
            rest_s=rest_s,
            round_rest_s=round_rest_s,
        ),
    ]
    if cool_s:
        blocks.append(cool_down(duration_s=cool_s))
    return plan(*blocks, movements=(*SIX, BEND, TURN), transition_s=0, allowances=())


@pytest.mark.parametrize(
    "warm_up_s, practice_s, rounds, movements, work_s, rest_s, round_rest_s, cool_s, total_s",
    [(300, 300, 3, 6, 40, 20, 60, 0, 1740), (300, 240, 4, 5, 45, 15, 90, 180, 2130)],
)
def test_a_session_lasts_what_the_duration_identity_says(
    warm_up_s: int,
    practice_s: int,
    rounds: int,
    movements: int,
    work_s: int,
    rest_s: int,
    round_rest_s: int,
    cool_s: int,
    total_s: int,
) -> None:
    """Computed: T = WU + P + N(M·w + (M−1)r) + (N−1)R + CD."""
    made = session(
        identity_plan(
            warm_up_s=warm_up_s,
            practice_s=practice_s,
            rounds=rounds,
            movements=movements,
            work_s=work_s,
            rest_s=rest_s,
            round_rest_s=round_rest_s,
            cool_s=cool_s,
        ),
        minutes=60,
        kit=Kit.none,
    )
    by_hand = rounds * (movements * work_s + (movements - 1) * rest_s) + (rounds - 1) * round_rest_s
    assert made.total_ms == total_s * 1_000 == (warm_up_s + practice_s + by_hand + cool_s) * 1_000


def work_block_ms(made: FittedSession) -> int:
    ways_in = (Kind.get_ready, Kind.transition)
    return total_ms(s for s in made.segments if s.block == "circuit" and s.kind not in ways_in)


@pytest.mark.parametrize("rounds, length", [(4, "23:30"), (5, "29:30"), (6, "35:30")])
@pytest.mark.parametrize("changing", [False, True])
def test_four_movements_at_60_and_30_last_what_common_practice_says(
    rounds: int, length: str, changing: bool
) -> None:
    """Common practice, no source: 23:30, 29:30, 35:30; with 10 s for every movement 26:10, 32:50, 39:30."""
    four = [movement(f"side-{number}", sides=HAND.variants[1].sides) for number in range(4)]
    slugs = [one.slug for one in four]
    made = session(
        plan(work(*slugs, rounds=RoundsRange(min=rounds, max=rounds)), movements=tuple(four)),
        minutes=60,
        kit=Kit.single if changing else Kit.pair,
    )
    changed = {"23:30": "26:10", "29:30": "32:50", "35:30": "39:30"}
    minutes, _, second = (changed[length] if changing else length).partition(":")
    assert work_block_ms(made) == (int(minutes) * 60 + int(second)) * 1_000


def test_practice_of_four_movements_takes_two_minutes_and_three_quarters() -> None:
    """Common practice, no source: 4 × 30 s with 3 × 15 s between = 2:45."""
    slugs = tuple(one.slug for one in SIX[:4])
    made = session(
        plan(practice(movements=slugs, timed=TimedPractice()), work(*slugs), movements=SIX), kit=Kit.none
    )
    practised = [s for s in made.segments if s.block == "practice" and s.kind is not Kind.get_ready]
    assert total_ms(practised) == 165_000


def test_ten_alternating_are_five_a_side() -> None:
    """Common practice, no source: both get the same estimate."""
    alternating = WarmUpItem(movement=BEND.slug, amount=Amount(low=10, count="alternating"))
    per_side = WarmUpItem(movement=BEND.slug, amount=Amount(low=5, count="per_side"))
    lengths = [
        session(plan(warm_up(items=(item,)), work(BOTH.slug))).segments[0].planned_ms
        for item in (alternating, per_side)
    ]
    assert lengths[0] == lengths[1]


def test_a_two_legged_lift_with_one_weight_works_the_legs_60_and_each_hand_30() -> None:
    """Common practice, no source."""
    made = session(plan(work(HAND.slug, LEG.slug)))
    first = [
        s.planned_ms
        for s in made.segments
        if s.round == 1 and s.movement == HAND.slug and s.kind is Kind.work
    ]
    assert first == [30_000, 30_000]


@pytest.mark.parametrize(
    "minutes, total, rounds, warm_ups", [(18, "16:00", 3, 1), (19, "18:30", 3, 2), (20, "19:45", 4, 1)]
)
def test_the_example_that_was_worked_out_by_hand(
    capsys: pytest.CaptureFixture[str], minutes: int, total: str, rounds: int, warm_ups: int
) -> None:
    """By hand: 310 s fixed, 225 s a round, the last rest of 25 s dropped: 310 + 675 − 25 = 960 s."""
    sample = SAMPLES / "5-net-loft-loop.json"
    assert cli.main(["fit", str(sample), "--minutes", str(minutes), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    minute, _, second = total.partition(":")
    found = (answer["total_s"], answer["rounds"], answer["warm_up_rounds"])
    assert found == (int(minute) * 60 + int(second), rounds, warm_ups)
