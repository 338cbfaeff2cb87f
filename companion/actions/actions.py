"""Everything a person can do, put together in one place: an object for each screen.

What the first screen needs is made at once. The other screens' objects are made, and their modules imported,
when they are first asked for, so that no start waits for them.
"""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING

from companion.actions.after.afterwards import Afterwards
from companion.actions.context import Context
from companion.actions.go import Go
from companion.actions.home.opening import Opening
from companion.actions.session.finish import Finish
from companion.actions.session.hurt import Hurt
from companion.actions.session.run import Run
from companion.actions.session.session import Session
from companion.actions.session.setup import Setup
from companion.actions.session.swap import Swap

if TYPE_CHECKING:
    from companion.actions.after.log import Log
    from companion.actions.after.record import Record
    from companion.actions.after.week import Week
    from companion.actions.desk.desk import Desk
    from companion.actions.desk.pages import Pages
    from companion.actions.home.adjustment import Adjustment
    from companion.actions.home.cues import Cues
    from companion.actions.home.differences import Differences
    from companion.actions.home.kit import Kit
    from companion.actions.home.plans import Plans
    from companion.actions.home.settings import Settings


class Actions:
    """An attribute for each screen, and ``go`` for the ways between them."""

    def __init__(self, context: Context) -> None:
        self._context = context
        run = self._run = Run(context)
        finish = Finish(context, run)
        self.hurt = Hurt(context, run, finish)
        self.session = Session(context, run, finish, Swap(run, finish), self.hurt)
        self.opening = Opening(context, run, self.session)
        self.setup = Setup(context, self.session)
        self.afterwards = Afterwards(context, self.setup)
        self.go = Go(self)

    @cached_property
    def log(self) -> Log:
        from companion.actions.after.log import Log

        return Log(self._context, self._run, self.session, self.week)

    @cached_property
    def week(self) -> Week:
        from companion.actions.after.week import Week

        return Week(self._context)

    @cached_property
    def record(self) -> Record:
        from companion.actions.after.record import Record

        return Record(self._context, self.week)

    @cached_property
    def kit(self) -> Kit:
        from companion.actions.home.kit import Kit

        return Kit(self._context)

    @cached_property
    def cues(self) -> Cues:
        from companion.actions.home.cues import Cues

        return Cues(self._context)

    @cached_property
    def settings(self) -> Settings:
        from companion.actions.home.backup import Backup
        from companion.actions.home.settings import Settings

        return Settings(self._context, Backup(self._context, self.opening))

    @cached_property
    def differences(self) -> Differences:
        from companion.actions.home.differences import Differences

        return Differences(self._context, self.settings)

    @cached_property
    def adjustment(self) -> Adjustment:
        from companion.actions.home.adjustment import Adjustment

        return Adjustment(self._context)

    @cached_property
    def plans(self) -> Plans:
        from companion.actions.home.plans import Plans

        return Plans(self._context, self.adjustment)

    @cached_property
    def desk(self) -> Desk:
        from companion.actions.desk.desk import Desk
        from companion.actions.desk.edits import DeskEdits
        from companion.actions.desk.hand_over import HandOver

        edit = DeskEdits(self._context)
        return Desk(self._context, edit, HandOver(self._context, edit, self.plans), self.plans)

    @cached_property
    def pages(self) -> Pages:
        from companion.actions.desk.answer import AnswerEdits
        from companion.actions.desk.pages import Pages

        return Pages(self._context, AnswerEdits(self._context))
