"""What is asked about a session after it is over."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from companion.actions.context import Context
from companion.actions.fitting import learn
from companion.actions.late import amend
from companion.actions.said_today import save_today, say_joint
from companion.actions.session.setup import Setup
from companion.state.screen import Screen
from companion.state.session import LateAnswers
from engine.movements.after_pain import JointRating
from engine.movements.movement import Joint, Side
from engine.record.amendment import AmendedField
from engine.record.follow_up import FollowUp


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

    def say_morning_pain(self, joint: Joint, side: Side | None, rating: int | None) -> None:
        """How a joint is on the morning after; None takes an answer back."""
        said = {**self._context.state.afterwards.answers.pains}
        said.pop((joint, side), None)
        self._said(pains=said if rating is None else {**said, (joint, side): rating})

    def _said(self, **changes: Any) -> None:
        afterwards = self._context.state.afterwards
        afterwards.answers = replace(afterwards.answers, **changes)
        self._context.state.on_change()

    async def save(self) -> None:
        """Saves the late answers as amendments; the record stays as it was. What hurts counts today."""
        context, state = self._context, self._context.state
        asked, said = state.afterwards.asked, state.afterwards.answers
        if asked is None:
            return
        for point, rating in said.pains.items():
            say_joint(context, point, rating)
        try:
            await self._amend(asked, said)
        finally:  # what was saved before a refusal counts, and what hurts in any case
            await save_today(context)
            learn(context, await context.store.sessions.history())
        state.afterwards.asked = None
        state.screen = Screen.setup
        await self._setup.rate_sore_muscles(said.soreness or state.body.sore_muscles)

    async def _amend(self, asked: FollowUp, said: LateAnswers) -> None:
        context = self._context
        answers = {
            AmendedField.effort: said.effort if asked.asks_effort else None,
            AmendedField.soreness: said.soreness,
        }
        for field, value in answers.items():
            if value is not None:
                await amend(context, asked.record_id, field, value)
        for (joint, side), rating in said.pains.items():
            told = JointRating(joint=joint, side=side, rating=rating).model_dump(mode="json")
            await amend(context, asked.record_id, AmendedField.next_morning_pain, told)
