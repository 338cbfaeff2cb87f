"""The strip of time on a screen. Widths are to scale; height means nothing."""

import flet as ft
import flet.canvas as cv

from companion.style.strip import Part, Strip, ticks
from companion.views.controls.parts import polygon
from companion.views.controls.text_scale import use_text_scale
from companion.views.controls.theme import Role, Space
from companion.views.drawings.paint import line_paint, text_at
from companion.views.drawings.patterns import Box, kind_key, kind_shapes
from companion.words.saying import say, words_here
from engine.base.printable import printable_line
from engine.base.units import MS_PER_MIN
from engine.session.segment import Kind

BAND_PX = 44
MARKER_ROW_PX = 14
TICK_PX, LONG_TICK_PX = 6, 13
TEXT_PX = 14
STRONG_EM, DIGIT_EM = 0.6, 0.6  # mean advance of a letter and of a figure, to see what fits
LARGEST_TEXT_SCALE = 2.0


@ft.component
def time_strip(
    strip: Strip,
    *,
    now_ms: int | None = None,
    start_width: float = 380,
) -> ft.Control:
    """The strip, as wide as its place: it measures itself and draws again when width or text scale change."""
    width, set_width = ft.use_state(start_width)
    scale, probe = use_text_scale()
    shapes, height = strip_shapes(strip, width, now_ms=now_ms, text_scale=min(scale, LARGEST_TEXT_SCALE))
    drawing = cv.Canvas(
        shapes=shapes,
        height=height,
        width=float("inf"),
        on_resize=lambda event: set_width(event.width),
        resize_interval=100,
    )
    return ft.Semantics(
        identifier="time-strip",
        label=printable_line(strip_words(strip, now_ms=now_ms)),
        image=True,
        container=True,
        exclude_semantics=True,
        content=ft.Stack([probe, drawing]),
    )


def strip_key(strip: Strip) -> ft.Control:
    """A key to the patterns that occur, in order of first use; get ready shares the entry of transitions."""
    kinds = list(strip.kinds)
    if Kind.transition in kinds and Kind.get_ready in kinds:
        kinds.remove(Kind.get_ready)
    return ft.Row([kind_key(kind) for kind in kinds], wrap=True, spacing=Space.M, run_spacing=Space.S)


def strip_words(strip: Strip, *, now_ms: int | None = None) -> str:
    """The strip for a screen reader: each labelled part with its length, then the present moment."""
    if not strip.stretches:
        return say("No time to show.")
    parts = [
        say("{part}: {length}", part=part.label, length=_length(part.length_ms))
        for part in strip.parts
        if part.label
    ]
    between_ms = sum(part.length_ms for part in strip.parts if not part.label)
    parts += [say("in between: {length}", length=_length(between_ms))] if between_ms else []
    whole = _length(strip.length_ms)
    told = say("The session lasts {length}.", length=whole)
    if parts:
        listed = words_here().language.locale.listed(parts)
        told = say("The session lasts {length}. {parts}.", length=whole, parts=listed)
    return told if now_ms is None else f"{told} {say('Now at {moment}.', moment=_length(now_ms))}"


def _length(length_ms: int) -> str:
    minutes, seconds = divmod(round(length_ms / 1000), 60)
    if not minutes:
        return say("{seconds} s", seconds=seconds)
    if not seconds:
        return say("{minutes} min", minutes=minutes)
    return say("{minutes} min {seconds} s", minutes=minutes, seconds=seconds)


def strip_shapes(
    strip: Strip, width: float, *, now_ms: int | None = None, text_scale: float = 1.0
) -> tuple[list[cv.Shape], float]:
    """The whole strip at ``width`` px as canvas shapes, and the height they take in px."""
    if strip.length_ms <= 0 or width <= 0:
        return [], 0
    at = _Layout(strip.length_ms, width, text_scale=text_scale, marker=now_ms is not None)
    shapes = [*_labels(strip, at), *_band(strip, at), *_ticks(strip.length_ms, at)]
    return shapes + (_marker(now_ms, at) if now_ms is not None else []), at.height


