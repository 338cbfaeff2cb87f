"""The messages between Python and the page's script (companion/assets/cues.js), one JSON object each.

What comes from the page is outside data: a message that is too long or does not fit a model below is refused.
Times are milliseconds. ``clock_ms`` and ``zero_ms`` count on Python's monotonic clock, ``page_ms`` on the
page's own; the page learns the distance between the two by pings.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from engine.base.model import Model
from engine.live.cues import CueKind, Tone

MAX_FROM_PAGE_CHARS = 9_000  # the longest message is a link, but for what the folder for copies answers
MAX_FOLDER_CHARS = 1_000_000  # a part of a file, or a list of files
MAX_CUES = 4_000

RecordsKept = Literal["elsewhere", "unsaid", "for_good", "while_room", "seven_days", "home_screen"]
LanguageTag = Annotated[str, Field(max_length=35, pattern=r"^[A-Za-z0-9_\-]*$")]
PageTime = Annotated[float, Field(ge=0, le=1e13, allow_inf_nan=False)]
Lateness = Annotated[float, Field(ge=-1e9, le=1e9, allow_inf_nan=False)]


class SpokenCue(Model):
    """A cue at a moment of session time (see ``TimedCue``), with its words in the language of the page."""

    at_ms: int
    kind: CueKind
    pattern_ms: tuple[int, ...]
    tone: tuple[Tone, ...]
    words: str


class Message(BaseModel):
    """A message either way; ``kind`` tells which one it is."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


# From Python to the page


class Greet(Message):
    """Asks the page to say hello. Python may start before the page or after it."""

    kind: Literal["greet"] = "greet"


class Mix(Message):
    """Which channels a cue uses, how loud tones and voice are, 0 to 1, and the language of the words."""

    kind: Literal["mix"] = "mix"
    haptic: bool = True
    tone: bool = True
    voice: bool = False
    volume: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] = 0.8
    language: Annotated[str, Field(pattern=r"^[a-z]{2}$")] = "en"


class Schedule(Message):
    """The coming cues, which replace everything pending; ``zero_ms`` is the clock at session time 0."""

    kind: Literal["schedule"] = "schedule"
    zero_ms: int
    cues: Annotated[tuple[SpokenCue, ...], Field(max_length=MAX_CUES)]


class Cancel(Message):
    """Drops everything pending and silences what sounds or shakes."""

    kind: Literal["cancel"] = "cancel"


class Play(Message):
    """Fires a cue at once."""

    kind: Literal["play"] = "play"
    cue: SpokenCue


class Awake(Message):
    """Whether the page keeps the screen on."""

    kind: Literal["awake"] = "awake"
    on: bool = False


class Report(Message):
    """Whether the page reports each cue that it fired, for measuring."""

    kind: Literal["report"] = "report"
    on: bool = False


class LinkTaken(Message):
    """Tells the page that its link has arrived and need not be sent again."""

    kind: Literal["link_taken"] = "link_taken"


class Pong(Message):
    """The answer to a ping: its time on the page, and Python's clock now."""

    kind: Literal["pong"] = "pong"
    page_ms: PageTime
    clock_ms: int


class FolderAsked(Message):
    """Asks for something of the folder for copies; the answer carries the number ``ask``.

    ``look`` tells which it is, ``choose`` and ``allow`` ask the person, ``forget`` leaves the folder as it is
    and forgets it. ``note`` keeps a text beside it, which ``look`` gives back. ``whose`` tells apart who
    trains on this device, ``key`` this Python from any other program that could take its place.
    """

    kind: Literal["folder"] = "folder"
    ask: int
    key: str
    whose: str = ""
    do: Literal["look", "choose", "allow", "forget", "list", "note", "read", "write"]
    name: str = ""
    start: int = 0
    text: str = ""


# From the page to Python


class Capabilities(Message):
    """What the page can do now. Audio is locked until the first tap.

    An English voice of the device speaks the words. Without one recorded words are played, by audio.
    ``records`` is how long the browser keeps them: ``elsewhere`` where it does not keep them at all,
    ``unsaid`` until it has answered; ``home_screen`` is seven days without a visit, unless the page is put
    there.
    """

    vibrate: bool
    audio: Literal["none", "locked", "running"]
    voice: Literal["device", "prepared", "none"]
    wake_lock: bool
    records: RecordsKept = "elsewhere"


