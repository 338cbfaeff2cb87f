"""A week beside the four before it, its questions, and its page for the coach."""

from __future__ import annotations

from dataclasses import replace

from companion.actions.context import Context
from companion.actions.fitting import proposed, proposed_free
from companion.paper.coach_page import page_html
from companion.state.screen import Screen
from companion.state.week import WeekShown
from companion.words.saying import say
from engine.base.message import Own
from engine.base.model import LONGEST_SENTENCE
from engine.base.periods import days_of, iso_week, week_before, weeks_until
from engine.coach.figures import week as week_of
from engine.coach.page import CoachPage, PageAsked
from engine.coach.question import About, Asked, Question
from engine.coach.questions import week_questions
from engine.coach.withheld import PageChoice
from engine.growth.lighter_week import lighter_week
from engine.movements.after_pain import after_pain
from storage.exchange.coach_page import weeks_page
from storage.models import WeekNote

WEEKS_SHOWN = 5
"""A week with the four before it."""


class Week:
    def __init__(self, context: Context) -> None:
        self._context = context

    async def show(self, name: str | None = None) -> None:
        """Shows an ISO week such as 2026-W11; without a name, the one that was shown last."""
        week = self._context.state.week
        week.name, week.handed_over = name or week.name, ""
        notes = {note.iso_week: note for note in await self._context.store.person.week_notes()}
        note = notes.get(week.name, WeekNote(iso_week=week.name))
        week.shown = self._with_proposals(await self._page(PageChoice()), note)
        self._context.show(Screen.week)

    async def step(self, weeks: int) -> None:
        """Goes a number of weeks on, or back if it is negative."""
        self._context.state.said = ""
        await self.show(week_before(self._context.state.week.name, -weeks))

    async def _page(self, choice: PageChoice) -> CoachPage:
        context = self._context
        asked = PageAsked(weeks=weeks_until(context.state.week.name, WEEKS_SHOWN), choice=choice)
        made_at = context.now().replace(microsecond=0)
        return await weeks_page(context.store, context.profile(), asked, made_at=made_at)

    def _with_proposals(self, page: CoachPage, note: WeekNote) -> WeekShown:
        """The page with its questions, and in the last week with what is proposed for the next session."""
        state, history = self._context.state, self._context.state.learned.history
        sunday, today = days_of(state.week.name)[-1], self._context.now().date()
        by_then = history.until(sunday)
        is_last = by_then.days == history.days
        left_out = after_pain(by_then.flagged, by_then.tried)
        sessions = [one for one in page.sessions if iso_week(one.local_date) == state.week.name]
        session = state.fit.session if is_last and history.days else None
        loads = proposed(self._context, session) if session else ()
        free = proposed_free(self._context, session) if session else ()
        if note.questions is not None:
            asked = note.questions
        else:
            day = min(today, sunday)
            asked = week_questions(sessions, by_then.exposures, left_out, today=day, proposed=(*loads, *free))
        return WeekShown(
            page=page,
            all_activity_logged=note.all_activity_logged,
            questions=tuple((one.said, one.about) for one in asked),
            after_pain=left_out,
            loads=loads,
            free=free,
            lighter=lighter_week(by_then, today) if is_last else (),
        )

    @property
    def _shown(self) -> WeekShown:
        return self._context.state.week.in_view

    async def say_all_activity_logged(self, said: bool) -> None:
        self._context.state.week.shown = replace(self._shown, all_activity_logged=said)
        await self._save_note()
        await self.show()

    async def write_question(self, number: int, text: str) -> None:
        """Saves a question as it is written. The field shows it already."""
        written = list(self._shown.questions)
        own = Own(own=text[:LONGEST_SENTENCE]) if text.strip() else None
        written[number] = (own, written[number][1])
        await self._save_questions(written)

    async def add_question(self) -> None:
        await self._save_questions([*self._shown.questions, (None, None)])
        self._context.state.on_change()

    async def drop_question(self, number: int) -> None:
        written = list(self._shown.questions)
        del written[number]
        await self._save_questions(written)
        self._context.state.on_change()

    async def _save_questions(self, written: list[tuple[Asked | None, About | None]]) -> None:
        self._context.state.week.shown = replace(self._shown, questions=tuple(written))
        await self._save_note(asked=True)

    async def _save_note(self, *, asked: bool = False) -> None:
        """Saves what is shown about the week: its questions where they were ``asked``."""
        context, name, shown = self._context, self._context.state.week.name, self._shown
        said: dict[str, object] = {"all_activity_logged": shown.all_activity_logged}
        if asked:
            written = [Question(said=asks, about=about) for asks, about in shown.questions if asks]
            said = {"questions": tuple(written)}

        async def write() -> None:
            notes = {note.iso_week: note for note in await context.store.person.week_notes()}
            note = notes.get(name, WeekNote(iso_week=name))
            await context.store.person.save_week_note(note.model_copy(update=said))

        await context.keeping.keep(f"{'questions' if asked else 'activity'} of {name}", write)

    def choose_part(self, part: str, shown: bool) -> None:
        """Says whether a part goes on the page for the coach; see ``PageChoice``."""
        week = self._context.state.week
        week.choice = week.choice.model_copy(update={part: shown})
        week.handed_over = ""
        self._context.state.on_change()

    async def save_page(self) -> None:
        """Saves the page for the coach as a file."""
        state = self._context.state
        page = await self._page(state.week.choice)
        page = page.model_copy(update={"questions": self._questions_of_page()})
        name = self._context.file_name(f"week-{state.week.name}", "html")
        await self._context.files.save(name, page_html(page).encode())
        week = week_of(state.week.name)
        state.week.handed_over = say("The page was handed over for saving: {week}.", week=week)
        state.on_change()

    def _questions_of_page(self) -> tuple[Asked, ...]:
        """The questions as they are shown, without those about a part that is left out."""
        left_out = self._context.state.week.choice.left_out
        return tuple(asks for asks, about in self._shown.questions if asks and about not in left_out)