class _Layout:
    """Where the rows of the strip lie, in px; ``marker`` adds a row for the marker of the present."""

    def __init__(self, length_ms: int, width: float, *, text_scale: float, marker: bool) -> None:
        self.width = width
        self.px_per_ms = width / length_ms
        self.text_px = TEXT_PX * text_scale
        self.label_foot = self.text_px * 1.2 + 2
        self.band_top = self.label_foot + 5 + (MARKER_ROW_PX if marker else 0)
        self.tick_top = self.band_top + BAND_PX + 5
        self.number_top = self.tick_top + LONG_TICK_PX + 2
        self.height = self.number_top + self.text_px * 1.2 + 2


def _labels(strip: Strip, at: _Layout) -> list[cv.Shape]:
    """A line over each labelled part; its label where it fits before the next."""
    shapes: list[cv.Shape] = []
    parts = [part for part in strip.parts if part.label]
    starts = [part.start_ms * at.px_per_ms for part in parts] + [at.width + 4]
    for part, left, following in zip(parts, starts, starts[1:], strict=False):
        right = max(left + 2, part.end_ms * at.px_per_ms - 2)
        shapes.append(cv.Line(left, at.label_foot, right, at.label_foot, paint=line_paint(Role.INK)))
        said = _fitting(part, (following - left - 2) / (at.text_px * STRONG_EM))
        foot, bottom_left = at.label_foot - 2, ft.Alignment.BOTTOM_LEFT
        shapes.append(text_at(said, left, foot, size=at.text_px, at=bottom_left, strong=True))
    return shapes


def _fitting(part: Part, letters: float) -> str:
    """The label if it has at most ``letters``, else its number (“2” for “Round 2”), else nothing."""
    number = str(part.round or "")
    return next((said for said in (part.label, number) if len(said) <= letters), "")


def _band(strip: Strip, at: _Layout) -> list[cv.Shape]:
    """The patterns, with a gap of 1 px between stretches that are wide enough."""
    shapes: list[cv.Shape] = []
    for start_ms, end_ms, kind, *_ in strip.changes_last:
        left, right = start_ms * at.px_per_ms, end_ms * at.px_per_ms
        gap = 1 if right - left > 4 else 0
        shapes += kind_shapes(kind, Box(left, max(left + 1, right - gap), at.band_top, BAND_PX))
    return shapes


def _ticks(length_ms: int, at: _Layout) -> list[cv.Shape]:
    """A tick a minute, a longer one every five, numbers as often as they fit, and the end as m:ss."""
    end = _clock_words(length_ms)
    free_until = at.width - len(end) * at.text_px * DIGIT_EM - at.text_px
    shapes: list[cv.Shape] = [
        cv.Line(0, at.tick_top, at.width, at.tick_top, paint=line_paint(Role.INK)),
        text_at(end, at.width, at.number_top, size=at.text_px, at=ft.Alignment.TOP_RIGHT, strong=True),
    ]
    five_px = 5 * MS_PER_MIN * at.px_per_ms
    number_every = 5 if five_px >= at.text_px * 1.6 else 10 if five_px >= at.text_px * 0.8 else 30
    for tick in ticks(length_ms):
        x = min(max(tick.at_ms * at.px_per_ms, 0.75), at.width - 0.75)
        foot = at.tick_top + (LONG_TICK_PX if tick.is_long else TICK_PX)
        shapes.append(cv.Line(x, at.tick_top, x, foot, paint=line_paint(Role.INK)))
        if tick.minute and tick.minute % number_every == 0 and x <= free_until:
            top, number = ft.Alignment.TOP_CENTER, str(tick.minute)
            shapes.append(text_at(number, x, at.number_top, size=at.text_px, at=top))
    return shapes


def _clock_words(length_ms: int) -> str:
    """“28:40”; minutes go on past 59."""
    minutes, seconds = divmod(round(length_ms / 1000), 60)
    return f"{minutes}:{seconds:02d}"


def _marker(now_ms: int, at: _Layout) -> list[cv.Shape]:
    """The present moment: a line through the band with a point on top."""
    x = min(max(now_ms * at.px_per_ms, 2), at.width - 2)
    foot = at.tick_top + LONG_TICK_PX
    point = ((x - 9, at.band_top - MARKER_ROW_PX), (x + 9, at.band_top - MARKER_ROW_PX), (x, at.band_top))
    return [
        cv.Line(x, at.band_top, x, foot, paint=line_paint(Role.BACKGROUND, 7)),
        cv.Line(x, at.band_top - 4, x, foot, paint=line_paint(Role.INK, 3)),
        polygon(point, ft.Paint(color=Role.INK)),
    ]
