"""Another movement in place of the one in hand: an easier variant, or one that needs nothing missing."""

from __future__ import annotations

from builders import BEND, BOTH, HAND, TURN, movement, plan, warm_up, work
from somebody import Person, started

from companion.words.words import ENGLISH
from engine.live.state import Status
from engine.movements.movement import Equipment
from engine.plan.plan import RoundsRange

EASIER = "From now on: Easy hinge instead of Hard hinge."


async def test_an_easier_variant_begins_the_interval_again() -> None:
    person = await started()
    await person.later(40)
    await person.do.session.form_slipped()
    assert ENGLISH.sentences(person.do.session.swap.easier().said) == EASIER
    await person.do.session.swap.take_easier()
    assert (person.run.current.kind, person.run.current.movement) == ("get_ready", "easy-hinge")
    await person.later(15)
    assert (person.run.current.kind, person.run.current.movement) == ("work", "easy-hinge")


async def test_an_easier_variant_can_be_taken_at_once_while_the_interval_runs() -> None:
    person = await started()
    await person.later(40)
    await person.do.session.swap.take_easier()
    assert (person.run.status, person.run.current.movement) == (Status.running, "easy-hinge")
    assert person.movements_to_come() == {"easy-hinge", HAND.slug}


async def test_without_a_wall_after_all_another_movement_is_done_and_it_is_kept() -> None:
    on_wall = BOTH.model_copy(
        update={
            "variants": tuple(
                variant.model_copy(update={"needs": (Equipment.wall,)}) for variant in BOTH.variants
            )
        }
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


async def test_in_a_rest_the_easier_variant_is_of_what_comes_and_the_rest_goes_on() -> None:
    person = await started()
    while (person.run.current.kind, person.run.current.movement) != ("rest", "hard-hinge"):
        await person.later(1)
    await person.later(5)
    await person.do.session.pause()
    assert ENGLISH.sentences(person.do.session.swap.easier().said) == EASIER
    rest, index = person.run.current, person.run.index
    await person.do.session.swap.take_easier()
    assert (person.run.status, person.run.current, person.run.index) == (Status.running, rest, index)
    assert "hard-hinge" not in person.movements_to_come()
    await person.later(60)
    assert (person.run.current.kind, person.run.current.movement) == ("work", "easy-hinge")
    assert all(done.outcome != "skipped" for done in person.run.done)


async def test_a_tap_as_the_interval_ends_is_still_about_the_movement_it_was_shown_for() -> None:
    person = await started()
    await person.later(69.5)
    assert person.run.current.kind == "work"
    person.clock.ms += 1_000
    await person.do.session.swap.take_easier()
    assert ENGLISH.sentences(person.run.changes[-1].said) == EASIER
