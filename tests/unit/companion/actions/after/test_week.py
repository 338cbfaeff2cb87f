"""Looking back at a week: what is shown, kept and handed over."""

from __future__ import annotations

from builders import BOTH, HAND, LEG, pain
from somebody import WEEK, Person, lifted, looking_back, store_with

from companion.words.words import ENGLISH
from engine.base.message import Own
from engine.movements.movement import Kit
from storage.exchange.coach_page import read_page


def questions(person: Person) -> list[str]:
    return [ENGLISH.argument(asks) if asks else "" for asks, _ in person.state.week.shown.questions]


async def test_a_week_stands_beside_the_four_before_it() -> None:
    person = await looking_back(await store_with(lifted(-28), lifted(0), lifted(2)))
    assert [review.sessions for review in person.state.week.shown.page.reviews] == [1, 0, 0, 0, 2]
    assert person.state.week.shown.page.weeks[-1] == WEEK
    assert [one.key.movement for one in person.state.week.shown.loads] == [BOTH.slug, HAND.slug, LEG.slug]
    await person.do.week.step(-1)
    assert person.state.week.shown.page.weeks[-1] == "2026-W09"
    assert person.state.week.shown.loads == ()


async def test_what_takes_no_weight_is_proposed_too() -> None:
    person = await looking_back(await store_with(lifted()))
    await person.do.setup.choose_kit(Kit.none)
    await person.do.week.show()
    shown = person.state.week.shown
    assert shown.loads == ()
    assert [one.key.movement for one in shown.free] == [BOTH.slug, HAND.slug, LEG.slug]


async def test_a_week_without_a_session_asks_nothing_and_shows_no_load() -> None:
    person = await looking_back(await store_with())
    shown = person.state.week.shown
    assert (questions(person), shown.loads, shown.page.sessions) == ([], (), ())


async def test_questions_are_proposed_until_they_are_touched_and_kept_from_then_on() -> None:
    store = await store_with(lifted())
    person = await looking_back(store)
    assert questions(person)[0].startswith(
        "Repetitions left were not said, so nothing gets heavier: One hand press"
    )
    assert await store.person.week_notes() == ()
    await person.do.week.write_question(0, "Is 8 kg enough?")
    await person.do.week.add_question()
    await person.do.week.write_question(1, "And now?")
    await person.do.week.add_question()
    assert questions(await looking_back(store)) == ["Is 8 kg enough?", "And now?"]
    await person.do.week.drop_question(0)
    await person.do.week.drop_question(0)
    assert questions(await looking_back(store)) == []


async def test_monotony_is_told_once_the_person_says_that_all_activity_is_logged() -> None:
    store = await store_with(lifted(0), lifted(2))
    person = await looking_back(store)
    assert person.state.week.shown.page.reviews[-1].monotony is None
    await person.do.week.say_all_activity_logged(True)
    assert person.state.week.shown.page.reviews[-1].monotony is not None
    assert questions(person), "what is said of the activity leaves the questions as they were proposed"
    assert (await looking_back(store)).state.week.shown.all_activity_logged
    await person.do.week.say_all_activity_logged(False)
    assert person.state.week.shown.page.reviews[-1].monotony is None


async def test_the_page_is_saved_without_what_is_kept_back_its_questions_included() -> None:
    hurt = lifted().model_copy(update={"pains": (pain(rating=4, movement=HAND.slug),)})
    person = await looking_back(await store_with(hurt))
    assert any("Left out after pain" in text for text in questions(person))
    assert not any("Repetitions left" in text for text in questions(person)), "it is left out"
    await person.do.week.add_question()
    await person.do.week.write_question(len(questions(person)) - 1, "Is 8 kg enough?")
    person.do.week.choose_part("pain", False)
    person.do.week.choose_part("notes", False)
    await person.do.week.save_page()
    (saved,) = person.files.saved
    page = read_page(saved.content)
    assert saved.name == "week-2026-W10.html"
    assert person.state.week.handed_over == "The page was handed over for saving: Week 10, from 2 March 2026."
    person.do.week.choose_part("notes", True)
    assert person.state.week.handed_over == "", "the next page is another one"
    assert page.choice.left_out == ("pain", "notes")
    assert not page.sessions[0].pains
    assert page.questions == (Own(own="Is 8 kg enough?"),)
