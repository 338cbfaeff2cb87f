"""Trends over the weeks, in figures and words: loads, what was given up, left against right."""

from __future__ import annotations

from datetime import timedelta

from builders import (
    HAND,
    LEG,
    STARTED_AT,
    Journal,
    journal,
    logged,
    pain,
    plan,
    record,
    session,
    short_session,
    work,
)
from page_sentences import written
from pages import page, sore_session
from reasons_said import below_minimum, practice_cut, rest_cut

from companion.words.lines import line_text
from companion.words.words import english
from engine.coach import figures
from engine.coach.trend import given_up_most, load_trends, pattern_trends, sides_trends, swapped_most
from engine.movements.movement import Held, Kit, Movement, MovementPattern, Side, StartsWith
from engine.plan.plan import RoundsRange
from engine.record.record import LimitedBy, Record, SetAnswer, set_key
from engine.session.reason import Reason
from engine.session.to_lift import ToLift

WEEKS = ("2026-W10", "2026-W11", "2026-W12")


def lifted(days: int, load_g: int | None, **fields: object) -> Record:
    loads = {} if load_g is None else {HAND.slug: load_g}
    at = STARTED_AT + timedelta(days=days)
    return record(record_id=f"day-{days}", started_at=at, loads_g=loads, **fields)


def sides(days: int, *, left: int, right: int) -> Record:
    said = {
        set_key("circuit", number, 1, HAND.slug, side): SetAnswer(load_g=8_000, repetitions=done, effort=7)
        for number in (1, 2)
        for side, done in ((Side.left, left), (Side.right, right))
    }
    at = STARTED_AT + timedelta(days=days)
    return record(record_id=f"day-{days}", started_at=at, exceptions=said)


def test_the_heaviest_load_of_each_week_stands_in_its_week_and_a_week_without_stays_empty() -> None:
    made = page([lifted(0, 8_000), lifted(2, 7_000), lifted(14, 9_000)], weeks=WEEKS)
    (trend,) = load_trends(made.sessions, WEEKS)
    assert trend.by_week_g == (8_000, None, 9_000)
    said = line_text(figures.load_line(trend, WEEKS))
    assert (
        said == "One hand press (One weight): 8 kg in week 10, 9 kg in week 12. Interval 30 s, tempo 3-0-1-0."
    )
    assert written(figures.load_ranges([trend])) == ["One hand press: Load 8 kg to 9 kg."]


def test_a_movement_whose_load_nobody_said_has_no_trend() -> None:
    assert load_trends(page([lifted(0, None)], weeks=WEEKS).sessions, WEEKS) == ()
    assert list(figures.load_ranges([])) == []


def test_a_pair_says_each_in_both_sentences() -> None:
    made = session(plan(work(HAND.slug)), kit=Kit.pair)
    trends = load_trends(page([record(made, loads_g={HAND.slug: 8_000})], weeks=WEEKS).sessions, WEEKS)
    assert line_text(figures.load_line(trends[0], WEEKS)).startswith(
        "One hand press (Two weights): 8 kg each in"
    )
    assert written(figures.load_ranges(trends)) == ["One hand press: Load 8 kg each."]


def test_a_load_of_nothing_reads_no_weight() -> None:
    trends = load_trends(page([lifted(0, 0), lifted(7, 8_000)], weeks=WEEKS).sessions, WEEKS)
    said = line_text(figures.load_line(trends[0], WEEKS))
    assert said.startswith("One hand press (One weight): no weight in week 10, 8 kg in week 11.")
    assert written(figures.load_ranges(trends)) == ["One hand press: Load no weight to 8 kg."]
    pair = session(plan(work(HAND.slug)), kit=Kit.pair)
    alone = load_trends(page([record(pair, loads_g={HAND.slug: 0})], weeks=WEEKS).sessions, WEEKS)
    assert written(figures.load_ranges(alone)) == ["One hand press: Load no weight."]


def test_a_set_that_was_skipped_or_stopped_at_once_has_no_part_in_the_loads() -> None:
    heavy = short_session().with_loads({HAND.slug: ToLift(load_g=12_000)})
    at = STARTED_AT + timedelta(days=1)
    stopped = Journal(heavy, started_at=at).write("started", 0).write("ended", 18_000, ending="pain")
    skipped = Journal(heavy, started_at=at).write("started", 0).write("skipped", 10_500)
    skipped.write("ended", 11_000, ending="early")
    for run in (stopped, skipped):
        cut = logged(run, record_id="cut")
        assert {done.load_g for done in cut.sets} == {12_000}
        (trend,) = load_trends(page([lifted(0, 8_000), cut], weeks=WEEKS).sessions, WEEKS)
        assert trend.by_week_g == (8_000, None, None)
        assert load_trends(page([cut], weeks=WEEKS).sessions, WEEKS) == ()


