"""The messages between Python and the script of the page (`companion/assets/cues.js`), one JSON object each.

Every message has a `kind`. What comes from the page is outside data: its size is limited before it is parsed,
its shape is checked here, and a message that does not fit is refused. Times are milliseconds; `clock_ms` and
`zero_ms` count on Python's monotonic clock, `page_ms` on the page's own, and the page learns the distance
between the two by pings.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from engine.live.cues import CueKind, TimedCue

MAX_FROM_PAGE_CHARS = 9_000
"""A link is the longest message."""
MAX_CUES = 4_000

PageTime = Annotated[float, Field(ge=0, le=1e13, allow_inf_nan=False)]
Lateness = Annotated[float, Field(ge=-1e9, le=1e9, allow_inf_nan=False)]


class Message(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


# From Python to the page


class Greet(Message):
    """Asks the page to say hello: Python may come up before or after the page."""

    kind: Literal["greet"] = "greet"


class Mix(Message):
    """Which channels a cue uses; the volume, 0 to 1, is for tones and voice."""

    kind: Literal["mix"] = "mix"
    haptic: bool = True
    tone: bool = True
    voice: bool = False
    volume: Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)] = 0.8


class Schedule(Message):
    """The coming cues; replaces everything pending. `zero_ms` is the clock's time at session time 0."""

    kind: Literal["schedule"] = "schedule"
    zero_ms: int
    cues: Annotated[tuple[TimedCue, ...], Field(max_length=MAX_CUES)]


class Cancel(Message):
    """Drops everything pending and silences what sounds or shakes."""

    kind: Literal["cancel"] = "cancel"


class Play(Message):
    kind: Literal["play"] = "play"
    cue: TimedCue


class Awake(Message):
    """Whether the screen is to stay on."""

    kind: Literal["awake"] = "awake"
    on: bool = False


class Report(Message):
    """Whether the page tells of each cue that it fired (for measuring; off by default)."""

    kind: Literal["report"] = "report"
    on: bool = False


class LinkTaken(Message):
    """The link has come and need not be sent again."""

    kind: Literal["link_taken"] = "link_taken"


class Pong(Message):
    kind: Literal["pong"] = "pong"
    page_ms: PageTime
    clock_ms: int


# From the page to Python


class Capabilities(Message):
    """What the page can do now; `audio` is locked until the first tap.

    Words are said by an English voice of the device, else from the prepared ones, which need audio.
    """

    vibrate: bool
    audio: Literal["none", "locked", "running"]
    voice: Literal["device", "prepared", "none"]
    wake_lock: bool


class CapabilitiesChanged(Message):
    """Sound was unlocked by a tap, or the voices of the device were read."""

    kind: Literal["capabilities"]
    capabilities: Capabilities


class Hello(Message):
    """Sent when the page connects or is greeted: it may be a fresh one that knows nothing yet."""

    kind: Literal["hello"]
    zone: Annotated[str, Field(max_length=64, pattern=r"^[A-Za-z0-9_+\-/]*$")]
    visible: bool
    capabilities: Capabilities


class Link(Message):
    """The fragment of a link that the page was opened with (engine/plan/link.py); sent until it is taken."""

    kind: Literal["link"]
    text: Annotated[str, Field(max_length=8_100, pattern=r"^(plan|adjustment)=")]


class Visibility(Message):
    kind: Literal["visibility"]
    visible: bool


class Ping(Message):
    kind: Literal["ping"]
    page_ms: PageTime


class WakeLock(Message):
    """Whether the screen is held on: the browser may refuse or take the lock back."""

    kind: Literal["wake_lock"]
    held: bool


class Fired(Message):
    """A cue has come due in the page. A dropped one was too late to be of use and did nothing."""

    kind: Literal["fired"]
    cue: CueKind
    at_ms: Annotated[int, Field(ge=0, le=10**9)]
    late_ms: Lateness
    vibrated: bool
    dropped: bool


class FilesDropped(Message):
    """Files were dropped on the window; whoever picks files next gets them."""

    kind: Literal["files_dropped"]
    count: Annotated[int, Field(ge=1, le=100_000)]


PageMessage = Hello | CapabilitiesChanged | Link | FilesDropped | Visibility | Ping | WakeLock | Fired

_from_page: TypeAdapter[PageMessage] = TypeAdapter(
    Annotated[PageMessage, Field(discriminator="kind")], config=ConfigDict(defer_build=True)
)


def parse_from_page(text: str) -> PageMessage | None:
    """The message, or None where the text is too long, not JSON, or not one of the messages above."""
    if len(text) > MAX_FROM_PAGE_CHARS:
        return None
    try:
        return _from_page.validate_json(text)
    except ValidationError:
        return None
