"""The strip of time and the halves of the working side: to scale, clear without colour, said in words."""

import re

import flet as ft
import flet.canvas as cv
import pytest

from companion.style.kinds import KIND_ROLE
from companion.style.strip import Stretch, Strip
from companion.views.controls.theme import Role
from companion.views.drawings import side_shape, strip
from companion.views.drawings.patterns import Box, kind_shapes
from engine.session.segment import Kind

MINUTE = 60_000
STRIP = Strip(
    (
        Stretch(0, 4 * MINUTE, Kind.warm_up, "Warm-up"),
        Stretch(4 * MINUTE, 4 * MINUTE + 30_000, Kind.transition, ""),
        Stretch(4 * MINUTE + 30_000, 5 * MINUTE + 30_000, Kind.work, "Round 1", 1),
        Stretch(5 * MINUTE + 30_000, 6 * MINUTE, Kind.rest, "Round 1", 1),
        Stretch(6 * MINUTE, 12 * MINUTE + 15_000, Kind.cool_down, "Cool-down"),
    )
)


def texts(shapes: list[cv.Shape]) -> dict[str, float]:
    return {shape.value or "": float(shape.x) for shape in shapes if isinstance(shape, cv.Text)}


def test_the_strip_is_to_scale() -> None:
    shapes, _ = strip.strip_shapes(STRIP, 735.0)
    work = next(s for s in shapes if isinstance(s, cv.Rect) and s.paint.color == Role.WORK)
    px_per_minute = 735.0 / 12.25
    assert work.x == pytest.approx(4.5 * px_per_minute)
    assert work.width == pytest.approx(px_per_minute, abs=1.01)  # up to 1 px is left free before the next


def test_minutes_are_numbered_every_five_and_the_end_exactly() -> None:
    shapes, _ = strip.strip_shapes(STRIP, 735.0)
    placed = texts(shapes)
    assert {value for value in placed if value[0].isdigit()} == {"5", "10", "12:15"}
    assert placed["5"] == pytest.approx(5 * 60.0)
    assert placed["12:15"] == 735.0


def test_there_is_one_tick_for_every_full_minute_and_the_start() -> None:
    shapes, _ = strip.strip_shapes(STRIP, 735.0)
    ink = [s for s in shapes if isinstance(s, cv.Line) and s.paint.color == Role.INK]
    assert len([line for line in ink if line.x1 == line.x2]) == 13


def test_a_label_that_does_not_fit_gives_way_to_its_number_or_to_nothing() -> None:
    shapes, _ = strip.strip_shapes(STRIP, 200.0, text_scale=1.5)
    shown = texts(shapes)
    assert "Round 1" not in shown
    assert "1" in shown


def test_larger_text_makes_the_ruler_taller_and_the_marker_has_a_row_of_its_own() -> None:
    _, plain = strip.strip_shapes(STRIP, 380.0)
    _, large = strip.strip_shapes(STRIP, 380.0, text_scale=2.0)
    _, marked = strip.strip_shapes(STRIP, 380.0, now_ms=MINUTE)
    assert plain < large
    assert marked == plain + strip.MARKER_ROW_PX


def test_an_empty_strip_draws_nothing_and_says_so() -> None:
    assert strip.strip_shapes(Strip(), 380.0) == ([], 0)
    assert strip.strip_words(Strip()) == "No time to show."


def test_the_strip_is_said_in_words() -> None:
    assert strip.strip_words(STRIP, now_ms=90_000) == (
        "The session lasts 12 min 15 s. Warm-up: 4 min, Round 1: 1 min 30 s, Cool-down: 6 min 15 s and "
        "in between: 30 s. Now at 1 min 30 s."
    )


def test_kinds_are_told_apart_without_their_colour() -> None:
    """Get ready and transition share a pattern, since both are waiting. Each other kind has its own."""

    def drawn(kind: Kind) -> str:
        shapes = kind_shapes(kind, Box(0, 40, 0, 44))
        return re.sub(r"_i=\d+", "", repr(shapes)).replace(repr(KIND_ROLE[kind]), "ink")

    patterns = {kind: drawn(kind) for kind in KIND_ROLE}
    assert patterns.pop("get_ready") == patterns["transition"]
    assert len(set(patterns.values())) == len(patterns)


@pytest.mark.parametrize("kind", KIND_ROLE)
@pytest.mark.parametrize("width", [1.0, 2.4, 7.0, 300.0])
def test_every_kind_shows_at_any_width(kind: Kind, width: float) -> None:
    assert kind_shapes(kind, Box(10, 10 + width, 0, 44))


def filled_spans(side: side_shape.ShownSide, fraction: float) -> list[tuple[float, float]]:
    """The left and the right edge of each solid part."""
    canvas = side_shape.side_drawing(side, fraction, height=100).content
    assert isinstance(canvas, cv.Canvas)
    solid = [
        s
        for s in canvas.shapes
        if isinstance(s, cv.Path) and s.paint.color == Role.WORK and s.paint.style == ft.PaintingStyle.FILL
    ]
    columns = [[step.x for step in path.elements if hasattr(step, "x")] for path in solid]
    return [(min(xs), max(xs)) for xs in columns]


def test_only_the_working_side_fills() -> None:
    (left,) = filled_spans("left", 0.5)
    (right,) = filled_spans("right", 0.5)
    assert left[1] < 40 < right[0]  # the drawing is 80 px wide
    assert filled_spans("both", 0.5) == [left, right]


def test_the_fill_rises_with_the_share_that_is_done_and_never_leaves_the_outline() -> None:
    assert filled_spans("left", 0.0) == []
    assert filled_spans("left", 7.0) == filled_spans("left", 1.0)
    assert filled_spans("left", -1.0) == []