def test_a_pattern_trained_only_besides_says_so_in_words() -> None:
    also = LEG.model_copy(update={"also": (MovementPattern.hinge,), "slug": "also-hinge"})
    one = RoundsRange(min=1, max=1)
    made = page([record(session(plan(work(also.slug, rounds=one), movements=(also,))))])
    said = written(map(figures.pattern_line, pattern_trends(made.reviews)))
    assert "Hinge: No set of its own. Also trained in 1 set." in said
    assert not any("0 sets" in one for one in said)


def test_sets_that_were_stopped_are_named_apart() -> None:
    stopped = logged(journal().write("ended", 60_000, ending="pain"), record_id="stopped")
    (alone,) = pattern_trends(page([stopped]).reviews)
    assert line_text(figures.pattern_line(alone)) == (
        "Vertical push: No set of its own. 1 set stopped before its end, not counted."
    )
    (beside,) = pattern_trends(page([stopped, sides(1, left=7, right=7)]).reviews)
    assert line_text(figures.pattern_line(beside)) == (
        "Vertical push: 2 sets. 2 of 2 rated were hard. 1 set stopped before its end, not counted. 224 kg "
        "lifted."
    )


def test_patterns_stand_in_every_week_and_add_up_over_the_weeks() -> None:
    made = page([lifted(0, 8_000, effort=7), lifted(14, 8_000)], weeks=WEEKS)
    (trend,) = pattern_trends(made.reviews)
    assert [week.sets for week in trend.by_week] == [2, 0, 2]
    assert trend.total.volume_g == sum(week.volume_g for week in trend.by_week) == 4 * 2 * 7 * 8_000
    assert line_text(figures.pattern_line(trend)) == "Vertical push: 4 sets. 448 kg lifted."


def test_what_was_given_up_most_often_stands_first_with_the_time_it_gave_back() -> None:
    def given_up(days: int, *reasons: Reason) -> Record:
        fitted = short_session().model_copy(update={"reasons": reasons})
        return record(fitted, record_id=f"{days}", started_at=STARTED_AT + timedelta(days=days))

    rest, practice, below = rest_cut(100), practice_cut(200), below_minimum(30)
    made = page([given_up(0, rest, practice), given_up(1, rest, below)])
    assert written(one.line for one in given_up_most(made.sessions)) == [
        "In 2 sessions, 3:20 saved in all: Rests cut to 15 s.",
        "In 1 session, 3:20 saved: No practice.",
    ]


def test_a_swap_for_a_joint_is_not_among_what_was_given_up_for_time() -> None:
    made = page([record(sore_session())])
    assert [one.said.code for one in given_up_most(made.sessions)] == ["hand_change"]
    assert written(one.line for one in swapped_most(made.sessions)) == [
        "In 1 session: Lift instead of squat: spares the left knee."
    ]


def test_movements_with_the_same_figures_on_both_sides_share_one_sentence() -> None:
    known = sides_trends(page([sides(0, left=7, right=7)]).sessions)
    alike = [one.model_copy(update={"name": name}) for one in known for name in ("Press", "Row", "Press")]
    behind = sides_trends(page([sides(0, left=5, right=7)]).sessions)
    said = written(figures.sides_lines([*behind, *alike]))
    assert said[0].startswith("One hand press (One weight): weight in the left hand (5 repetitions")
    assert said[1:] == ["The left and right figures are the same for 2 movements: Press and Row."]


def test_the_sides_are_set_against_each_other_and_the_one_that_falls_behind_is_named() -> None:
    made = page([sides(0, left=7, right=7), sides(1, left=5, right=7)])
    (trend,) = sides_trends(made.sessions)
    assert line_text(figures.sides_line(trend)) == (
        "One hand press (One weight): weight in the left hand (6 repetitions, effort 7), weight in the right "
        "hand (7 repetitions, effort 7). Weaker in 1 of 2 sessions: weight in the left hand."
    )


