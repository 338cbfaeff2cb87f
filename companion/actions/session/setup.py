"""Before a session: every change of minutes, kit, room or body fits the plan again."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from companion.actions.context import Context
from companion.actions.fitting import (
    asked_by_coach,
    choose_plan,
    find_easy_movement,
    fit_and_show,
    save_kit,
    toggle_absent,
)
from companion.actions.late import open_questions
from companion.actions.noting import is_noted, note_today
from companion.actions.said_today import (
    count_today,
    save_today,
    say_illness,
    say_joint,
    say_pressure,
    say_sore_muscles,
)
from companion.actions.session.session import Session
from companion.state.screen import Screen
from engine.base.message import Message
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.plan.adjustment import Adjustment
from engine.session.fitted import FittedSession
from engine.today.no_session import AboutPain
from storage.rules import BACKUP_LASTS, BACKUP_LASTS_AT_RISK, backup_is_due


class Setup:
    def __init__(self, context: Context, session: Session) -> None:
        self._context = context
        self.start = session.start

    async def show(self) -> None:
        """Goes to the session in progress, or to the choices for the next one."""
        state = self._context.state
        state.said = ""
        if state.fit.is_known and count_today(self._context):
            fit_and_show(self._context)
        self._context.show(Screen.running if state.run.live else Screen.setup)
        state.afterwards.asked = await open_questions(self._context)
        state.on_change()

    def backup_is_due(self) -> bool:
        """Whether to offer a backup."""
        state, now = self._context.state, self._context.now()
        lasts = BACKUP_LASTS_AT_RISK if state.device.is_cleared_soon else BACKUP_LASTS
        saved_at, started = self.kept_elsewhere_at(), state.learned.history.started
        return not state.read_only and backup_is_due(saved_at, started, now, lasts=lasts)

    def kept_elsewhere_at(self) -> datetime | None:
        """When the records were last saved as a backup or copied into the chosen folder."""
        settings = self._context.state.device.settings
        copied_at = settings.copies.written_at if settings.copies else None
        return max(filter(None, (settings.backed_up_at, copied_at)), default=None)

    async def save_backup(self) -> None:
        from companion.actions.home.backup import save_backup

        self._context.state.said = await save_backup(self._context)
        self._context.state.on_change()

    async def home_screen_read(self) -> None:
        """Says that the person has read why the page belongs on the Home Screen."""
        await self._context.set_device(home_screen_read=True)

    def set_minutes(self, minutes: int) -> None:
        self._context.state.fit.minutes = minutes
        fit_and_show(self._context)

    async def choose_plan(self, plan_id: str) -> None:
        """Makes a plan the one of the next sessions, until another one is chosen."""
        await choose_plan(self._context, plan_id)

    def pick(self, session: FittedSession | None) -> None:
        """Takes an alternative; None goes back to the best fit."""
        self._context.state.fit.picked = session
        self._context.state.on_change()

    def unfold(self, about: Message) -> None:
        """Shows the reasons that are about this, or folds them again."""
        fit = self._context.state.fit
        fit.unfolded = None if fit.unfolded == about else about
        self._context.state.on_change()

    async def choose_kit(self, kit: str) -> None:
        self._context.state.home.kit = Kit(kit)
        await save_kit(self._context)

    async def toggle_absent(self, equipment: Equipment) -> None:
        await toggle_absent(self._context, equipment)

    def point_at(self, joint: Joint, side: Side | None) -> None:
        """Says that a joint hurts today; no session starts until ``rate_sore`` says how much."""
        self._context.state.body.pointed_at = (joint, side)
        self._context.state.on_change()

    async def rate_sore(self, joint: Joint, side: Side | None, rating: int) -> None:
        """Says how much a joint hurts today, 0 to 10. Fits first, for somebody who starts at once."""
        say_joint(self._context, (joint, side), rating)
        fit_and_show(self._context)
        await save_today(self._context)

    async def rate_sore_muscles(self, rating: int) -> None:
        """Says how sore the muscles are today, 0 to 10. That means fewer rounds, never other movements."""
        say_sore_muscles(self._context, rating)
        fit_and_show(self._context)
        await save_today(self._context)

    async def tell_pressure(self, high: bool | None) -> None:
        """Says whether the blood pressure is too high for a session today; None takes the answer back."""
        say_pressure(self._context, high)
        fit_and_show(self._context)
        await save_today(self._context)

    async def tell_illness(self, ill: bool) -> None:
        """Says whether somebody has a fever, a chest infection or vomits, or that it is gone."""
        say_illness(self._context, ill)
        fit_and_show(self._context)
        await save_today(self._context)

    def watch(self) -> None:
        """Fits again once something that was said about today no longer counts."""
        state = self._context.state
        if state.screen is Screen.setup and state.fit.is_known and count_today(self._context):
            fit_and_show(self._context)

    async def answer_about_pain(self, about: AboutPain, yes: bool) -> None:
        """Answers a question asked because a joint hurts too much for a session; the pain is then noted."""
        fit = self._context.state.fit
        fit.answers = {**fit.answers, about: yes}
        find_easy_movement(self._context)
        self._context.state.on_change()
        for one in fit.no_session.joints if fit.no_session else ():
            await note_today(self._context, (one.joint, one.side))

    async def start_easy(self) -> None:
        """Starts the easy movement of a day without a session."""
        easy = self._context.state.fit.easy
        if easy is not None and easy.session is not None:
            await self.start(easy.session)

    async def note_joint(self, joint: Joint, side: Side | None) -> None:
        """Notes today's pain of a joint for the coach, without a session."""
        await note_today(self._context, (joint, side))
        fit_and_show(self._context)

    def is_noted(self, joint: Joint, side: Side | None) -> bool:
        """Whether today's pain of a joint is noted."""
        return is_noted(self._context, (joint, side))

    def asked_by_coach(self) -> tuple[Adjustment, ...]:
        """The coach's adjustments in force today."""
        return asked_by_coach(self._context)

    def today(self) -> date:
        """The local date."""
        return self._context.now().date()

    def done_by(self, session: FittedSession) -> datetime:
        """When a session that starts now would end, by the wall clock here."""
        return self._context.here(self._context.now() + timedelta(milliseconds=session.total_ms))
