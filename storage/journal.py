"""Reads a running record back from its lines: the opening, then one event a line. Pure."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import NamedTuple

from pydantic import ValidationError

from engine.live.events import EVENTS, Event, RunningRecord
from storage.problem import Cause, StorageProblem


class SoundPart(NamedTuple):
    """The record in the sound part of a file, the size of that part, and whether damaged lines follow it."""

    record: RunningRecord
    size_bytes: int
    damaged_after: bool


def sound_part(content: bytes, name: str) -> SoundPart | None:
    """The sound part of a running record's file; None when the opening itself is damaged.

    A last line without its end counts as unwritten, not as damaged. Raises StorageProblem when a newer
    version wrote the file; ``name`` is for its message.
    """
    *lines, _torn = content.split(b"\n")
    if not lines:
        return None
    opening = _opening(lines[0], name)
    if opening is None:
        return None
    events = tuple(_sound_events(lines[1:]))
    sound = lines[: 1 + len(events)]
    return SoundPart(
        record=opening.model_copy(update={"events": events}),
        size_bytes=sum(len(line) + 1 for line in sound),
        damaged_after=len(sound) < len(lines),
    )


def _opening(line: bytes, name: str) -> RunningRecord | None:
    try:
        return RunningRecord.model_validate_json(line)
    except ValidationError:
        _refuse_newer(line, name)
        return None


def _refuse_newer(line: bytes, name: str) -> None:
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return
    ours = RunningRecord.model_fields["version"].default
    match found:
        case {"format": "running-record", "version": int(version)} if version > ours:
            raise StorageProblem(Cause.newer, name, str(version))


def _sound_events(lines: Iterable[bytes]) -> Iterable[Event]:
    """The events before the first that is damaged or whose number does not follow."""
    for expected, line in enumerate(lines, 1):
        try:
            event = EVENTS.validate_json(line)
        except ValidationError:
            return
        if event.seq != expected:
            return
        yield event
