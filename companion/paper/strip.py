"""The strip of time on paper: one ``svg`` element, black on white. Lengths are millimetres."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from companion.style.kinds import KIND_PATTERN, KIND_WORD, PRINTED_KINDS, Pattern
from companion.style.strip import Strip, ticks
from companion.words.saying import say
from engine.base.units import format_duration

WIDTH, HEIGHT = 186, 18
BAND_TOP, BAND_FOOT = 5, 12
MIDDLE = (BAND_TOP + BAND_FOOT) / 2
TICK, LONG_TICK = 1.4, 2.6
NARROWEST_LABEL, NARROWEST_NUMBER = 14, 4
LAST_NUMBER = 12
"""A number this close to the end would touch the length, which is printed there."""

_GRID = 'width="1.4" height="1.4" patternUnits="userSpaceOnUse"'
_LINE = '<path d="M0 0V1.4" stroke="#000" stroke-width=".5"/>'
_DEFINITIONS = (
    f'<defs><pattern id="rising" {_GRID} patternTransform="rotate(45)">{_LINE}</pattern>'
    f'<pattern id="falling" {_GRID} patternTransform="rotate(-45)">{_LINE}</pattern>'
    f'<pattern id="dots" {_GRID}><circle cx=".7" cy=".7" r=".35"/></pattern></defs>'
)


def printed_strip(strip: Strip, words: str) -> str:
    """The band, the label of each part above it, a tick a minute below. Screen readers get ``words``."""
    scale = WIDTH / strip.length_ms
    shapes = [_DEFINITIONS, *_band(strip, scale), *_labels(strip, scale), *_ticks(strip.length_ms, scale)]
    return (
        f'<svg class="strip" viewBox="-1 0 {WIDTH + 2} {HEIGHT}" role="img" aria-label="{escape(words)}">'
        + "\n".join(shapes)
        + "</svg>"
    )


def printed_key(strip: Strip) -> str:
    """The patterns that occur, each with its word. Ways between blocks are left out."""
    occurring = set(strip.kinds)
    return " ".join(
        f'<span class="key">{_sample(KIND_PATTERN[kind])} {escape(say(KIND_WORD[kind]))}</span>'
        for kind in PRINTED_KINDS
        if kind in occurring and KIND_PATTERN[kind] is not Pattern.thread
    )


def _sample(pattern: Pattern) -> str:
    """A box of 6 by 4 with the pattern, drawn as in the band."""
    shapes = "".join(_filled(pattern, 0, 6))
    return f'<svg viewBox="-.3 {BAND_TOP - 0.3} 6.6 {BAND_FOOT - BAND_TOP + 0.6}">{shapes}</svg>'


def _band(strip: Strip, scale: float) -> Iterator[str]:
    for start_ms, end_ms, kind, *_ in strip.changes_last:
        yield from _filled(KIND_PATTERN[kind], start_ms * scale, end_ms * scale)


def _filled(pattern: Pattern, left: float, right: float) -> list[str]:
    match pattern:
        case Pattern.solid:
            return [_box(left, right, "#000")]
        case Pattern.wedges:
            middle, half = (left + right) / 2, max(0.9, (right - left) / 2)
            return [
                f'<path d="M{middle - half:.2f} {edge}H{middle + half:.2f}L{middle:.2f} {MIDDLE}Z"'
                ' fill="#000" stroke="#fff" stroke-width=".3"/>'
                for edge in (BAND_TOP, BAND_FOOT)
            ]
        case Pattern.blank:
            return [_line(left, right, y) for y in (BAND_TOP, BAND_FOOT)]
        case Pattern.thread:
            return [_line(left, right, MIDDLE)]
        case Pattern.rising | Pattern.falling | Pattern.dots:
            return [_box(left, right, f"url(#{pattern})")]


def _box(left: float, right: float, fill: str) -> str:
    size = f'width="{right - left:.2f}" height="{BAND_FOOT - BAND_TOP}"'
    return f'<rect x="{left:.2f}" y="{BAND_TOP}" {size} fill="{fill}" stroke="#000" stroke-width=".25"/>'


def _line(left: float, right: float, y: float) -> str:
    return f'<path d="M{left:.2f} {y}H{right:.2f}" stroke="#000" stroke-width=".4"/>'


def _labels(strip: Strip, scale: float) -> Iterator[str]:
    """A line over each labelled part, with its label or, where that is too wide, its number."""
    for part in strip.parts:
        if not part.label:
            continue
        left, right = part.start_ms * scale, part.end_ms * scale
        yield _line(left + 0.3, right - 0.3, BAND_TOP - 1)
        shown = part.label if right - left >= NARROWEST_LABEL else str(part.round or part.label)
        if right - left >= NARROWEST_NUMBER:
            yield _text(shown, left + 0.3, BAND_TOP - 1.7, "start")


def _ticks(length_ms: int, scale: float) -> Iterator[str]:
    yield _line(0, WIDTH, BAND_FOOT + 1)
    for tick in ticks(length_ms):
        x = tick.at_ms * scale
        foot = BAND_FOOT + 1 + (LONG_TICK if tick.is_long else TICK)
        yield f'<path d="M{x:.2f} {BAND_FOOT + 1}V{foot}" stroke="#000" stroke-width=".3"/>'
        if tick.minute and tick.is_long and WIDTH - x > LAST_NUMBER:
            yield _text(str(tick.minute), x, HEIGHT - 0.2, "middle")
    yield _text(format_duration(length_ms), WIDTH, HEIGHT - 0.2, "end")


def _text(words: str, x: float, y: float, anchor: str) -> str:
    return f'<text x="{x:.2f}" y="{y}" text-anchor="{anchor}" font-size="2.7">{escape(words)}</text>'
