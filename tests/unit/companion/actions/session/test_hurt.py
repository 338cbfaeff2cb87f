"""Something hurts: it stops, what is advised, and nothing that hurt comes again."""

from __future__ import annotations

from builders import HAND
from somebody import PLAN, Person, hurts, started

from companion.state.screen import Screen
from companion.words.words import ENGLISH
from engine.live.cues import CueKind
from engine.live.state import Status
from engine.movements.movement import Joint, Side
from engine.movements.pain import Advice, PainKind, PainQuality, PainQuestion
from engine.session.segment import Kind

SPARES_KNEE = "Easy hinge instead of Hard hinge. This spares: left knee."


async def test_what_hurt_does_not_come_again_in_this_session() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    assert person.do.hurt.advice() is Advice.swap_and_leave_out
    await person.do.hurt.answer("without")
    assert person.movements_to_come() == {"easy-hinge", HAND.slug}
    assert person.run.current.kind == "rest"
    assert ENGLISH.sentences(person.state.run.live.said) == SPARES_KNEE
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
    assert [ENGLISH.sentences(change.said) for change in record.changes] == [SPARES_KNEE]


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


async def test_one_question_after_the_other_leads_to_the_verdict() -> None:
    person = await started()
    await person.later(30)
    hurt = person.do.hurt
    await person.do.session.something_hurts()
    assert person.state.screen is Screen.hurt
    assert (person.run.status, hurt.question()) == (Status.paused, PainQuestion.where)
    await hurt.where(Joint.knee, Side.left)
    assert hurt.question() is PainQuestion.signs
    await hurt.no_sign(PainKind.joint)
    assert (hurt.question(), hurt.advice()) == (PainQuestion.number, None)
    await hurt.rate(2)
    assert (hurt.question(), hurt.advice()) == (None, Advice.retry_unloaded)
    await hurt.back()
    assert hurt.question() is PainQuestion.number
    await hurt.back()
    await hurt.sign(PainQuality.snap)
    assert hurt.question() is PainQuestion.number
    hurt.give_no_number()
    assert (hurt.question(), hurt.advice()) == (None, Advice.swap_and_leave_out)
    await hurt.get_help()
    assert (hurt.question(), hurt.advice()) == (None, Advice.get_help)


async def test_a_step_back_takes_one_answer_back_and_never_asks_for_less() -> None:
    person = await started()
    hurt = person.do.hurt
    await person.do.session.something_hurts()
    await hurt.where(Joint.knee, Side.left)
    await hurt.sign(PainQuality.sharp)
    hurt.give_no_number()
    for question in (PainQuestion.number, PainQuestion.signs, PainQuestion.where):
        await hurt.back()
        assert hurt.question() is question
    assert person.state.run.pain_note.qualities == ()


async def test_burning_is_timed_from_the_stop_by_the_clock() -> None:
    person = await started()
    for waited_s, said in ((59, Advice.go_on), (75, Advice.ease)):
        await person.do.session.something_hurts()
        await person.do.hurt.where(Joint.hip, Side.left)
        await person.do.hurt.no_sign(PainKind.muscle)
        person.clock.ms += waited_s * 1000
        await person.do.hurt.has_gone()
        assert person.do.hurt.advice() is said
        await person.do.hurt.not_hurt()


async def test_the_try_without_weight_asks_for_its_number_and_swaps_where_it_still_hurts() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=2)
    await person.do.hurt.answer("try")
    assert (person.state.screen, person.run.attempt.segment_id is not None) == (Screen.running, True)
    await person.later(300)
    assert (person.state.screen, person.run.attempt.asks_number) == (Screen.hurt, True)
    assert person.do.hurt.question() is PainQuestion.number
    await person.do.hurt.rate(1)
    assert person.do.hurt.advice() is Advice.swap_and_leave_out
    await person.do.hurt.answer("without")
    assert "hard-hinge" not in person.movements_to_come()
    assert (person.run.status, person.run.attempt.asks_number) == (Status.running, False)


async def test_a_try_that_does_not_hurt_goes_on() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=2)
    await person.do.hurt.answer("try")
    await person.later(100)
    await person.do.hurt.not_hurt()
    assert person.do.hurt.advice() is Advice.go_on
    await person.do.hurt.answer("go_on")
    assert [(note.rating, note.after_try) for note in person.run.pains] == [(2, False), (0, True)]
    assert (person.run.status, "hard-hinge" in person.movements_to_come()) == (Status.running, True)


