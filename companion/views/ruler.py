"""The strip of time: a flat ruler to scale. Every kind has its own pattern as well as its own ink; height means nothing."""

from collections.abc import Callable, Iterable, Sequence
from itertools import groupby

import flet as ft
import flet.canvas as cv

from companion.views.parts import polygon, words
from companion.views.theme import FONT_FALLBACK, FONT_STRONG, FONT_TEXT, KIND_ROLE, Role, Space, Type

Span = tuple[int, int, str, str]  # start_ms, end_ms, kind, label; [start, end), in order, without gaps

KIND_WORD = {
    "get_ready": "Get ready",
    "warm_up": "Warm-up",
    "practice": "Practice",
    "work": "Work",
    "side_change": "Change sides",
    "rest": "Rest",
    "transition": "Get to the next",
    "cool_down": "Cool-down",
}

BAND_PX = 44
LABEL_ROW_PX = 26
TICK_PX, TICK_FIVE_PX = 6, 13
NUMBER_ROW_PX = 24
MINUTE_MS = 60_000
HATCH_PX = 6  # distance between lines, and between dots


class _Pen:
    """Paints of one kind."""

    def __init__(self, kind: str) -> None:
        self.colour = KIND_ROLE[kind]

    def fill(self) -> ft.Paint:
        return ft.Paint(color=self.colour)

    def line(self, width: float = 1.5) -> ft.Paint:
        return ft.Paint(color=self.colour, stroke_width=width, style=ft.PaintingStyle.STROKE)


