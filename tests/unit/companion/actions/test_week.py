"""Looking back at a week through the actions: what is shown, kept, handed over and corrected."""

from __future__ import annotations

from datetime import timedelta

from builders import BOTH, HAND, LEG, STARTED_AT, pain, plan, profile, record
from recording_cues import RecordingCuePlayer

from companion.actions.actions import Actions
from companion.actions.context import Context
from companion.services.files import FilesInHand
from companion.state.app import State
from companion.state.screen import Screen
from engine.movements.movement import Kit, Side
from engine.record.amendment import AmendedField
from engine.record.record import Record, set_key
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.coach_page import read_page

WEEK = "2026-W10"
LEFT, RIGHT = (set_key("circuit", 2, HAND.slug, side) for side in (Side.left, Side.right))


class Sunday:
    """The evening of the week's last day."""

    def monotonic_ms(self) -> int:
        return 0

    def now(self):
        return STARTED_AT + timedelta(days=6)


class Looking:
    """Somebody who looks back at the records of a store."""

    def __init__(self, store: BrowserStore) -> None:
        self.store, self.state, self.files = store, State(), FilesInHand()
        self.do = Actions(
            Context(
                self.state,
                store=store,
                clock=Sunday(),
                cues=RecordingCuePlayer(),
                files=self.files,
                zone="UTC",
                samples=lambda: (plan(),),
            )
        )

    async def at(self, week: str = WEEK) -> Looking:
        await self.do.opening.open()
        await self.do.setup.choose_kit(Kit.single)
        await self.do.week.show(week)
        return self

    @property
    def shown(self):
        assert self.state.week.shown is not None
        return self.state.week.shown

    @property
    def texts(self) -> list[str]:
        return [text for text, _ in self.shown.questions]


async def kept(*records: Record) -> BrowserStore:
    store = BrowserStore(MemoryShelves())
    await store.person.save_profile(profile())
    for one in records:
        await store.sessions.save(one)
    return store


def lifted(days: int = 0, **answers: object) -> Record:
    at = STARTED_AT + timedelta(days=days)
    said = {"loads_g": {HAND.slug: 8_000}, "effort": 6} | answers
    return record(started_at=at, record_id=f"day-{days}", **said)


async def test_a_week_stands_beside_the_four_before_it() -> None:
    look = await Looking(await kept(lifted(-28), lifted(0), lifted(2))).at()
    assert [review.sessions for review in look.shown.page.reviews] == [1, 0, 0, 0, 2]
    assert look.shown.page.weeks[-1] == WEEK
    assert [one.key.movement for one in look.shown.loads] == [BOTH.slug, HAND.slug, LEG.slug]
    await look.do.week.step(-1)
    assert look.shown.page.weeks[-1] == "2026-W09"
    assert look.shown.loads == ()


async def test_a_week_without_a_session_asks_nothing_and_shows_no_load() -> None:
    look = await Looking(await kept()).at()
    assert (look.texts, look.shown.loads, look.shown.page.sessions) == ([], (), ())


async def test_questions_are_proposed_until_they_are_touched_and_kept_from_then_on() -> None:
    store = await kept(lifted())
    look = await Looking(store).at()
    assert look.texts[0].startswith("Repetitions left were not said for One hand press")
    assert await store.person.week_notes() == ()
    await look.do.week.write_question(0, "Is 8 kg enough?")
    await look.do.week.add_question()
    await look.do.week.write_question(1, "And now?")
    await look.do.week.add_question()
    assert (await Looking(store).at()).texts == ["Is 8 kg enough?", "And now?"]
    await look.do.week.drop_question(0)
    await look.do.week.drop_question(0)
    assert (await Looking(store).at()).texts == []


async def test_sameness_is_told_once_the_person_says_that_all_activity_is_logged() -> None:
    store = await kept(lifted(0), lifted(2))
    look = await Looking(store).at()
    assert look.shown.page.reviews[-1].monotony is None
    await look.do.week.say_all_activity_logged(True)
    assert look.shown.page.reviews[-1].monotony is not None
    assert look.texts, "what is said of the activity leaves the questions as they were proposed"
    assert (await Looking(store).at()).shown.all_activity_logged
    await look.do.week.say_all_activity_logged(False)
    assert look.shown.page.reviews[-1].monotony is None


async def test_the_page_is_saved_without_what_is_kept_back_its_questions_included() -> None:
    hurt = lifted().model_copy(update={"pains": (pain(rating=4, movement=HAND.slug),)})
    look = await Looking(await kept(hurt)).at()
    assert any("on hold" in text for text in look.texts)
    look.do.week.choose_part("pain", False)
    look.do.week.choose_part("notes", False)
    await look.do.week.save_page()
    (saved,) = look.files.saved
    page = read_page(saved.content)
    assert saved.name == "week-2026-W10.html"
    assert page.choice.left_out == ("pain", "notes")
    assert not page.sessions[0].pains
    assert not any("on hold" in question for question in page.questions)
    assert any("Repetitions left" in question for question in page.questions)


async def test_a_correction_is_an_amendment_and_the_record_stays_as_it_was_saved() -> None:
    saved = lifted(note="Fine.")
    store = await kept(saved)
    look = await Looking(store).at()
    await look.do.record.open(saved.id)
    assert look.state.screen is Screen.record
    look.do.record.correct_set(LEFT, repetitions=5, load_g=7_000)
    look.do.record.correct_set(RIGHT, position_held=True)
    look.do.record.correct_effort(8)
    look.do.record.correct_note("Hard.")
    await look.do.record.save()
    assert look.state.screen is Screen.week
    assert await store.sessions.record(saved.id) == saved
    fields = [one.field for one in await store.sessions.amendments(saved.id)]
    assert fields.count(AmendedField.set) == 1, "a set that says the same is no correction"
    assert {AmendedField.effort, AmendedField.note} <= set(fields)
    (session,) = look.shown.page.sessions
    assert (session.effort, session.note) == (8, "Hard.")
    sets = {(one.round, one.side): one for movement in session.movements for one in movement.sets}
    assert (sets[2, Side.left].repetitions, sets[2, Side.left].load_g) == (5, 7_000)
    assert sets[2, Side.right].repetitions is None


async def test_a_record_that_is_left_as_it_is_has_no_amendment() -> None:
    store = await kept(lifted())
    look = await Looking(store).at()
    await look.do.record.open("day-0")
    look.do.record.correct_effort(9)
    await look.do.record.close()
    assert await store.sessions.amendments("day-0") == ()
