"""What a record says of a movement with several places in a round."""

from __future__ import annotations

import csv
import io

from builders import BOTH, HAND, record, session
from two_places import in_two_places, two_places

from engine.base.periods import iso_week
from engine.coach.session_report import report_of
from engine.coach.spreadsheet import sets_csv
from engine.coach.withheld import PageChoice
from engine.live.state import Outcome
from engine.load.clear import Shortfall, shortfall
from engine.load.sides import whole_pairs
from engine.movements.movement import Side
from engine.plan.plan import SessionPlan
from engine.record.exposure import Exposure, exposures_of
from engine.record.history import history_of
from engine.record.record import LogAnswers, Record, SetAnswer, set_key
from engine.record.recording import sets_in_turn
from engine.record.reserve import with_reserve
from engine.record.week import review_week

CLEAR = SetAnswer(repetitions=15, effort=7)


def done(answers: dict[tuple[int, int], SetAnswer] | None = None) -> Record:
    """Two rounds with 8 kg that were clear, except for ``answers`` by round and place."""
    said = {(number, place): CLEAR for number in (1, 2) for place in (1, 3)} | (answers or {})
    exceptions = {
        set_key("circuit", number, place, BOTH.slug, Side.both): answer
        for (number, place), answer in said.items()
    }
    return record(in_two_places(), loads_g={BOTH.slug: 8_000}, exceptions=exceptions)


def lift_of(of: Record) -> Exposure:
    return next(one for one in exposures_of(of) if one.key.movement == BOTH.slug)


def test_both_places_are_one_exposure_of_as_many_rounds() -> None:
    one = lift_of(done())
    assert (one.rounds_planned, len(one.rounds), len(one.sets)) == (2, 2, 4)
    assert [(each.round, each.place) for each in one.last_round] == [(2, 1), (2, 3)]
    assert shortfall(one) is None


def test_a_session_is_clear_only_where_the_last_round_of_both_places_was() -> None:
    tired = CLEAR.model_copy(update={"repetitions": 12})
    assert shortfall(lift_of(done({(2, 3): tired}))) is Shortfall.repetitions
    assert shortfall(lift_of(done({(2, 1): tired}))) is Shortfall.repetitions
    assert shortfall(lift_of(done({(1, 3): tired}))) is None


def test_a_place_that_was_never_worked_is_a_round_that_was_not_done() -> None:
    made = done()
    only_first = tuple(one for one in made.sets if one.place != 3)
    assert shortfall(lift_of(made.model_copy(update={"sets": only_first}))) is Shortfall.rounds


def test_the_last_round_of_a_place_counts_though_the_other_went_on() -> None:
    made = done({(1, 3): CLEAR.model_copy(update={"repetitions": 12})})
    ended = tuple(one for one in made.sets if (one.round, one.place) != (2, 3))
    last = lift_of(made.model_copy(update={"sets": ended})).last_round
    assert [(one.round, one.place) for one in last] == [(2, 1), (1, 3)]


def test_the_lighter_load_of_the_two_places_is_the_working_load() -> None:
    one = lift_of(done({(2, 3): CLEAR.model_copy(update={"load_g": 6_000})}))
    assert (one.loads_g, one.load_g) == ((8_000, 6_000), 6_000)


def test_sides_are_compared_within_one_place() -> None:
    """Left of the first place and right of the second are no pair."""
    press = two_places().work_blocks()[0].movements
    turned = tuple(press[number] for number in (1, 0, 1, 3))
    of: SessionPlan = two_places()
    block = of.work_blocks()[0].model_copy(update={"movements": turned})
    made = record(session(of.model_copy(update={"blocks": (block,)}), minutes=20))
    cut = tuple(
        one.model_copy(update={"outcome": Outcome.partly})
        if (one.place, one.side) in ((1, "right"), (3, "left"))
        else one
        for one in made.sets
    )
    hands = [one for one in exposures_of(made) if one.key.movement == HAND.slug]
    assert [len(whole_pairs(one)) for one in hands] == [4]
    broken = exposures_of(made.model_copy(update={"sets": cut}))
    assert [len(whole_pairs(one)) for one in broken if one.key.movement == HAND.slug] == [0]


def test_what_was_left_is_said_of_one_place() -> None:
    made = done()
    second = sets_in_turn(made.session, made.sets, BOTH.slug, 2)
    said = with_reserve(LogAnswers(), second, 2).exceptions
    assert list(said) == [set_key("circuit", 2, 3, BOTH.slug, Side.both)]


def test_week_page_and_spreadsheet_lose_no_set() -> None:
    made = done()
    lifts = [one for one in review_week([made], iso_week(made.local_date)).patterns if one.pattern == "hinge"]
    assert [one.sets for one in lifts] == [4]
    report = report_of(made, (), PageChoice())
    (lift,) = [one for one in report.movements if one.movement == BOTH.slug]
    assert [(one.round, one.place) for one in lift.sets] == [(1, 1), (1, 3), (2, 1), (2, 3)]
    rows = list(csv.DictReader(io.StringIO(sets_csv([report]))))
    told = [(row["round"], row["place"]) for row in rows if row["movement"] == BOTH.name]
    assert told == [("1", "1"), ("1", "3"), ("2", "1"), ("2", "3")]


def test_what_was_planned_counts_every_place_as_what_was_done_does() -> None:
    (count,) = history_of([done()]).counts
    assert (count.done, count.planned) == (10, 10)
