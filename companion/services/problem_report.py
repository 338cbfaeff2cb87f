"""The text of a problem report. It is English in every language, for whoever looks after the app."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from companion.services.about import VERSION, engine_words
from companion.services.faults import Fault
from companion.services.page_messages import Capabilities
from storage.models import Settings


def device_words(able: Capabilities | None) -> str:
    """What a device can do, in one line."""
    if able is None:
        return "the page has not said what it can do"
    can = {True: "yes", False: "no"}
    return (
        f"vibration {can[able.vibrate]}, sound {able.audio}, voice {able.voice}, screen kept on "
        f"{can[able.wake_lock]}, records {able.records.replace('_', ' ')}"
    )


def report_text(
    made_at: datetime, client: str, able: str, settings: Settings, faults: Iterable[Fault]
) -> str:
    """The report, one fact a line. It holds no record, name, note, plan or address."""
    on = {True: "on", False: "off"}
    channels = f"vibration {on[settings.haptic]}, tones {on[settings.tone]}, voice {on[settings.voice]}"
    looks = f"colours {settings.theme.value}, moving shapes {on[settings.motion]}"
    lines = [
        "Problem report",
        f"Made {made_at.isoformat(sep=' ', timespec='minutes')}",
        f"Version {VERSION}, {engine_words()}",
        f"Shown by {client or 'a window that does not name itself'}",
        f"Device: {able}",
        f"Cues: {channels}, volume {settings.volume:.0%}",
        f"Looks: {looks}",
        "",
        *(_fault_lines(faults) or ["Nothing has failed since the app was opened."]),
    ]
    return "\n".join(lines) + "\n"


def _fault_lines(faults: Iterable[Fault]) -> list[str]:
    lines: list[str] = []
    for one in reversed(tuple(faults)):
        lines.append(f"{one.kind}, {one.at.isoformat(sep=' ', timespec='seconds')}")
        lines += (f"  {place}" for place in reversed(one.places))
    return lines
