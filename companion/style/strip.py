"""The segments of a session as stretches of a strip to scale."""

from __future__ import annotations

from companion.style.text import KIND_WORD
from engine.session.segment import Kind, Segment


def spans(segments: tuple[Segment, ...]) -> list[tuple[int, int, str, str]]:
    """Segments for the time strip: start, end, kind, and the name of its stretch."""
    start_ms, found = 0, []
    for segment in segments:
        end_ms = start_ms + segment.planned_ms
        found.append((start_ms, end_ms, segment.kind.value, _stretch(segment)))
        start_ms = end_ms
    return found


def _stretch(segment: Segment) -> str:
    if segment.kind in (Kind.transition, Kind.get_ready):
        return ""
    if segment.kind in (Kind.warm_up, Kind.practice, Kind.cool_down):
        return KIND_WORD[segment.kind]
    return f"Round {segment.round}" if segment.round else "Practice"