class CapabilitiesChanged(Message):
    """A tap has unlocked sound, or the browser has loaded the device's voices."""

    kind: Literal["capabilities"]
    capabilities: Capabilities


class Hello(Message):
    """Sent when the page connects or is greeted. It may be a new one that knows nothing yet."""

    kind: Literal["hello"]
    zone: Annotated[str, Field(max_length=64, pattern=r"^[A-Za-z0-9_+\-/]*$")]
    languages: Annotated[tuple[LanguageTag, ...], Field(max_length=8)] = ()
    visible: bool
    capabilities: Capabilities


class Link(Message):
    """The fragment of the link that opened the page (engine/plan/link.py), sent until it is taken."""

    kind: Literal["link"]
    text: Annotated[str, Field(max_length=8_100, pattern=r"^(plan|adjustment)=")]


class Visibility(Message):
    """The page has come into view or gone out of it."""

    kind: Literal["visibility"]
    visible: bool


class Ping(Message):
    """Asks for Python's clock."""

    kind: Literal["ping"]
    page_ms: PageTime


class WakeLock(Message):
    """Whether the screen is kept on. The browser may refuse, or end it later."""

    kind: Literal["wake_lock"]
    held: bool


class Fired(Message):
    """A cue has come due in the page. A dropped one was too late and did nothing."""

    kind: Literal["fired"]
    cue: CueKind
    at_ms: Annotated[int, Field(ge=0, le=10**9)]
    late_ms: Lateness
    vibrated: bool
    dropped: bool


class FilesDropped(Message):
    """Files were dropped on the window. The next call that picks files gets them."""

    kind: Literal["files_dropped"]
    count: Annotated[int, Field(ge=1, le=100_000)]


FileName = Annotated[str, Field(max_length=120)]
Stamp = Annotated[str, Field(max_length=60)]


class FolderOutcome(StrEnum):
    """What came of it. ``none``: the person chose none; ``no_tap``: the browser saw no tap just before;
    ``stranger``: the page began with another Python."""

    done = "done"
    none = "none"
    no_tap = "no_tap"
    lapsed = "lapsed"
    gone = "gone"
    full = "full"
    stranger = "stranger"
    failed = "failed"


class FolderAnswer(Message):
    """What came of a question about the folder for copies.

    ``offered`` tells whether this browser has such folders, ``allowed`` whether the page may write now.
    ``files`` are stamps by name; a ``part`` of a file is base64, and ``more`` follows. ``detail`` names a
    fault of the browser.
    """

    kind: Literal["folder"]
    ask: Annotated[int, Field(ge=0, le=10**9)]
    outcome: FolderOutcome
    offered: bool = False
    name: Annotated[str, Field(max_length=255)] = ""
    allowed: bool = False
    files: Annotated[dict[FileName, Stamp], Field(max_length=5_000)] = {}
    note: Annotated[str, Field(max_length=MAX_FOLDER_CHARS)] = ""
    stamp: Stamp = ""
    part: Annotated[str, Field(max_length=MAX_FOLDER_CHARS, pattern=r"^[A-Za-z0-9+/]*={0,2}$")] = ""
    more: bool = False
    detail: Annotated[str, Field(max_length=80)] = ""


PageMessage = (
    Hello | CapabilitiesChanged | Link | FilesDropped | Visibility | Ping | WakeLock | Fired | FolderAnswer
)

_FOLDER = '{"kind":"folder",'
_from_page: TypeAdapter[PageMessage] = TypeAdapter(
    Annotated[PageMessage, Field(discriminator="kind")], config=ConfigDict(defer_build=True)
)


def parse_from_page(text: str) -> PageMessage | None:
    """The message in a text; None where it is too long or not one of the messages from the page."""
    most = MAX_FOLDER_CHARS if text.startswith(_FOLDER) else MAX_FROM_PAGE_CHARS
    if len(text) > most:
        return None
    try:
        return _from_page.validate_json(text)
    except ValidationError:
        return None
