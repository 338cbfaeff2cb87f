"""What differs between two versions, in the words in which a person decides about it."""

from __future__ import annotations

from datetime import date

import builders
from builders import BOTH, HAND, plan, work

from companion.words.differing import IN_IT, NOT_IN_IT, Differing, differing
from engine.base.message import Own, message
from engine.base.units import LoadUnit
from engine.coach.question import Question
from engine.load.rack import FixedWeight, Rack
from engine.movements.movement import Kit
from engine.plan.plan import RoundsRange
from engine.record.profile import ProfileFlag, WeekSaid
from storage.exchange.differences import newer_version, ways_to_settle
from storage.exchange.merge import Conflict, Keep
from storage.models import KitOwned, WeekNote

HERE = plan(work(HAND.slug, rounds=RoundsRange(min=3, max=5)), movements=(HAND, BOTH), name="Evening")


def test_equal_versions_differ_in_nothing() -> None:
    assert differing(HERE, HERE.model_copy()) == ()


def test_a_plan_is_compared_block_by_block_and_movement_by_movement() -> None:
    rounds = RoundsRange(fewest=2, min=4, max=6)
    there = plan(work(BOTH.slug, HAND.slug, rounds=rounds), movements=(HAND, BOTH), name="Night")
    assert differing(HERE, there) == (
        Differing("Name", "Evening", "Night"),
        Differing(f"Work › {BOTH.name}", NOT_IN_IT, IN_IT),
        Differing("Work › Rounds", "3 to 5 rounds", "4 to 6 rounds, 2 if short of time"),
    )


def test_a_movement_more_does_not_make_those_after_it_differ() -> None:
    rounds = RoundsRange(min=3, max=5)
    there = plan(work(BOTH.slug, HAND.slug, rounds=rounds), movements=(HAND, BOTH), name="Evening")
    (only,) = differing(HERE, there)
    assert only == Differing(f"Work › {BOTH.name}", NOT_IN_IT, IN_IT)


def test_lengths_loads_and_order_are_said_as_the_plan_says_them() -> None:
    both = plan(work(HAND.slug, BOTH.slug), movements=(HAND, BOTH))
    block = both.blocks[0]
    items = tuple(reversed(block.movements))
    changed = items[1].model_copy(update={"starting_g": 6_000, "tempo": "4-0-1-0"})
    there = both.model_copy(
        update={
            "transition_s": 75,
            "blocks": (block.model_copy(update={"movements": (items[0], changed)}),),
        }
    )
    said = {one.what: (one.here, one.there) for one in differing(both, there)}
    assert said == {
        "Changeover": ("20 s", "1:15"),
        f"Work › {HAND.name} › Starting load, one dumbbell": ("–", "6 kg"),
        f"Work › {HAND.name} › Tempo": ("3-0-1-0", "4-0-1-0"),
        "Work › Order": (f"{HAND.name}, {BOTH.name}", f"{BOTH.name}, {HAND.name}"),
    }


def test_the_weights_of_two_kits_are_said_in_the_person_s_unit() -> None:
    here = KitOwned(dumbbells=Kit.single, rack=Rack(fixed=(FixedWeight(load_g=8_000, count=2),)))
    there = KitOwned(dumbbells=Kit.pair, absent=("wall",))
    assert differing(here, there) == (
        Differing("Dumbbells", "one dumbbell", "two dumbbells"),
        Differing("Weights", "2 × 8 kg", "–"),
        Differing("Not there", "–", "a wall"),
    )
    assert differing(here, there, LoadUnit.lb)[1].here.endswith("lb")


def test_a_profile_and_a_week_are_compared_too() -> None:
    said = WeekSaid(week=20, said_on=date(2026, 3, 2))
    here = builders.profile(flags=(ProfileFlag.pregnant,), pregnancy=said)
    there = here.model_copy(update={"name": "Runa Dahl", "flags": (), "pregnancy": None})
    assert [one.what for one in differing(here, there)] == ["Name", "What holds for you", "Pregnancy"]
    week = WeekNote(iso_week="2026-W10")
    (line,) = differing(week, week.model_copy(update={"all_activity_logged": True}))
    assert line == Differing("All activity logged", "no", "yes")


def test_questions_are_compared_as_they_are_asked() -> None:
    asked = (
        Question(said=Own(own="Slower?")),
        Question(said=message("form_slipped_question", movements=Own(own="Row"))),
    )
    here, there = (WeekNote(iso_week="2026-W10", questions=said) for said in (asked, asked[:1]))
    (line,) = differing(here, there)
    assert line == Differing(
        "Questions for the coach",
        "Slower? Form slipped: Row. An easier version, or less range?",
        "Slower?",
    )


def test_which_is_newer_is_told_only_where_both_say_when() -> None:
    early, late = (WeekSaid(week=20, said_on=date(2026, 3, day)) for day in (2, 9))
    one, other = (builders.profile(pregnancy=said) for said in (early, late))
    assert newer_version(Conflict("profiles", "only", one, other)) is Keep.theirs
    assert newer_version(Conflict("profiles", "only", other, one)) is Keep.ours
    assert newer_version(Conflict("profiles", "only", builders.profile(), other)) is None
    assert newer_version(Conflict("plans", "evening", HERE, HERE)) is None


def test_only_what_can_be_kept_twice_may_be_and_what_happened_stays_as_it_was_recorded() -> None:
    record, kit, profile = builders.record(), KitOwned(), builders.profile()
    either = (Keep.ours, Keep.theirs)
    assert ways_to_settle(Conflict("plans", HERE.id, HERE, HERE)) == (*either, Keep.both)
    assert ways_to_settle(Conflict("kits", "only", kit, kit)) == (*either, Keep.both)
    assert ways_to_settle(Conflict("profiles", "only", profile, profile)) == either
    assert ways_to_settle(Conflict("records", record.id, record, record)) == (Keep.ours,)
