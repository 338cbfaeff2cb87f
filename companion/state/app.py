"""What the application knows at one moment. Views read it; only actions change it."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field, replace

from companion.state.backup import Backup
from companion.state.desk import Desk
from companion.state.pages_received import PagesReceived
from companion.state.person import Body, Device, Home
from companion.state.plans import Plans
from companion.state.screen import Screen
from companion.state.session import Afterwards, Fit, Run
from companion.state.week import Week
from companion.words.language import chosen
from companion.words.words import Words
from engine.record.history import History
from engine.today.learned import Learned
from storage.models import Settings


@dataclass(frozen=True)
class Undo:
    """What was just done, in one sentence, and what takes it back."""

    said: str
    back: Callable[[], Awaitable[None]]


@dataclass
class State:
    """One part for each concern. ``said`` is the message of the last action, ``problem`` what went wrong.

    ``not_saved`` says that something shown here is not saved yet, and why.
    ``read_only`` is why this window may only read, empty for the window that may write. ``on_change`` has the
    screen drawn again.
    """

    read_only: str = ""
    on_change: Callable[[], None] = lambda: None
    device: Device = field(default_factory=Device)
    screen: Screen = Screen.setup
    said: str = ""
    problem: str = ""
    not_saved: str = ""
    undo: Undo | None = None
    home: Home = field(default_factory=Home)
    body: Body = field(default_factory=Body)
    learned: Learned = field(default_factory=lambda: Learned.from_history(History()))
    plans: Plans = field(default_factory=Plans)
    fit: Fit = field(default_factory=Fit)
    run: Run = field(default_factory=Run)
    afterwards: Afterwards = field(default_factory=Afterwards)
    week: Week = field(default_factory=Week)
    desk: Desk = field(default_factory=Desk)
    pages: PagesReceived = field(default_factory=PagesReceived)
    backup: Backup = field(default_factory=Backup)

    @property
    def words(self) -> Words:
        """What this window speaks: the language and hours chosen here, or else the device's, and the unit."""
        settings = self.device.settings
        language = chosen((settings.language,) if settings.language else self.device.languages)
        habits = language.locale.with_hours(settings.hours)
        return Words(self.home.unit, language._replace(locale=habits))

    @property
    def unsaved(self) -> str:
        """Why something that counts already is not saved yet, empty where all is."""
        return (self.run.live.not_saved if self.run.live else "") or self.not_saved

    @property
    def may_change_person(self) -> bool:
        """Whether somebody else could train now: on a shared device, once all of this person is saved."""
        return self.device.is_shared and self.home.profile is not None and not self.unsaved

    def forget(self) -> None:
        """Forgets everything about the person, as if the window had just been opened."""
        self.screen, self.undo = Screen.setup, None
        self.said = self.problem = self.not_saved = ""
        self.device = replace(self.device, settings=Settings(), nothing_felt=False, report="")
        self.home, self.body, self.learned = Home(), Body(), Learned.from_history(History())
        self.plans, self.fit, self.run = Plans(), Fit(), Run()
        self.afterwards, self.week = Afterwards(), Week()
        self.desk, self.pages, self.backup = Desk(), PagesReceived(), Backup()
