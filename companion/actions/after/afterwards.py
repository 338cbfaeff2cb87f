"""What is asked about a session after it is over."""

from __future__ import annotations

from dataclasses import replace

from companion.actions.context import Context
from companion.actions.fitting import learn
from companion.actions.late import amend
from companion.actions.session.setup import Setup
from companion.state.screen import Screen
from companion.state.session import LateAnswers
from engine.record.amendment import AmendedField


class Afterwards:
    def __init__(self, context: Context, setup: Setup) -> None:
        self._context, self._setup = context, setup

    async def show(self) -> None:
        """Shows the questions that the latest session has left open."""
        afterwards = self._context.state.afterwards
        if afterwards.asked is not None:
            afterwards.answers = LateAnswers(effort=afterwards.asked.effort)
            self._context.show(Screen.afterwards)

    def say_effort(self, effort: int | None) -> None:
        self._said(effort=effort)

    def say_soreness(self, rating: int | None) -> None:
        self._said(soreness=rating)

    def say_morning_pain(self, rating: int | None) -> None:
        self._said(pain=rating)

    def _said(self, **changes: int | None) -> None:
        afterwards = self._context.state.afterwards
        afterwards.answers = replace(afterwards.answers, **changes)
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves the late answers as amendments; the record stays as it was. Soreness counts today."""
        context, state = self._context, self._context.state
        asked, said = state.afterwards.asked, state.afterwards.answers
        if asked is None:
            return
        answers = {
            AmendedField.effort: said.effort if asked.asks_effort else None,
            AmendedField.soreness: said.soreness,
            AmendedField.next_morning_pain: said.pain,
        }
        for field, value in answers.items():
            if value is not None:
                await amend(context, asked.record_id, field, value)
        learn(context, await context.store.sessions.history())
        state.afterwards.asked = None
        state.screen = Screen.setup
        await self._setup.rate_sore_muscles(said.soreness or state.body.sore_muscles)
