"""The strip of time: a flat ruler to scale, with the patterns of patterns.py. Height means nothing on it."""

from collections.abc import Sequence
from itertools import groupby

import flet as ft
import flet.canvas as cv

from companion.views.controls.parts import polygon
from companion.views.controls.text_scale import use_text_scale
from companion.views.controls.theme import FONT_FALLBACK, FONT_STRONG, FONT_TEXT, Role, Space
from companion.views.drawings.patterns import Box, kind_key, kind_shapes, pen

Span = tuple[int, int, str, str]  # start_ms, end_ms, kind, label; [start, end), in order, without gaps

BAND_PX = 44
MARKER_ROW_PX = 14
TICK_PX, TICK_FIVE_PX = 6, 13
TEXT_PX = 14
STRONG_EM, DIGIT_EM = 0.6, 0.6  # mean advance of a letter and of a figure at TEXT_PX, to see what fits
MINUTE_MS = 60_000


def _text(value: str, x: float, y: float, *, size: float, at: ft.Alignment, strong: bool = False) -> cv.Text:
    look = ft.TextStyle(
        size=size,
        height=1.2,
        color=Role.INK if strong else Role.INK_SOFT,
        font_family=FONT_STRONG if strong else FONT_TEXT,
        font_family_fallback=FONT_FALLBACK,
    )
    return cv.Text(x, y, value=value, style=look, alignment=at)


class _Layout:
    """Where the rows of the ruler lie, in px; with `marker` there is a row for the point that marks now."""

    def __init__(self, total_ms: int, width: float, *, text_scale: float, marker: bool) -> None:
        self.width = width
        self.px_per_ms = width / total_ms
        self.text_px = TEXT_PX * text_scale
        self.label_foot = self.text_px * 1.2 + 2
        self.band_top = self.label_foot + 5 + (MARKER_ROW_PX if marker else 0)
        self.tick_top = self.band_top + BAND_PX + 5
        self.number_top = self.tick_top + TICK_FIVE_PX + 2
        self.height = self.number_top + self.text_px * 1.2 + 2


def _groups(spans: Sequence[Span]) -> list[tuple[int, int, str]]:
    """Neighbours with the same label, as (start_ms, end_ms, label)."""
    runs = ((label, list(members)) for label, members in groupby(spans, key=lambda span: span[3]))
    return [(run[0][0], run[-1][1], label) for label, run in runs]


def _fitting(label: str, letters: float) -> str:
    """The label if it has at most `letters`, else its number ("2" for "Round 2"), else nothing."""
    if len(label) <= letters:
        return label
    last = label.split()[-1]
    return last if last.isdigit() and len(last) <= letters else ""


def _labels(spans: Sequence[Span], at: _Layout) -> list[cv.Shape]:
    """A bracket over each labelled group; its label where it fits before the next."""
    shapes: list[cv.Shape] = []
    groups = [group for group in _groups(spans) if group[2]]
    starts = [start * at.px_per_ms for start, _, _ in groups] + [at.width + 4]
    for (_, end, label), left, following in zip(groups, starts, starts[1:], strict=False):
        right = max(left + 2, end * at.px_per_ms - 2)
        shapes.append(cv.Line(left, at.label_foot, right, at.label_foot, paint=pen(Role.INK)))
        said = _fitting(label, (following - left - 2) / (at.text_px * STRONG_EM))
        foot, bottom_left = at.label_foot - 2, ft.Alignment.BOTTOM_LEFT
        shapes.append(_text(said, left, foot, size=at.text_px, at=bottom_left, strong=True))
    return shapes


def _band(spans: Sequence[Span], at: _Layout) -> list[cv.Shape]:
    """All spans, a hair apart; changes of sides last, so that they lie on top."""
    shapes: list[cv.Shape] = []
    for start, end, kind, _ in sorted(spans, key=lambda span: span[2] == "side_change"):
        left, right = start * at.px_per_ms, end * at.px_per_ms
        gap = 1 if right - left > 4 else 0
        shapes += kind_shapes(kind, Box(left, max(left + 1, right - gap), at.band_top, BAND_PX))
    return shapes


def clock_words(span_ms: int) -> str:
    """28:40, for the end of the ruler."""
    minutes, seconds = divmod(round(span_ms / 1000), 60)
    return f"{minutes}:{seconds:02d}"


