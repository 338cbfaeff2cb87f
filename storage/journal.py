"""The lines of a running record, and what is read back from them: the opening, then one event a line. Pure.

A line is JSON, a tab and the CRC-32 of the JSON (zlib, as in gzip: RFC 1952, 8) in eight hexadecimal digits.
"""

from __future__ import annotations

import json
import re
import zlib
from collections.abc import Iterable
from typing import NamedTuple

from pydantic import ValidationError

from engine.live.events import EVENTS, Event, RunningRecord
from storage.problem import Cause, StorageProblem

_LINE = re.compile(rb"(.*)\t([0-9a-f]{8})", re.DOTALL)


class SoundPart(NamedTuple):
    """The record in the sound part of a file, the size of that part, and whether damaged lines follow it."""

    record: RunningRecord
    size_bytes: int
    damaged_after: bool


def line_of(document: bytes) -> bytes:
    """The line of an opening or an event, without its end."""
    return b"%b\t%08x" % (document, zlib.crc32(document))


def _document_in(line: bytes) -> bytes | None:
    """The JSON in a line; None where the line is not as it was written."""
    found = _LINE.fullmatch(line)
    return found[1] if found and int(found[2], 16) == zlib.crc32(found[1]) else None


def sound_part(content: bytes, name: str) -> SoundPart | None:
    """The sound part of a running record's file; None when the opening itself is damaged.

    A last line without its end counts as unwritten, not as damaged. Raises StorageProblem when a newer
    version wrote the file; ``name`` is for its message.
    """
    *lines, torn = content.split(b"\n")
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
        damaged_after=len(sound) < len(lines) or _document_in(torn[:-1]) is not None,
    )


def _opening(line: bytes, name: str) -> RunningRecord | None:
    document = _document_in(line)
    if document is None:
        if not _LINE.fullmatch(line):  # a newer version may end its lines in another way
            _refuse_newer(line, name)
        return None
    try:
        return RunningRecord.model_validate_json(document)
    except ValidationError:
        _refuse_newer(document, name)
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
        document = _document_in(line)
        if document is None:
            return
        try:
            event = EVENTS.validate_json(document)
        except ValidationError:
            return
        if event.seq != expected:
            return
        yield event