def _slanted(x0: float, x1: float, top: float, rising: bool) -> Iterable[tuple[float, float, float, float]]:
    """Lines at 45 degrees, clipped to the box from x0 to x1 and a band high, on one common grid so that boxes match."""
    first = int((x0 - BAND_PX) // HATCH_PX) * HATCH_PX
    for start in range(first, int(x1) + 1, HATCH_PX):
        left, right = max(x0, start), min(x1, start + BAND_PX)
        if right - left < 0.5:
            continue
        low, high = left - start, right - start
        yield (
            left,
            top + (BAND_PX - low if rising else low),
            right,
            top + (BAND_PX - high if rising else high),
        )


def _hatch(pen: _Pen, x0: float, x1: float, top: float, rising: bool) -> list[cv.Shape]:
    lines = [cv.Line(*line, paint=pen.line(1.2)) for line in _slanted(x0, x1, top, rising)]
    return [*lines, *_frame(pen, x0, x1, top)]


def _frame(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    return [cv.Rect(x0 + 0.75, top + 0.75, max(0.5, x1 - x0 - 1.5), BAND_PX - 1.5, paint=pen.line())]


def _solid(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    return [cv.Rect(x0, top, x1 - x0, BAND_PX, paint=pen.fill())]


def _warm_up(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    return _hatch(pen, x0, x1, top, rising=True)


def _cool_down(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    return _hatch(pen, x0, x1, top, rising=False)


def _practice(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    dots: list[ft.Offset | tuple[int | float, int | float]] = [
        (float(x), top + y)
        for x in range(int(x0) + 4, int(x1) - 2, HATCH_PX)
        for y in range(6, BAND_PX - 3, HATCH_PX)
    ]
    round_dot = ft.Paint(color=pen.colour, stroke_width=2.6, stroke_cap=ft.StrokeCap.ROUND)
    drawn: list[cv.Shape] = (
        [cv.Points(points=dots, point_mode=cv.PointMode.POINTS, paint=round_dot)] if dots else []
    )
    return [*drawn, *_frame(pen, x0, x1, top)]


def _rest(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    """Blank paper between two lines: nothing to do."""
    edges = (top + 1, top + BAND_PX - 1)
    return [cv.Line(x0, y, x1, y, paint=pen.line(2)) for y in edges]


def _waiting(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    """One line along the middle: on the way to something."""
    middle = top + BAND_PX / 2
    return [cv.Line(x0, middle, x1, middle, paint=pen.line(3))]


def _side_change(pen: _Pen, x0: float, x1: float, top: float) -> list[cv.Shape]:
    """A wedge from each edge that meets in the middle: over to the other side. Never narrower than can be seen."""
    middle, half = (x0 + x1) / 2, max(2.5, (x1 - x0) / 2)
    foot, head = top + BAND_PX, top
    waist = top + BAND_PX / 2
    wedges = (
        ((middle - half, head), (middle + half, head), (middle, waist)),
        ((middle - half, foot), (middle + half, foot), (middle, waist)),
    )
    return [polygon(wedge, pen.fill()) for wedge in wedges]


_DRAW: dict[str, Callable[[_Pen, float, float, float], list[cv.Shape]]] = {
    "get_ready": _waiting,
    "warm_up": _warm_up,
    "practice": _practice,
    "work": _solid,
    "side_change": _side_change,
    "rest": _rest,
    "transition": _waiting,
    "cool_down": _cool_down,
}


def _band(spans: Sequence[Span], scale: float, top: float) -> list[cv.Shape]:
    """All spans, a hair apart, changes of sides last so that they lie on top."""
    shapes: list[cv.Shape] = []
    for start, end, kind, _ in sorted(spans, key=lambda span: span[2] == "side_change"):
        x0, x1 = start * scale, end * scale
        gap = 1 if x1 - x0 > 4 else 0
        shapes += _DRAW[kind](_Pen(kind), x0, max(x0 + 1, x1 - gap), top)
    return shapes


def _groups(spans: Sequence[Span]) -> list[tuple[int, int, str]]:
    """Neighbours with the same label, as (start_ms, end_ms, label)."""
    groups: list[tuple[int, int, str]] = []
    for label, members in groupby(spans, key=lambda span: span[3]):
        run = list(members)
        groups.append((run[0][0], run[-1][1], label))
    return groups


def _canvas_text(value: str, x: float, y: float, *, at: ft.Alignment, strong: bool = False) -> cv.Text:
    look = ft.TextStyle(
        size=Type.CAPTION - 1,
        color=Role.INK if strong else Role.INK_SOFT,
        font_family=FONT_STRONG if strong else FONT_TEXT,
        font_family_fallback=FONT_FALLBACK,
    )
    return cv.Text(x, y, value=value, style=look, alignment=at)


def _labels(spans: Sequence[Span], scale: float) -> list[cv.Shape]:
    """A bracket over each group; its label only where it fits."""
    pen = ft.Paint(color=Role.INK, stroke_width=1.5, style=ft.PaintingStyle.STROKE)
    shapes: list[cv.Shape] = []
    for start, end, label in _groups(spans):
        x0, x1 = start * scale, end * scale - 2
        if not label or x1 - x0 < 4:
            continue
        shapes.append(cv.Line(x0, LABEL_ROW_PX - 4, x1, LABEL_ROW_PX - 4, paint=pen))
        if len(label) * 8.5 <= x1 - x0 + 4:
            shapes.append(_canvas_text(label, x0, LABEL_ROW_PX - 7, at=ft.Alignment.BOTTOM_LEFT, strong=True))
    return shapes


def _ticks(total_ms: int, scale: float, top: float) -> list[cv.Shape]:
    """The ruler's edge: a tick a minute, a longer one with its number every five, the end in minutes and seconds."""
    ink = ft.Paint(color=Role.INK, stroke_width=1.5, style=ft.PaintingStyle.STROKE)
    shapes: list[cv.Shape] = [cv.Line(0, top, total_ms * scale, top, paint=ink)]
    for minute in range(total_ms // MINUTE_MS + 1):
        x = min(max(minute * MINUTE_MS * scale, 0.75), total_ms * scale - 0.75)
        five = minute % 5 == 0
        shapes.append(cv.Line(x, top, x, top + (TICK_FIVE_PX if five else TICK_PX), paint=ink))
        if five and minute:
            shapes.append(_canvas_text(str(minute), x, top + TICK_FIVE_PX + 2, at=ft.Alignment.TOP_CENTER))
    return shapes


def _marker(now_ms: int, scale: float, width: float, top: float) -> list[cv.Shape]:
    """Where we are: a line through the band with a point on top."""
    x = min(max(now_ms * scale, 2), width - 2)
    halo = ft.Paint(color=Role.BACKGROUND, stroke_width=7, style=ft.PaintingStyle.STROKE)
    ink = ft.Paint(color=Role.INK, stroke_width=3, style=ft.PaintingStyle.STROKE)
    foot = top + BAND_PX + TICK_FIVE_PX
    point = ((x - 8, top - 13), (x + 8, top - 13), (x, top - 1))
    return [
        cv.Line(x, top, x, foot, paint=halo),
        cv.Line(x, top - 4, x, foot, paint=ink),
        polygon(point, ft.Paint(color=Role.INK)),
    ]


def strip_shapes(spans: Sequence[Span], width: float, *, now_ms: int | None = None) -> list[cv.Shape]:
    """Everything on the ruler at `width` px, as canvas shapes."""
    if not spans or width <= 0:
        return []
    total_ms = spans[-1][1]
    scale = width / total_ms
    top = float(LABEL_ROW_PX)
    shapes = [*_labels(spans, scale), *_band(spans, scale, top), *_ticks(total_ms, scale, top + BAND_PX + 5)]
    return shapes + (_marker(now_ms, scale, width, top) if now_ms is not None else [])


def strip_words(spans: Sequence[Span], *, now_ms: int | None = None) -> str:
    """The strip in words, for a screen reader: each group with its length, then where we are."""
    if not spans:
        return "No time to show."
    parts = [f"{label or 'other'} {_length(end - start)}" for start, end, label in _groups(spans)]
    now = f" Now at {_length(now_ms)}." if now_ms is not None else ""
    return f"{_length(spans[-1][1])} in all: {', '.join(parts)}.{now}"


def _length(span_ms: int) -> str:
    minutes, seconds = divmod(round(span_ms / 1000), 60)
    said = [f"{minutes} min"] if minutes else []
    return " ".join([*said, f"{seconds} s"] if seconds or not minutes else said)


@ft.component
def time_strip(
    spans: Sequence[Span],
    *,
    now_ms: int | None = None,
    name: str = "The session's time",
    start_width: float = 380,
) -> ft.Control:
    """The ruler, as wide as its place: it measures itself and draws again when the width changes."""
    width, set_width = ft.use_state(start_width)
    height = LABEL_ROW_PX + BAND_PX + 5 + TICK_FIVE_PX + NUMBER_ROW_PX
    drawing = cv.Canvas(
        shapes=strip_shapes(spans, width, now_ms=now_ms),
        height=height,
        width=float("inf"),
        on_resize=lambda event: set_width(event.width),
        resize_interval=100,
    )
    said = f"{name}. {strip_words(spans, now_ms=now_ms)}"
    return ft.Semantics(
        identifier="time-strip",
        label=said,
        image=True,
        container=True,
        exclude_semantics=True,
        content=drawing,
    )


def strip_legend(spans: Sequence[Span]) -> ft.Control:
    """A key to the patterns: only the kinds that occur, in the order they come."""
    kinds = dict.fromkeys(kind for _, _, kind, _ in spans)
    return ft.Row([_key(kind) for kind in kinds], wrap=True, spacing=Space.M, run_spacing=Space.S)


def _key(kind: str) -> ft.Control:
    sample = cv.Canvas(shapes=_DRAW[kind](_Pen(kind), 0, 28, -(BAND_PX - 22) / 2), width=28, height=22)
    box = ft.Container(content=sample, width=28, height=22, clip_behavior=ft.ClipBehavior.HARD_EDGE)
    return ft.Row(
        [box, words(KIND_WORD[kind], size=Type.CAPTION, colour=Role.INK_SOFT)], spacing=Space.S, tight=True
    )
