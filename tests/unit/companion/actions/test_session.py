"""What a person does, through the actions: the finish holds, and nothing that hurt comes again."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest
from builders import BEND, BOTH, HAND, TURN, adjustment, movement, plan, warm_up, work
from somebody import BEGAN, PLAN, Person

from companion.services.files import PickedFile
from companion.state.screen import Screen
from engine.live.cues import CueKind
from engine.live.state import Status
from engine.live.timing import elapsed_at, remaining_session_at
from engine.load.rack import Rack
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.movements.pain import Advice, PainKind
from engine.plan.link import fragment
from engine.plan.plan import RoundsRange, SessionPlan
from engine.record.record import set_key
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.models import KitOwned


async def started(of: SessionPlan = PLAN, *, minutes: int = 14) -> Person:
    person = await Person().open(of, minutes=minutes)
    await person.do.session.start()
    return person


async def hurts(person: Person, **said: object) -> None:
    await person.do.session.something_hurts()
    person.do.hurt.describe(**{"kind": PainKind.joint, "joint": Joint.knee, "side": Side.left, **said})


async def test_what_hurt_does_not_come_again_in_this_session() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    assert person.do.hurt.advice() is Advice.swap_and_leave_out
    await person.do.hurt.answer("without")
    assert person.movements_to_come() == {"easy-hinge", HAND.slug}
    assert person.run.current.kind == "rest"
    assert person.state.run.live.said == "Easy hinge instead of Hard hinge, to spare the left knee."
    assert person.run.finish_released


async def test_a_session_with_a_swap_is_logged_with_the_movement_that_was_done() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    await person.later(800)
    assert person.state.screen is Screen.log
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    assert {done.movement for done in record.sets} == {"hard-hinge", "easy-hinge", HAND.slug}
    assert [note.movement for note in record.pains] == ["hard-hinge"]
    assert [change.said for change in record.changes] == [
        "Easy hinge instead of Hard hinge, to spare the left knee."
    ]


async def test_pain_said_in_a_rest_belongs_to_the_movement_just_done() -> None:
    person = await started()
    await person.later(80)
    await hurts(person, rating=3)
    await person.do.hurt.answer("without")
    assert person.run.pains[0].movement == "hard-hinge"
    assert person.run.current.kind == "rest"
    assert HAND.slug in person.movements_to_come()


async def test_nothing_is_advised_and_going_on_is_not_offered_before_it_is_said_what_hurts() -> None:
    person = await started()
    await person.later(30)
    await person.do.session.something_hurts()
    assert person.do.hurt.advice() is None
    assert person.cues.played[-1].kind is CueKind.stop
    assert person.run.status is Status.paused


async def test_after_a_pause_a_round_is_given_up_so_that_the_finish_holds() -> None:
    person = await started()
    promised = person.state.run.live.finish_at
    assert promised == BEGAN + timedelta(minutes=14)
    await person.later(30)
    await person.do.session.pause()
    await person.later(300)
    await person.do.session.resume()
    assert person.state.run.live.said.startswith("1 round less")
    left = timedelta(milliseconds=remaining_session_at(person.run, person.do.session.session_ms()))
    assert person.context.now() + left <= promised == person.state.run.live.finish_at


async def test_what_was_given_up_can_be_taken_back_and_the_finish_is_later_then() -> None:
    person = await started()
    await person.later(30)
    await person.do.session.pause()
    await person.later(300)
    planned = person.run.segments
    await person.do.session.resume()
    await person.later(5)
    await person.do.session.keep_everything()
    assert person.run.segments == planned
    assert person.state.run.live.finish_at > BEGAN + timedelta(minutes=14)
    await person.do.session.pause()
    await person.later(10)
    await person.do.session.resume()
    assert person.run.segments == planned


async def test_where_nothing_may_be_given_up_the_finish_moves_and_says_so() -> None:
    person = await started(minutes=7)
    assert person.run.session.rounds() == 2
    await person.later(30)
    await person.do.session.pause()
    await person.later(200)
    planned = person.run.segments
    await person.do.session.resume()
    assert person.run.segments == planned
    assert person.state.run.live.said == "Nothing more may be given up; the finish is later."
    assert person.state.run.live.finish_at > BEGAN + timedelta(minutes=7)


async def test_a_slow_warm_up_costs_a_round_at_the_tick_and_not_before() -> None:
    of = plan(warm_up(rounds=RoundsRange(min=1, max=1)), work(BOTH.slug, rounds=RoundsRange(min=1, max=5)))
    person = await started(of, minutes=10)
    rounds = person.run.session.rounds()
    await person.later(300)
    assert max(segment.round or 0 for segment in person.run.segments) == rounds
    await person.do.session.tick()
    assert max(segment.round or 0 for segment in person.run.segments) < rounds


async def test_after_a_pain_stop_nothing_hurries_anyone() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, kind=PainKind.muscle, joint=None, side=None, rating=2)
    await person.later(400)
    await person.do.hurt.answer("go_on")
    assert person.run.segments == person.run.session.segments
    await person.do.session.pause()
    await person.do.session.resume()
    assert person.run.segments == person.run.session.segments


async def test_an_easier_form_begins_the_interval_again() -> None:
    person = await started()
    await person.later(40)
    await person.do.session.position_lost()
    assert person.do.session.swap.easier().said == "Easy hinge instead of Hard hinge from now on."
    await person.do.session.swap.take_easier()
    assert (person.run.current.kind, person.run.current.movement) == ("get_ready", "easy-hinge")
    await person.later(15)
    assert (person.run.current.kind, person.run.current.movement) == ("work", "easy-hinge")


async def test_an_easier_form_can_be_taken_at_once_while_the_interval_runs() -> None:
    person = await started()
    await person.later(40)
    await person.do.session.swap.take_easier()
    assert (person.run.status, person.run.current.movement) == (Status.running, "easy-hinge")
    assert person.movements_to_come() == {"easy-hinge", HAND.slug}


async def test_a_load_that_was_found_on_the_way_is_in_the_log_of_whoever_comes_back() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, rack=Rack.of_weights((4_000, 6_000), dumbbells=2))
    )
    person = await Person(store).open()
    await person.do.session.start()
    proposed_g = person.state.run.answers.loads_g["hard-hinge"]
    await person.do.session.set_load(HAND.slug, 11_000)
    again = Person(person.store)
    again.clock.ms = person.clock.ms + 60_000
    await again.come_back()
    assert again.state.run.answers.loads_g == {"hard-hinge": proposed_g, HAND.slug: 11_000}
    await again.later(1)
    await again.do.session.end_early()
    await again.do.session.set_load(HAND.slug, 12_000)
    await again.do.log.save()
    (record,) = await again.store.sessions.records()
    assert {done.load_g for done in record.sets if done.movement == HAND.slug} <= {12_000}


async def test_without_a_wall_after_all_another_movement_is_done_and_it_is_kept() -> None:
    on_wall = BOTH.model_copy(
        update={"forms": tuple(form.model_copy(update={"needs": (Equipment.wall,)}) for form in BOTH.forms)}
    )
    free = movement("free-lift", pattern=BOTH.pattern)
    of = plan(
        warm_up(rounds=RoundsRange(min=1, max=1)), work(BOTH.slug), movements=(on_wall, free, BEND, TURN)
    )
    person = await started(of, minutes=20)
    assert person.do.session.swap.needed() == ()
    await person.do.session.tick()
    await person.do.session.tick()
    await person.later(60)
    assert person.do.session.swap.needed() == ("wall",)
    await person.do.session.swap.do_without(Equipment.wall)
    assert person.movements_to_come() == {"free-lift"}
    again = Person(person.store)
    again.clock.ms = person.clock.ms + 60_000
    await again.come_back(of)
    assert again.movements_to_come() == {"free-lift"}


@pytest.mark.parametrize("into", [lambda p: p.do.session.pause(), lambda p: p.do.session.position_lost()])
async def test_a_session_found_again_goes_on_with_what_was_changed(into: Callable[[Person], object]) -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    await person.later(40)
    await into(person)
    again = Person(person.store)
    again.clock.ms = person.clock.ms + 60_000
    await again.come_back()
    assert again.state.screen is Screen.running
    assert again.run.segments == person.run.segments
    assert again.run.status is Status.paused
    assert again.run.finish_released


async def test_a_sleep_of_the_computer_pauses_and_asks() -> None:
    person = await started()
    await person.later(30)
    person.clock.slept_ms += 90_000
    await person.do.session.watch()
    assert person.run.status is Status.paused
    assert person.state.run.live.gap_ms == 90_000


SUMMER_TIME = datetime(2026, 3, 29, 1, tzinfo=UTC)
WINTER_TIME = datetime(2026, 10, 25, 1, tzinfo=UTC)
"""When the clocks of the European Union are changed (directive 2000/84/EC)."""


@pytest.mark.parametrize("change", [SUMMER_TIME, WINTER_TIME])
async def test_a_change_of_the_clocks_in_a_session_neither_hurries_nor_delays_anyone(
    change: datetime,
) -> None:
    person = await Person(began=change - timedelta(seconds=60), zone="Europe/Berlin").open(minutes=14)
    await person.do.session.start()
    planned = person.run.segments
    await person.later(90)
    assert person.run.status is Status.running
    await person.do.session.pause()
    await person.later(5)
    await person.do.session.resume()
    assert person.run.segments == planned
    await person.do.session.pause()
    await person.later(300)
    await person.do.session.resume()
    assert person.state.run.live.said.startswith("1 round less")
    assert person.state.run.live.finish_at == change + timedelta(minutes=13)
    assert person.do.session.done_by().hour == (3 if change is SUMMER_TIME else 2)


async def test_a_sleep_that_the_clock_of_the_session_counts_as_well_is_no_training_either() -> None:
    person = await started()
    await person.later(30)
    person.clock.ms += 3_600_000
    await person.do.session.watch()
    assert person.run.status is Status.paused
    assert person.state.run.live.gap_ms == 3_600_000
    assert elapsed_at(person.run, person.do.session.session_ms()) == 20_000


@pytest.mark.parametrize("set_by_ms", [-3_600_000, 3_600_000])
async def test_a_clock_that_is_set_pauses_and_asks_and_moves_nothing(set_by_ms: int) -> None:
    person = await started()
    await person.later(30)
    at_ms = person.do.session.session_ms()
    person.clock.slept_ms += set_by_ms
    await person.do.session.watch()
    assert (person.run.status, person.state.run.live.gap_ms) == (Status.paused, set_by_ms)
    assert person.do.session.session_ms() == at_ms
    assert elapsed_at(person.run, at_ms) == 20_000


async def test_after_a_clock_was_set_back_the_finish_is_said_by_the_new_clock() -> None:
    person = await started()
    await person.later(30)
    planned = person.run.segments
    person.clock.slept_ms -= 3_600_000
    await person.do.session.watch()
    await person.do.session.resume()
    assert person.run.segments == planned
    left = timedelta(milliseconds=remaining_session_at(person.run, person.do.session.session_ms()))
    assert person.state.run.live.finish_at == person.context.now() + left


async def test_the_loads_that_are_owned_shape_what_is_proposed_at_the_start() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, rack=Rack.of_weights((4_000, 6_000, 10_000), dumbbells=2))
    )
    person = await Person(store).open()
    await person.do.session.start()
    assert {one.load_g for one in person.state.run.proposals.values()} <= {4_000, 6_000, 10_000, 0}
    assert person.state.run.answers.loads_g.keys() == {"hard-hinge", HAND.slug}


async def test_a_second_session_soon_after_is_known_and_needs_no_first_time() -> None:
    person = await started()
    assert person.state.fit.care.first_time
    await person.later(900)
    await person.do.log.save()
    await person.do.setup.show()
    assert not person.state.fit.care.first_time
    await person.do.session.start()
    assert person.state.run.live is not None


async def test_after_three_weeks_away_the_fewest_rounds_are_enough_and_it_is_said() -> None:
    person = await started()
    await person.later(900)
    await person.do.log.save()
    person.clock.ms += 21 * 86_400_000
    person.do.setup.set_minutes(60)
    assert person.state.fit.offer.session.rounds() == 2
    assert person.state.fit.care.said[0].startswith("21 days since the last session")


async def test_sore_muscles_mean_fewer_rounds_and_the_same_movements() -> None:
    person = await Person().open(minutes=60)
    fresh = person.state.fit.offer.session
    person.do.setup.rate_sore_muscles(5)
    sore = person.state.fit.offer.session
    assert sore.rounds() < fresh.rounds()
    assert {i.chosen for b in sore.blocks for i in b.items} == {
        i.chosen for b in fresh.blocks for i in b.items
    }


async def test_the_next_morning_is_asked_about_once_and_changes_today() -> None:
    person = await started()
    await person.later(900)
    await person.do.log.save()
    person.clock.ms += 14 * 3_600_000
    await person.do.setup.show()
    assert person.state.afterwards.asked is not None
    await person.do.afterwards.show()
    person.do.afterwards.say_soreness(4)
    person.do.afterwards.say_morning_pain(2)
    await person.do.afterwards.save()
    assert person.state.screen is Screen.setup
    assert person.state.afterwards.asked is None
    assert person.state.body.sore_muscles == 4
    (record,) = await person.store.sessions.records()
    kept = {one.field: one.value for one in await person.store.sessions.amendments(record.id)}
    assert kept == {"soreness": 4, "next_morning_pain": 2}
    assert person.state.fit.care.practice_required


async def test_effort_can_be_said_again_half_an_hour_later_and_the_first_answer_stays() -> None:
    person = await started()
    await person.later(900)
    person.do.log.effort(8)
    await person.do.log.save()
    person.clock.ms += 40 * 60_000
    await person.do.setup.show()
    await person.do.afterwards.show()
    assert person.state.afterwards.answers.effort == 8
    person.do.afterwards.say_effort(6)
    await person.do.afterwards.save()
    (record,) = await person.store.sessions.records()
    assert record.effort == 8
    await person.do.week.show()
    assert person.state.week.shown is not None
    assert person.state.week.shown.page.sessions[0].effort == 6


async def test_a_flagged_joint_changes_the_next_session_until_it_is_said_to_be_free() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    await person.later(900)
    await person.do.log.save()
    await person.do.setup.show()
    (hold,) = person.state.learned.after_pain
    assert (hold.movement, hold.joint, hold.side) == ("hard-hinge", Joint.knee, Side.left)
    chosen = {i.chosen.movement for b in person.state.fit.offer.session.blocks for i in b.items}
    assert "hard-hinge" not in chosen
    assert person.state.fit.offer.session.room.sore[0].rating == 3
    person.do.setup.rate_sore(Joint.knee, Side.left, 0)
    room = person.state.fit.offer.session.room
    assert (room.sore, room.held, room.tried) == ((), ("hard-hinge",), ("hard-hinge",))


async def test_what_was_left_in_the_last_round_is_said_of_each_side_and_of_no_other_round() -> None:
    person = await started()
    await person.later(900)
    assert person.state.screen is Screen.log
    person.do.log.reserve(HAND.slug, 2)
    await person.do.session.set_load(HAND.slug, 9_000)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    sets = [done for done in record.sets if done.movement == HAND.slug]
    assert len({done.round for done in sets}) > 1
    assert [done.effort for done in sets] == [8 if done.round == sets[-1].round else None for done in sets]
    assert {done.load_g for done in sets} == {9_000}, "the load of the movement holds for that round too"


async def test_one_set_can_have_a_load_and_a_form_of_its_own() -> None:
    person = await started()
    await person.later(900)
    await person.do.session.set_load(HAND.slug, 9_000)
    key = set_key("circuit", 1, HAND.slug, Side.both)
    person.do.log.set(key, load_g=7_000, easier_form=True, limited_by="grip")
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    by_key = {done.key: done for done in record.sets}
    assert (by_key[key].load_g, by_key[key].easier_form, by_key[key].limited_by) == (7_000, True, "grip")
    assert by_key[set_key("circuit", 2, HAND.slug, Side.both)].load_g == 9_000


async def test_what_the_coach_asks_is_shown_before_it_is_taken_and_shapes_the_fit() -> None:
    person = await Person().open(minutes=60)
    asked = adjustment(until=BEGAN.date() + timedelta(days=7), changes=({"kind": "rounds", "rounds": 2},))
    person.files.to_pick.append(PickedFile("from-odd.json", asked.model_dump_json().encode()))
    assert person.state.fit.offer.session.rounds() == 4
    await person.do.plans.open_file()
    assert (person.state.screen, person.state.plans.adjustment_shown) == (Screen.adjustment, asked)
    assert person.state.fit.offer.session.rounds() == 4
    await person.do.adjustment.take()
    assert person.state.fit.offer.session.rounds() == 2
    again = Person(person.store)
    await again.come_back()
    assert again.do.setup.asked_by_coach() == (asked,)


async def test_an_adjustment_is_over_after_its_last_day() -> None:
    person = await Person().open(minutes=60)
    asked = adjustment(until=BEGAN.date(), changes=({"kind": "spare", "joint": "knee", "side": "left"},))
    person.do.plans.open_link(fragment(asked))
    assert person.state.plans.adjustment_shown == asked
    await person.do.adjustment.take()
    assert [one.joint for one in person.state.fit.offer.session.room.sore] == [Joint.knee]
    person.clock.ms += 24 * 3_600_000
    person.do.setup.set_minutes(60)
    assert person.state.fit.offer.session.room.sore == ()