async def test_the_joint_that_hurt_lately_comes_first() -> None:
    person = await started()
    await person.later(30)
    assert person.do.hurt.recent() == ()
    await hurts(person, rating=2)
    await person.do.hurt.answer("go_on")
    await person.do.session.something_hurts()
    assert person.do.hurt.recent() == ((Joint.knee, Side.left),)


async def test_what_was_said_before_the_start_is_offered_and_kept_with_the_note() -> None:
    person = await Person().open(PLAN)
    await person.do.setup.rate_sore(Joint.wrist, Side.right, 1)
    await person.do.session.start()
    await person.do.session.something_hurts()
    assert person.do.hurt.recent() == ((Joint.wrist, Side.right),)
    await person.do.hurt.where(Joint.wrist, Side.right)
    assert person.state.run.pain_note.said_before == 1
    await person.do.hurt.back()
    await person.do.hurt.where(Joint.knee, Side.left)
    assert person.state.run.pain_note.said_before is None


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


async def test_a_flagged_joint_changes_the_next_session_until_it_is_said_to_be_free_on_another_day() -> None:
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
    assert person.state.fit.offer.session.room.sore[0].rating == 4
    await person.do.setup.rate_sore(Joint.knee, Side.left, 0)
    assert person.state.fit.offer.session.room.sore[0].rating == 4, "the same evening"
    person.clock.ms += 86_400_000
    await person.do.setup.rate_sore(Joint.knee, Side.left, 0)
    room = person.state.fit.offer.session.room
    assert (room.sore, room.after_pain, room.tried) == ((), ("hard-hinge",), ("hard-hinge",))


async def test_what_enters_after_pain_has_no_weight_and_is_logged_so() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=4)
    await person.do.hurt.answer("without")
    assert person.run.loads_g == {"easy-hinge": 0}
    assert ENGLISH.sentences(person.state.run.live.entered) == "Easy hinge: no weight."
    await person.later(900)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    assert {done.load_g for done in record.sets if done.movement == "easy-hinge"} == {0}


async def test_each_set_of_what_entered_is_logged_as_it_was_done() -> None:
    person = await started()
    await person.later(30)
    await person.do.session.swap.take_easier()
    first = person.run.segments[person.run.index + 1].id if person.run.current.kind == "get_ready" else None
    await person.later(100)
    await person.do.session.set_load("easy-hinge", 4_000)
    await person.later(900)
    await person.do.log.save()
    (record,) = await person.store.sessions.records()
    loads = [done.load_g for done in record.sets if done.movement == "easy-hinge"]
    assert (loads[0], set(loads[1:])) == (0, {4_000})
    assert first is None or first.startswith("circuit:1:1:easy-hinge")


async def test_between_two_movements_it_is_said_which_one_hurt_and_a_tap_corrects_it() -> None:
    person = await started()
    while person.run.current.kind is not Kind.rest:
        await person.do.session.skip()
    await person.do.session.something_hurts()
    left, coming = person.do.hurt.movements()
    assert left != coming
    assert person.state.run.pain.movement == left
    await person.do.hurt.it_was(coming)
    assert person.state.run.pain.movement == coming
    assert person.run.by_id[person.state.run.pain.segment_id].movement == coming


async def test_in_a_lead_in_it_is_the_movement_to_come_that_hurts() -> None:
    person = await started()
    while person.run.current.kind is not Kind.get_ready:
        await person.do.session.skip()
    await person.do.session.something_hurts()
    assert person.state.run.pain.movement == person.run.leads_to(person.run.index).movement


async def test_a_try_that_is_skipped_asks_for_its_number_too() -> None:
    person = await started()
    await person.later(30)
    await hurts(person, rating=2)
    await person.do.hurt.answer("try")
    await person.later(3)
    await person.do.session.skip()
    await person.do.session.watch()
    assert (person.state.screen, person.do.hurt.question()) == (Screen.hurt, PainQuestion.number)


async def test_a_later_try_that_is_skipped_in_its_lead_in_asks_for_its_number_too() -> None:
    """It hurt in the rest after the movement: the try is its next interval."""
    person = await started()
    while person.run.current.kind is not Kind.rest:
        await person.do.session.skip()
    await hurts(person, rating=2)
    await person.do.hurt.answer("try")
    tried = person.run.attempt.segment_id
    while person.run.current.id != tried:
        await person.do.session.skip()
    await person.do.session.skip()
    await person.do.session.watch()
    assert (person.state.screen, person.do.hurt.question()) == (Screen.hurt, PainQuestion.number)
