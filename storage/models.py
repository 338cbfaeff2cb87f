"""What storage keeps besides the engine's documents."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field, JsonValue

from engine.base.model import Identifier, Model, Slug
from engine.base.periods import IsoWeek, Month
from engine.base.units import Grams
from engine.coach.question import MOST_QUESTIONS, Question
from engine.load.rack import Rack
from engine.movements.movement import Equipment, Kit
from engine.movements.tempo import Tempo

MOST_ADDRESS = 500
MOST_NAME = 255


class KitOwned(Model):
    """What a person has at home.

    ``dumbbells`` is the kit chosen for the next session, ``rack`` the weights there are, ``absent`` what the
    room lacks.
    """

    format: Literal["kit-owned"] = "kit-owned"
    version: Literal[1] = 1
    dumbbells: Kit = Kit.none
    rack: Rack = Rack()
    absent: tuple[Equipment, ...] = ()


class Theme(StrEnum):
    system = "system"
    light = "light"
    dark = "dark"


class CopiesKept(Model):
    """The folder that copies go to: its name, when the last one was written, and the months that wait for it.

    Which folder it is, the browser keeps. ``others`` are the ids of other people who write there too.
    """

    folder: Annotated[str, Field(max_length=MOST_NAME)]
    written_at: AwareDatetime | None = None
    waiting: Annotated[tuple[Month, ...], Field(max_length=10_000)] = ()
    others: Annotated[tuple[Identifier, ...], Field(max_length=1_000)] = ()


class Settings(Model):
    """How this device gives cues and looks. It belongs to the device, not the person, and never leaves it.

    ``volume``, 0 to 1, is for tones and voice. ``plan_id`` is the plan chosen last. ``base_address`` is where
    links of the coach's desk lead; while it is empty, the desk offers only file and sheet. The last backup
    was saved at ``backed_up_at``. ``copies`` is None where no folder was chosen. ``home_screen_read`` says
    that the person has read why the page belongs on the Home Screen. ``language`` is empty where the device's
    own is followed, and ``hours``, those of the clock, where the language decides.
    """

    format: Literal["settings"] = "settings"
    version: Literal[1] = 1
    haptic: bool = True
    tone: bool = True
    voice: bool = False
    volume: Annotated[float, Field(ge=0, le=1)] = 0.75
    theme: Theme = Theme.system
    motion: bool = True
    plan_id: Slug | Literal[""] = ""
    base_address: Annotated[str, Field(max_length=MOST_ADDRESS)] = ""
    backed_up_at: AwareDatetime | None = None
    copies: CopiesKept | None = None
    home_screen_read: bool = False
    language: Annotated[str, Field(pattern=r"^([a-z]{2})?$")] = ""
    hours: Literal["", "24", "12"] = ""


class WeekNote(Model):
    """What the person said about one ISO week.

    ``all_activity_logged`` says that other sport and work are logged too; how alike the days were is defined
    only then. ``questions`` None stands for those that the records propose.
    """

    format: Literal["week-note"] = "week-note"
    version: Literal[1] = 1
    iso_week: IsoWeek
    all_activity_logged: bool = False
    questions: Annotated[tuple[Question, ...], Field(max_length=MOST_QUESTIONS)] | None = None


class SavedDraft(Model):
    """A plan that is still being written, with any faults it has. The desk judges its content."""

    format: Literal["plan-draft"] = "plan-draft"
    version: Literal[1] = 1
    id: Slug
    content: dict[str, JsonValue]


class LastLoad(Model):
    """The load last lifted in one variant of a movement, with one kit, interval and tempo.

    ``interval_ms`` is the planned length of the set, or of one side where the movement has sides.
    """

    movement: Slug
    variant: Slug
    kit: Kit
    interval_ms: int
    tempo: Tempo | None
    load_g: Grams
    started_at: AwareDatetime
    record_id: str

    @property
    def key(self) -> tuple[str, str, Kit, int, str | None]:
        return self.movement, self.variant, self.kit, self.interval_ms, self.tempo


class DeviceName(Model):
    """What tells one device from the others that share a person's records."""

    format: Literal["device-name"] = "device-name"
    version: Literal[1] = 1
    id: str


class Removed(Model):
    """What stays of a plan or an adjustment that was removed, so that no merge brings it back."""

    format: Literal["removed"] = "removed"
    version: Literal[1] = 1
    revision: str


class Tombstone(Model):
    """What stays of an erased record: its id, so that a merge never brings it back."""

    format: Literal["tombstone"] = "tombstone"
    version: Literal[1] = 1
    record_id: str
    erased_at: AwareDatetime