def test_a_side_is_said_for_what_it_names() -> None:
    """Of a weight at one shoulder both legs work: left and right are no legs there."""

    def said(of: Movement) -> str:
        made = session(plan(work(of.slug, rounds=RoundsRange(min=1, max=1)), movements=(of,)))
        keys = {side: set_key("circuit", 1, 1, of.slug, side) for side in (Side.left, Side.right)}
        reps = {keys[Side.left]: SetAnswer(repetitions=4), keys[Side.right]: SetAnswer(repetitions=7)}
        (trend,) = sides_trends(page([record(made, exceptions=reps)]).sessions)
        return line_text(figures.sides_line(trend))

    shoulder = HAND.model_copy(
        update={
            "slug": "shoulder-squat",
            "name": "Racked squat",
            "variants": tuple(one.model_copy(update={"held": Held.shoulder}) for one in HAND.variants),
        }
    )
    assert said(shoulder) == (
        "Racked squat (One weight): weight at the left shoulder (4 repetitions), weight at the right "
        "shoulder (7 repetitions). Weaker in 1 of 1 session: weight at the left shoulder."
    )
    assert said(LEG) == (
        "One leg stand (One weight): left side (4 repetitions), right side (7 repetitions). "
        "Weaker in 1 of 1 session: left side."
    )


def test_a_side_that_pain_stopped_says_nothing_about_the_other() -> None:
    """“Left 7, right 0” would look like an imbalance."""
    hurt = {
        set_key("circuit", 1, 1, HAND.slug, Side.right): SetAnswer(repetitions=0, limited_by=LimitedBy.joint),
        set_key("circuit", 2, 1, HAND.slug, Side.right): SetAnswer(repetitions=1, limited_by=LimitedBy.joint),
    }
    stopped = journal().write("hurt", 60_000, pain=pain(movement=HAND.slug, rating=3))
    stopped.write("ended", 70_000, ending="pain")
    made = page([record(exceptions=hurt), logged(stopped, record_id="stopped")])
    assert sides_trends(made.sessions) == ()


def test_a_hold_is_told_in_seconds() -> None:
    hold = LEG.model_copy(update={"slug": "long-hold", "name": "Long hold", "starts_with": StartsWith.hold})
    made = page([record(session(plan(work(hold.slug), movements=(hold,))))])
    (trend,) = sides_trends(made.sessions)
    assert "left side (30 s held), right side (30 s held)." in line_text(figures.sides_line(trend))
    (of_pattern,) = pattern_trends(made.reviews)
    assert line_text(figures.pattern_line(of_pattern)) == "Lunge: 4 sets. 4:00 held."


def test_sets_are_whole_and_rated_ones_alone_are_hard_or_easy() -> None:
    made = page([sides(0, left=7, right=7), lifted(1, 8_000)])
    (of_pattern,) = pattern_trends(made.reviews)
    assert line_text(figures.pattern_line(of_pattern)) == (
        "Vertical push: 4 sets. 2 of 2 rated were hard. 448 kg lifted."
    )


def test_a_session_names_what_was_lifted_and_sets_no_time_done_against_the_time_asked() -> None:
    def told(kit: Kit, load_g: int) -> str:
        made = short_session(kit=kit)
        return line_text(figures.session_line(page([record(made, loads_g={HAND.slug: load_g})]).sessions[0]))

    asked = "min (5 asked for)"
    assert f"3 {asked}, one dumbbell. 2 of 2 rounds." in told(Kit.single, 8_000)
    assert f"3 {asked}, no dumbbells. 2 of 2 rounds." in told(Kit.single, 0)
    assert f"{asked}, two dumbbells. 2 of 2 rounds." in told(Kit.pair, 8_000)


def test_the_rounds_of_each_work_block_stand_apart() -> None:
    (one,) = page([record()]).sessions
    two = one.model_copy(update={"rounds_done": (2, 1), "rounds_planned": (2, 2)})
    assert "2 + 1 of 2 + 2 rounds." in line_text(figures.session_line(two))
    short = one.model_copy(update={"rounds_done": (0,), "rounds_planned": (1,)})
    assert "0 of 1 round." in line_text(figures.session_line(short))


def test_how_often_form_slipped_stands_at_the_session() -> None:
    run = journal().write("form_slipped", 20_000)
    once = page([logged(run.write("ended", 95_000, ending="early"))]).sessions[0]
    assert "Form slipped once on the run. Ended early." in line_text(figures.session_line(once))
    twice = once.model_copy(update={"form_slipped": 2})
    assert "Form slipped 2 times on the run." in line_text(figures.session_line(twice))


def test_weeks_are_written_as_a_person_says_them() -> None:
    assert english(figures.week("2026-W09")) == "Week 9, from 23 February 2026"
    assert english(figures.span(("2026-W53", "2027-W01"))) == "28 December 2026 to 10 January 2027"
