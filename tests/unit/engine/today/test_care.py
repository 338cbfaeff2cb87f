"""What time away, sore muscles, pain and the profile change about a session, case by case."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from accounts import TODAY, account
from builders import BOTH, HAND, plan, practice, record, session, work

from companion.words.words import ENGLISH
from engine.fit.asked import Asked
from engine.fit.choose import choose
from engine.fit.offer import offer
from engine.movements.movement import Kit
from engine.movements.pain import Advice
from engine.movements.room import Room
from engine.plan.plan import RoundsRange, SessionPlan, SideChangeMode, WorkMovement
from engine.record.exposure import Exposure, LoadKey
from engine.record.history import History, history_of
from engine.record.profile import Birth, ProfileFlag, WeekSaid
from engine.today.care import Care, care_for
from engine.today.cautions import CAUTIONS
from engine.today.day import Today

KEY = LoadKey(movement=BOTH.slug, variant="one", kit=Kit.single, interval_ms=60_000, tempo="3-0-1-0")
ONE_LIFT = plan(practice(movements=(BOTH.slug,)), work(BOTH.slug, rounds=RoundsRange(min=2, max=6)))
SINGLE = Room(kit=Kit.single)
CHOSEN = choose(ONE_LIFT, SINGLE)


def known(*accounts: Exposure) -> History:
    """A history of these exposures, given the earliest first."""
    return History(days=tuple(one.local_date for one in accounts), exposures=accounts)


def lift(days_ago: int, **fields: Any) -> Exposure:
    return account(days_ago, key=KEY.model_copy(update=fields.pop("of", {})), **fields)


def on(day: date, **fields: Any) -> Today:
    return Today(**({"day": day, "minutes": 30} | fields))


def care(*accounts: Exposure, of: SessionPlan = ONE_LIFT, room: Room = SINGLE, **more: Any) -> Care:
    loads_g = more.pop("loads_g", None)
    return care_for(of, choose(of, room), known(*accounts), on(TODAY, **more), loads_g=loads_g)


def at_tempo(tempo: str) -> SessionPlan:
    return plan(
        practice(movements=(BOTH.slug,)), work(movements=(WorkMovement(movement=BOTH.slug, tempo=tempo),))
    )


def test_what_was_done_well_a_few_days_ago_needs_no_care() -> None:
    assert care(lift(3)) == Care()


PRACTICE = [
    ((), {}, "New"),
    ((lift(3, of={"variant": "two", "kit": Kit.pair}),), {}, "New in this version"),
    ((lift(3, of={"movement": HAND.slug}),), {}, "New"),
    ((lift(14), lift(1, of={"movement": HAND.slug})), {}, None),
    ((lift(15), lift(1, of={"movement": HAND.slug})), {}, "Last done 15 days ago"),
    ((lift(3),), {"of": at_tempo("4-0-1-0")}, "Slower than last time"),
    ((lift(3),), {"of": at_tempo("3-1-1-0")}, "Slower than last time"),
    ((lift(3),), {"of": at_tempo("4-0-X-0")}, "Slower than last time"),
    ((lift(3),), {"of": at_tempo("3-0-X-0")}, None),
    ((lift(3),), {"of": at_tempo("2-0-1-0")}, None),
    ((lift(3, load_g=10_000),), {"loads_g": {BOTH.slug: 10_000}}, None),
    ((lift(3, load_g=10_000),), {"loads_g": {BOTH.slug: 12_000}}, "Heavier than last time"),
    (
        (lift(5, load_g=12_000), lift(3, load_g=10_000)),
        {"loads_g": {BOTH.slug: 12_000}},
        "Heavier than last time",
    ),
    ((lift(3, load_g=None),), {}, None),
    ((lift(3, load_g=None),), {"loads_g": {BOTH.slug: 2_000}}, "Heavier than last time"),
    ((lift(3, load_g=(8_000, 12_000)),), {"loads_g": {BOTH.slug: 12_000}}, None),
    ((lift(3, form_kept=False),), {}, "Form slipped last time"),
    ((lift(6, form_kept=False), lift(3)), {}, None),
    ((lift(3, pain=1, advice=Advice.retry_unloaded),), {}, "Hurt last time"),
    ((lift(6, pain=1, advice=Advice.retry_unloaded), lift(3)), {}, None),
    ((lift(6), lift(3, sets=(), pain=2, advice=Advice.retry_unloaded)), {}, "Hurt last time"),
    ((lift(9, pain=4, advice=Advice.swap_and_leave_out), lift(3)), {}, "Back after pain"),
    ((lift(9, pain=4, advice=Advice.swap_and_leave_out), lift(6), lift(3)), {}, None),
    (
        (lift(9, pain=4, advice=Advice.swap_and_leave_out), lift(6, form_kept=False), lift(3)),
        {},
        "Back after pain",
    ),
]


@pytest.mark.parametrize("accounts, more, why", PRACTICE)
def test_practice_may_be_skipped_only_where_all_is_as_it_was(
    accounts: tuple[Exposure, ...], more: dict[str, Any], why: str | None
) -> None:
    """Every condition of the rule, on both sides of its edge. † Our judgement, no source."""
    found = care(*accounts, **more)
    assert found.practice_required == (why is not None)
    stays = [] if why is None else [f"Practice stays. {why}: Both hands lift."]
    assert [one for one in map(ENGLISH.say, found.said) if one.startswith("Practice")] == stays


AWAY = [
    # days away, practice, share of the rounds beyond the minimum, how many sentences of caution
    (0, False, 100, 0),
    (7, False, 100, 0),
    (8, True, 100, 0),
    (13, True, 100, 0),
    (14, True, 0, 0),
    (28, True, 0, 0),
    (29, True, 0, 1),
    (400, True, 0, 1),
]


@pytest.mark.parametrize("days, practised, extra_rounds_percent, cautions", AWAY)
def test_time_away_asks_for_practice_then_for_the_fewest_rounds(
    days: int, practised: bool, extra_rounds_percent: int, cautions: int
) -> None:
    """Up to 7 days nothing; 8–13 practice; from 14 the minimum rounds. † Our judgement, no source."""
    found = care(lift(days))
    assert (found.practice_required, found.extra_rounds_percent) == (practised, extra_rounds_percent)
    assert len(found.cautions) == cautions
    assert any(str(days) in one for one in map(ENGLISH.say, found.said)) == practised


def test_time_away_counts_from_the_last_session_of_any_kind() -> None:
    found = care(lift(20), lift(2, of={"movement": HAND.slug}))
    assert found.extra_rounds_percent == 100
    assert found.practice_required


def test_a_session_that_lies_ahead_of_a_clock_set_back_is_no_time_away() -> None:
    ahead = History(days=(TODAY + timedelta(days=40),), exposures=(lift(0),))
    assert care_for(ONE_LIFT, CHOSEN, ahead, on(TODAY)) == Care()


@pytest.mark.parametrize(
    "sore, extra_rounds_percent, rounds", [(0, 100, 6), (1, 50, 4), (3, 50, 4), (4, 0, 2), (10, 0, 2)]
)
def test_sore_muscles_mean_fewer_rounds_and_the_same_movements(
    sore: int, extra_rounds_percent: int, rounds: int
) -> None:
    found = care(lift(3), sore_muscles=sore)
    assert found.extra_rounds_percent == extra_rounds_percent
    said = {0: "only the minimum rounds", 50: "at most half of the extra rounds"}.get(extra_rounds_percent)
    told = [one for one in map(ENGLISH.say, found.said) if "same movements" in one]
    assert told == ([f"Sore muscles: {said}, and the same movements."] if said else [])
    best = offer(ONE_LIFT, found.over(Asked(minutes=30, room=SINGLE)))
    assert best.session is not None
    assert best.session.rounds() == rounds
    assert {s.movement for s in best.session.segments if s.kind == "work"} == {BOTH.slug}
    assert best.missing_ms is None


def test_the_fewest_rounds_leave_the_minimum_of_every_block() -> None:
    two = plan(
        work(BOTH.slug, rounds=RoundsRange(min=2, max=5)),
        work(HAND.slug, id="second", rounds=RoundsRange(min=1, max=4)),
    )
    rounds = [
        {b.id: b.rounds for b in session(two, minutes=60, extra_rounds_percent=percent).blocks}
        for percent in (100, 50, 0)
    ]
    assert rounds == [{"circuit": 5, "second": 4}, {"circuit": 3, "second": 2}, {"circuit": 2, "second": 1}]


PROFILES = [
    # profile, practice, cool-down of three minutes at least, more time to get down
    (ProfileFlag.novice, True, False, False),
    (ProfileFlag.older, False, True, True),
    (ProfileFlag.pregnant, False, True, True),
    (ProfileFlag.after_birth, False, False, False),
    (ProfileFlag.high_blood_pressure, False, True, True),
    (ProfileFlag.fragile_bones, False, False, False),
]


@pytest.mark.parametrize("flag, practised, cool_down, to_floor", PROFILES)
def test_a_profile_changes_what_the_person_said_it_may_and_shows_its_caution(
    flag: ProfileFlag, practised: bool, cool_down: bool, to_floor: bool
) -> None:
    told = {"pregnancy": WeekSaid(week=20, said_on=TODAY), "birth": Birth(on=date(2025, 1, 1))}
    found = care(lift(3), flags=(flag,), **told)
    assert (found.practice_required, found.careful_cool_down, found.careful_to_floor) == (
        practised,
        cool_down,
        to_floor,
    )
    assert found.cautions == (CAUTIONS[flag],)


def test_in_pregnancy_clearance_comes_first_and_the_urgent_signs_are_named() -> None:
    said = ENGLISH.say(CAUTIONS[ProfileFlag.pregnant])
    assert said.index("cleared") < said.index("can always talk") < said.index("Bleeding")


def test_who_does_a_movement_for_the_first_time_practises_and_is_offered_no_rounds_for_it() -> None:
    """A movement known in another variant is practised but not new; one never worked is new."""
    new, other_variant = care(), care(lift(3, of={"variant": "two", "kit": Kit.pair}))
    only_hurt = care(lift(3, sets=(), pain=2, advice=Advice.retry_unloaded))
    assert (new.first_time, other_variant.first_time, only_hurt.first_time) == (True, False, True)
    assert all(one.practice_required for one in (new, other_variant, only_hurt))


def test_what_is_done_today_counts_and_not_what_the_plan_names() -> None:
    """Without a weight the movement is done in another variant, which is new."""
    assert care(lift(3)).practice_required is False
    assert care(lift(3), room=Room()).practice_required is True


def test_several_reasons_are_said_in_one_sentence() -> None:
    of = plan(practice(movements=(BOTH.slug, HAND.slug)), work(BOTH.slug, HAND.slug))
    said = [ENGLISH.say(one) for one in care(of=of).said]
    assert said == ["Practice stays. New: Both hands lift and 1 more."]
    assert care(of=plan(work(BOTH.slug))).said == ()


def test_the_care_comes_from_the_records_themselves() -> None:
    made = record(session(ONE_LIFT, minutes=20), loads_g={BOTH.slug: 10_000})
    held = history_of([made])
    assert care_for(ONE_LIFT, CHOSEN, held, on(made.local_date)) == Care()
    later = care_for(ONE_LIFT, CHOSEN, held, on(made.local_date + timedelta(days=14)))
    assert (later.practice_required, later.extra_rounds_percent) == (True, 0)


def test_care_leaves_the_rest_of_the_question_alone() -> None:
    asked = Asked(minutes=25, room=SINGLE, rounds=3, side_change=SideChangeMode.inside)
    assert Care().over(asked) == asked
    over = Care(practice_required=True).over(asked)
    assert (over.minutes, over.rounds, over.practice_required) == (25, 3, True)


@pytest.mark.parametrize("rating, helped", [(0, False), (5, False), (6, True), (10, True)])
def test_very_sore_muscles_are_told_when_they_need_help(rating: int, helped: bool) -> None:
    """Dark urine, severe swelling or weakness after hard training need help within the day (from memory)."""
    found = care(lift(3), sore_muscles=rating)
    assert any("dark urine" in one for one in map(ENGLISH.say, found.cautions)) is helped
    assert any("no weight goes up" in one for one in map(ENGLISH.say, found.said)) is helped


def test_after_an_illness_a_session_has_the_fewest_rounds_and_says_so() -> None:
    easy = care(lift(3), easy_session=1)
    assert easy.extra_rounds_percent == 0
    assert ENGLISH.say(easy.said[0]).startswith("Easy session 1 of 2 after your illness")


def test_an_illness_leaves_no_session() -> None:
    assert care(lift(3), not_yet="No session today.").no_session == "No session today."
