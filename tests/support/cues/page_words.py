"""A page's hello, and cues to hand over to it."""

from __future__ import annotations

import json

from companion.services.cue_player import spoken
from companion.services.page_messages import Hello, SpokenCue, parse_from_page
from companion.words.words import ENGLISH
from engine.live.cues import CueKind, cue
from engine.live.spoken import WORK


def hello(*, visible: bool = True) -> Hello:
    said = parse_from_page(hello_text(visible=visible))
    assert isinstance(said, Hello)
    return said


def hello_text(*, visible: bool = True, zone: str = "Europe/Lisbon") -> str:
    can = {"vibrate": True, "audio": "locked", "voice": "device", "wake_lock": True}
    return json.dumps({"kind": "hello", "zone": zone, "visible": visible, "capabilities": can})


def work_at(*times_ms: int) -> tuple[SpokenCue, ...]:
    return tuple(spoken(cue(CueKind.work, at_ms, WORK), ENGLISH) for at_ms in times_ms)
