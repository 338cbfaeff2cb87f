"""The times of a session to scale, as one ``svg`` element for paper: black on white, a pattern for each kind.

Lengths are millimetres. The patterns are those of the screen (``views/patterns.py``).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from companion.style.strip import spans
from engine.base.units import MS_PER_MIN, format_duration
from engine.session.segment import Segment, total_ms

WIDTH, HEIGHT = 186, 18
BAND_TOP, BAND_FOOT = 5, 12
MIDDLE = (BAND_TOP + BAND_FOOT) / 2
TICK, LONG_TICK = 1.4, 2.6
NUMBERED_MIN = 5
NARROWEST_LABEL, NARROWEST_NUMBER = 14, 4

_GRID = 'width="1.4" height="1.4" patternUnits="userSpaceOnUse"'
_LINE = '<path d="M0 0V1.4" stroke="#000" stroke-width=".5"/>'
_PATTERNS = (
    f'<defs><pattern id="warm_up" {_GRID} patternTransform="rotate(45)">{_LINE}</pattern>'
    f'<pattern id="cool_down" {_GRID} patternTransform="rotate(-45)">{_LINE}</pattern>'
    f'<pattern id="practice" {_GRID}><circle cx=".7" cy=".7" r=".35"/></pattern></defs>'
)
KEY = (
    ("warm_up", "warm-up"),
    ("practice", "practice"),
    ("work", "work"),
    ("side_change", "change of sides"),
    ("rest", "rest"),
    ("cool_down", "cool-down"),
)


def ruler(segments: tuple[Segment, ...], words: str) -> str:
    """The band of the session, the names of its stretches above, a tick a minute below; ``words`` say it to a
    screen reader and have to be safe for an attribute."""
    scale = WIDTH / total_ms(segments)
    drawn = spans(segments)
    changes_last = sorted(drawn, key=lambda span: span[2] == "side_change")
    shapes = [
        _PATTERNS,
        *(shape for start, end, kind, _ in changes_last for shape in _kind(kind, start, end, scale)),
        *_labels(drawn, scale),
        *_ticks(total_ms(segments), scale),
    ]
    return (
        f'<svg class="ruler" viewBox="-1 0 {WIDTH + 2} {HEIGHT}" role="img" aria-label="{words}">'
        + "\n".join(shapes)
        + "</svg>"
    )


def _kind(kind: str, start_ms: int, end_ms: int, scale: float) -> list[str]:
    left, right = start_ms * scale, end_ms * scale
    match kind:
        case "work":
            return [_box(left, right, "#000")]
        case "side_change":
            middle, half = (left + right) / 2, max(0.9, (right - left) / 2)
            return [
                f'<path d="M{middle - half:.2f} {edge}H{middle + half:.2f}L{middle:.2f} {MIDDLE}Z"'
                ' fill="#000" stroke="#fff" stroke-width=".3"/>'
                for edge in (BAND_TOP, BAND_FOOT)
            ]
        case "rest":
            return [_line(left, right, y) for y in (BAND_TOP, BAND_FOOT)]
        case "get_ready" | "transition":
            return [_line(left, right, MIDDLE)]
        case _:
            return [_box(left, right, f"url(#{kind})")]


def _box(left: float, right: float, fill: str) -> str:
    size = f'width="{right - left:.2f}" height="{BAND_FOOT - BAND_TOP}"'
    return f'<rect x="{left:.2f}" y="{BAND_TOP}" {size} fill="{fill}" stroke="#000" stroke-width=".25"/>'


def _line(left: float, right: float, y: float) -> str:
    return f'<path d="M{left:.2f} {y}H{right:.2f}" stroke="#000" stroke-width=".4"/>'


def _labels(drawn: Iterable[tuple[int, int, str, str]], scale: float) -> Iterator[str]:
    """The name of each stretch over a line from its beginning to its end."""
    for name, members in groupby(drawn, key=lambda span: span[3]):
        held = list(members)
        left, right = held[0][0] * scale, held[-1][1] * scale
        if name:
            yield _line(left + 0.3, right - 0.3, BAND_TOP - 1)
            shown = name if right - left >= NARROWEST_LABEL else name.rpartition(" ")[2]
            if right - left >= NARROWEST_NUMBER:
                yield _text(shown, left + 0.3, BAND_TOP - 1.7, "start")


def _ticks(length_ms: int, scale: float) -> Iterator[str]:
    yield _line(0, WIDTH, BAND_FOOT + 1)
    for minute in range(length_ms // MS_PER_MIN + 1):
        x = minute * MS_PER_MIN * scale
        long = minute % NUMBERED_MIN == 0
        foot = BAND_FOOT + 1 + (LONG_TICK if long else TICK)
        yield f'<path d="M{x:.2f} {BAND_FOOT + 1}V{foot}" stroke="#000" stroke-width=".3"/>'
        if minute and long and WIDTH - x > 12:
            yield _text(str(minute), x, HEIGHT - 0.2, "middle")
    yield _text(format_duration(length_ms), WIDTH, HEIGHT - 0.2, "end")


def _text(words: str, x: float, y: float, anchor: str) -> str:
    return f'<text x="{x:.2f}" y="{y}" text-anchor="{anchor}" font-size="2.7">{words}</text>'


def key(segments: tuple[Segment, ...]) -> str:
    """The patterns that occur, each with its word."""
    kinds = {segment.kind.value for segment in segments}
    return " ".join(f'<span class="key">{_sample(kind)} {word}</span>' for kind, word in KEY if kind in kinds)


def _sample(kind: str) -> str:
    """A box of 6 by 4 with the pattern, drawn as the ruler draws it."""
    shapes = "".join(_kind(kind, 0, 6, 1))
    return f'<svg viewBox="-.3 {BAND_TOP - 0.3} 6.6 {BAND_FOOT - BAND_TOP + 0.6}">{shapes}</svg>'
