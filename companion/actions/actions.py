"""Everything a person can do, put together in one place: an object for each screen."""

from __future__ import annotations

from companion.actions.after.afterwards import Afterwards
from companion.actions.after.log import Log
from companion.actions.after.record import Record
from companion.actions.after.week import Week
from companion.actions.context import Context
from companion.actions.desk.answer import AnswerEdits
from companion.actions.desk.desk import Desk
from companion.actions.desk.edits import DeskEdits
from companion.actions.desk.hand_over import HandOver
from companion.actions.desk.pages import Pages
from companion.actions.go import Go
from companion.actions.home.adjustment import Adjustment
from companion.actions.home.backup import Backup
from companion.actions.home.cues import Cues
from companion.actions.home.kit import Kit
from companion.actions.home.opening import Opening
from companion.actions.home.plans import Plans
from companion.actions.home.settings import Settings
from companion.actions.session.finish import Finish
from companion.actions.session.hurt import Hurt
from companion.actions.session.run import Run
from companion.actions.session.session import Session
from companion.actions.session.setup import Setup
from companion.actions.session.swap import Swap


class Actions:
    """An attribute for each screen, and ``go`` for the ways between them."""

    def __init__(self, context: Context) -> None:
        run = Run(context)
        finish = Finish(context, run)
        self.hurt = Hurt(context, run, finish)
        self.session = Session(context, run, finish, Swap(run, finish), self.hurt)
        self.setup = Setup(context, self.session)
        self.week = Week(context)
        self.record = Record(context, self.week)
        self.log = Log(context, self.session, self.week)
        self.afterwards = Afterwards(context, self.setup)
        self.opening = Opening(context, run, self.session)
        self.kit = Kit(context)
        self.cues = Cues(context)
        self.settings = Settings(context, Backup(context, self.opening))
        self.adjustment = Adjustment(context)
        self.plans = Plans(context, self.adjustment)
        edit = DeskEdits(context)
        self.desk = Desk(context, edit, HandOver(context, edit, self.plans), self.plans)
        self.pages = Pages(context, AnswerEdits(context))
        self.go = Go(self)