def _ticks(total_ms: int, at: _Layout) -> list[cv.Shape]:
    """The ruler's edge: a tick a minute, a longer one and its number every five, the end at the right."""
    end = clock_words(total_ms)
    free_until = at.width - len(end) * at.text_px * DIGIT_EM - at.text_px
    shapes: list[cv.Shape] = [
        cv.Line(0, at.tick_top, at.width, at.tick_top, paint=pen(Role.INK)),
        _text(end, at.width, at.number_top, size=at.text_px, at=ft.Alignment.TOP_RIGHT, strong=True),
    ]
    five_px = 5 * MINUTE_MS * at.px_per_ms
    number_every = 5 if five_px >= at.text_px * 1.6 else 10 if five_px >= at.text_px * 0.8 else 30
    for minute in range(total_ms // MINUTE_MS + 1):
        x = min(max(minute * MINUTE_MS * at.px_per_ms, 0.75), at.width - 0.75)
        five = minute % 5 == 0
        foot = at.tick_top + (TICK_FIVE_PX if five else TICK_PX)
        shapes.append(cv.Line(x, at.tick_top, x, foot, paint=pen(Role.INK)))
        if minute and minute % number_every == 0 and x <= free_until:
            shapes.append(_text(str(minute), x, at.number_top, size=at.text_px, at=ft.Alignment.TOP_CENTER))
    return shapes


def _marker(now_ms: int, at: _Layout) -> list[cv.Shape]:
    """Where we are: a line through the band with a point on top."""
    x = min(max(now_ms * at.px_per_ms, 2), at.width - 2)
    foot = at.tick_top + TICK_FIVE_PX
    point = ((x - 9, at.band_top - MARKER_ROW_PX), (x + 9, at.band_top - MARKER_ROW_PX), (x, at.band_top))
    return [
        cv.Line(x, at.band_top, x, foot, paint=pen(Role.BACKGROUND, 7)),
        cv.Line(x, at.band_top - 4, x, foot, paint=pen(Role.INK, 3)),
        polygon(point, ft.Paint(color=Role.INK)),
    ]


def _length(span_ms: int) -> str:
    minutes, seconds = divmod(round(span_ms / 1000), 60)
    said = [f"{minutes} min"] if minutes else []
    return " ".join([*said, f"{seconds} s"] if seconds or not minutes else said)


def strip_words(spans: Sequence[Span], *, now_ms: int | None = None) -> str:
    """The strip in words, for a screen reader: each labelled group with its length, then where we are."""
    if not spans:
        return "No time to show."
    parts = [f"{label} {_length(end - start)}" for start, end, label in _groups(spans) if label]
    between = sum(end - start for start, end, label in _groups(spans) if not label)
    parts += [f"between them {_length(between)}"] if between else []
    now = f" Now at {_length(now_ms)}." if now_ms is not None else ""
    return f"{_length(spans[-1][1])} in all: {', '.join(parts)}.{now}"


def strip_shapes(
    spans: Sequence[Span], width: float, *, now_ms: int | None = None, text_scale: float = 1.0
) -> tuple[list[cv.Shape], float]:
    """Everything on the ruler at `width` px as canvas shapes, and the height they take."""
    total_ms = spans[-1][1] if spans else 0
    if total_ms <= 0 or width <= 0:
        return [], 0
    at = _Layout(total_ms, width, text_scale=text_scale, marker=now_ms is not None)
    shapes = [*_labels(spans, at), *_band(spans, at), *_ticks(total_ms, at)]
    return shapes + (_marker(now_ms, at) if now_ms is not None else []), at.height


@ft.component
def time_strip(
    spans: Sequence[Span],
    *,
    now_ms: int | None = None,
    name: str = "The session's time",
    start_width: float = 380,
) -> ft.Control:
    """The ruler, as wide as its place: it measures itself and draws again when width or text scale change."""
    width, set_width = ft.use_state(start_width)
    scale, probe = use_text_scale()
    shapes, height = strip_shapes(spans, width, now_ms=now_ms, text_scale=min(scale, 2.0))
    drawing = cv.Canvas(
        shapes=shapes,
        height=height,
        width=float("inf"),
        on_resize=lambda event: set_width(event.width),
        resize_interval=100,
    )
    return ft.Semantics(
        identifier="time-strip",
        label=f"{name}. {strip_words(spans, now_ms=now_ms)}",
        image=True,
        container=True,
        exclude_semantics=True,
        content=ft.Stack([probe, drawing]),
    )


def strip_legend(spans: Sequence[Span]) -> ft.Control:
    """A key to the patterns: only the kinds that occur, in the order they come; all ways between are one."""
    kinds = dict.fromkeys(kind for _, _, kind, _ in spans)
    if "transition" in kinds:
        kinds.pop("get_ready", None)
    return ft.Row([kind_key(kind) for kind in kinds], wrap=True, spacing=Space.M, run_spacing=Space.S)
