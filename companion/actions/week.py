"""The week beside the four before it, its questions, its page for the coach, and the records in it."""

from __future__ import annotations

from dataclasses import replace

from companion.actions.setup import Fitting
from companion.paper.coach_page import page_html
from companion.state.app import Screen
from companion.state.week import Opened, WeekShown
from engine.base.model import LONGEST_SENTENCE
from engine.base.periods import days_of, iso_week, week_before, weeks_until
from engine.coach.page import CoachPage, PageAsked
from engine.coach.questions import About, Question, week_questions
from engine.coach.sentences import week as week_words
from engine.coach.session_report import PageChoice
from engine.load.lighter_week import lighter_week
from engine.movements.after_pain import AfterPain, after_pain
from engine.record.record import AmendedField, SetAnswer, SetCorrection, amended
from storage.exchange.coach_page import weeks_page
from storage.models import WeekNote

WEEKS_SHOWN = 5
"""A week with the four before it."""


class LookingBack(Fitting):
    async def show_week(self, week: str | None = None) -> None:
        self.state.week = week or self.state.week
        notes = {note.iso_week: note for note in await self.store.person.week_notes()}
        note = notes.get(self.state.week, WeekNote(iso_week=self.state.week))
        page = await self._page(PageChoice())
        self.state.week_shown = self._with_proposals(page, note)
        self._show(Screen.week)

    async def step_week(self, weeks: int) -> None:
        self.state.said = ""
        await self.show_week(week_before(self.state.week, -weeks))

    async def _page(self, choice: PageChoice) -> CoachPage:
        asked = PageAsked(weeks=weeks_until(self.state.week, WEEKS_SHOWN), choice=choice)
        return await weeks_page(self.store, self._profile(), asked, made_at=self.now().replace(microsecond=0))

    def _with_proposals(self, page: CoachPage, note: WeekNote) -> WeekShown:
        """What is asked about a week, and for the last one what is proposed for the next session."""
        sunday, today = days_of(self.state.week)[-1], self.now().date()
        is_last = not any(day > sunday for day in self._history.days)
        held = self._holds_by_the_end()
        exposures = [one for one in self._history.exposures if one.local_date <= sunday]
        sessions = [one for one in page.sessions if iso_week(one.local_date) == self.state.week]
        asked = note.questions
        if asked is None:
            asked = week_questions(sessions, exposures, held, today=min(today, sunday))
        session = self.state.session
        return WeekShown(
            page=page,
            all_activity_logged=note.all_activity_logged,
            questions=tuple((one.text, one.about) for one in asked),
            after_pain=held,
            loads=self.proposed(session) if session and is_last and self._history.days else (),
            lighter=lighter_week(exposures, today) if is_last else None,
        )

    def _holds_by_the_end(self) -> tuple[AfterPain, ...]:
        """The holds as they stood at the end of the week, by what is still known."""
        sunday = days_of(self.state.week)[-1]
        flagged = (one for one in self._history.flagged if one.local_date <= sunday)
        return after_pain(flagged, (one for one in self._history.tried if one.at.date() <= sunday))

    def _week_shown(self) -> WeekShown:
        if self.state.week_shown is None:
            raise LookupError("No week is shown.")
        return self.state.week_shown

    # What the person says about the week

    async def say_all_activity_logged(self, said: bool) -> None:
        self.state.week_shown = replace(self._week_shown(), all_activity_logged=said)
        await self._keep_week_note()
        await self.show_week()

    async def write_question(self, number: int, text: str) -> None:
        """Kept as it is written; the field shows it already."""
        written = list(self._week_shown().questions)
        written[number] = (text[:LONGEST_SENTENCE], written[number][1])
        await self._keep_questions(written)

    async def add_question(self) -> None:
        await self._keep_questions([*self._week_shown().questions, ("", None)])
        self.state.on_change()

    async def drop_question(self, number: int) -> None:
        written = list(self._week_shown().questions)
        del written[number]
        await self._keep_questions(written)
        self.state.on_change()

    async def _keep_questions(self, written: list[tuple[str, About | None]]) -> None:
        self.state.week_shown = replace(self._week_shown(), questions=tuple(written))
        await self._keep_week_note(asked=True)

    async def _keep_week_note(self, *, asked: bool = False) -> None:
        """Keeps what is shown now, so that the last write is the latest word."""
        async with self._writing:
            shown = self._week_shown()
            known = {note.iso_week: note.questions for note in await self.store.person.week_notes()}
            questions = known.get(self.state.week)
            if asked:
                questions = tuple(Question(text=t, about=about) for t, about in shown.questions if t.strip())
            note = WeekNote(
                iso_week=self.state.week,
                all_activity_logged=shown.all_activity_logged,
                questions=questions,
            )
            await self.store.person.save_week_note(note)

    # The page for the coach

    def choose_part(self, part: str, shown: bool) -> None:
        """What goes on the page; see PageChoice."""
        self.state.choice = self.state.choice.model_copy(update={part: shown})
        self.state.on_change()

    async def save_page(self) -> None:
        page = await self._page(self.state.choice)
        page = page.model_copy(update={"questions": self._questions_of_page()})
        await self.files.save(f"week-{self.state.week}.html", page_html(page).encode())
        self.state.said = f"The page of {week_words(self.state.week).lower()} was handed over for saving."
        self.state.on_change()

    def _questions_of_page(self) -> tuple[str, ...]:
        """As they are shown, kept or proposed, less what is about a part that is kept back."""
        left_out = self.state.choice.left_out
        shown = self._week_shown().questions
        return tuple(text for text, about in shown if text.strip() and about not in left_out)

    # A record, opened

    async def open_record(self, record_id: str) -> None:
        record = await self.store.sessions.record(record_id)
        if record is None:
            raise LookupError("This session is not kept any more.")
        amendments = await self.store.sessions.amendments(record_id)
        now = amended(record, amendments)
        self.state.opened = Opened(record, now, amendments, {}, now.effort, now.note)
        self._show(Screen.record)

    def _opened(self) -> Opened:
        if self.state.opened is None:
            raise LookupError("No session is open.")
        return self.state.opened

    def correct_effort(self, effort: float | None) -> None:
        self.state.opened = replace(self._opened(), effort=effort)
        self.state.on_change()

    def correct_note(self, note: str) -> None:
        self.state.opened = replace(self._opened(), note=note[:2_000])

    def correct_set(self, key: str, **changes: object) -> None:
        opened = self._opened()
        done = next(one for one in opened.corrected.sets if one.key == key)
        now = opened.sets.get(key, done.answer)
        answer = SetAnswer.model_validate(now.model_dump() | changes)
        self.state.opened = replace(opened, sets={**opened.sets, key: answer})
        self.state.on_change()

    async def keep_corrections(self) -> None:
        """What was changed, as amendments: the record stays as it was saved."""
        opened = self._opened()
        now, record_id = opened.corrected, opened.saved.id
        said = {done.key: done.answer for done in now.sets}
        for key, answer in opened.sets.items():
            if answer != said[key]:
                value = SetCorrection(key=key, answer=answer).model_dump(mode="json")
                await self._amend(record_id, AmendedField.set, value)
        if opened.effort != now.effort:
            await self._amend(record_id, AmendedField.effort, opened.effort)
        if opened.note != now.note:
            await self._amend(record_id, AmendedField.note, opened.note)
        self._learn(await self.store.sessions.history())
        self.refit()
        await self.close_record()

    async def close_record(self) -> None:
        self.state.opened = None
        await self.show_week()
