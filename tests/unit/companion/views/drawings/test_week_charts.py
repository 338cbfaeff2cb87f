"""The charts of a week: to scale, each value in its week, and nothing drawn where there is nothing."""

from __future__ import annotations

import flet.canvas as cv
import pytest

from companion.views.controls.theme import Role
from companion.views.drawings.week_charts import (
    HEIGHT_PX,
    WIDTH_PX,
    column_shapes,
    effort_shapes,
    line_shapes,
    share_shapes,
    side_shapes,
)

WEEKS = ("2026-W08", "2026-W09", "2026-W10")


def filled(shapes: list[cv.Shape]) -> list[cv.Rect]:
    return [one for one in shapes if isinstance(one, cv.Rect) and one.paint.color == Role.WORK]


def outlined(shapes: list[cv.Shape]) -> list[cv.Rect]:
    return [one for one in shapes if isinstance(one, cv.Rect) and one.paint.color == Role.INK]


def dots(shapes: list[cv.Shape]) -> list[tuple[float, float]]:
    return [(float(one.x), float(one.y)) for one in shapes if isinstance(one, cv.Circle)]


def texts(shapes: list[cv.Shape]) -> list[str]:
    return [one.value or "" for one in shapes if isinstance(one, cv.Text)]


def test_a_column_is_as_high_as_its_whole_and_filled_up_to_its_part() -> None:
    shapes, height = column_shapes(WEEKS, [8, 0, 4], [6, 0, 4])
    assert [one.height for one in outlined(shapes)] == pytest.approx([HEIGHT_PX, HEIGHT_PX / 2])
    assert [one.height for one in filled(shapes)] == pytest.approx([HEIGHT_PX * 6 / 8, HEIGHT_PX / 2])
    assert texts(shapes) == ["8", "4", "8", "9", "10"]
    assert all(0 <= float(one.x) <= WIDTH_PX and float(one.y) <= height for one in outlined(shapes))


def test_what_nobody_rated_is_dashed_on_top_of_what_was_rated() -> None:
    shapes, _ = column_shapes(WEEKS, [8, 4, 8], [4, 0, 8], [4, 4, 0])
    solid = [one for one in outlined(shapes) if one.paint.stroke_dash_pattern is None]
    dashed = [one for one in outlined(shapes) if one.paint.stroke_dash_pattern is not None]
    assert [one.height for one in solid] == pytest.approx([HEIGHT_PX / 2, HEIGHT_PX])
    assert [one.height for one in dashed] == pytest.approx([HEIGHT_PX / 2, HEIGHT_PX / 2])
    assert float(dashed[0].y) + float(dashed[0].height) == pytest.approx(float(solid[0].y))
    assert [one.height for one in filled(shapes)] == pytest.approx([HEIGHT_PX / 2, 0, HEIGHT_PX])


def test_weeks_of_noughts_have_their_numbers_and_no_column() -> None:
    shapes, _ = column_shapes(WEEKS, [0, 0, 0], [0, 0, 0])
    assert filled(shapes) == outlined(shapes) == []
    assert texts(shapes) == ["8", "9", "10"]


def test_no_figure_is_cut_off_at_the_top() -> None:
    lines, _ = line_shapes(WEEKS, [8_000, None, 4_000], ["8 kg", "", "4 kg"])
    columns, _ = column_shapes(WEEKS, [8, 0, 4], [8, 0, 4])
    for shapes in (lines, columns):
        figures = [one for one in shapes if isinstance(one, cv.Text) and one.alignment.y == 1]
        assert figures
        for one in figures:
            assert float(one.y) - 1.2 * one.style.size >= 0


def test_loads_are_joined_only_where_weeks_follow_each_other() -> None:
    together, _ = line_shapes(WEEKS, [6_000, 8_000, None], ["6 kg", "8 kg", ""])
    apart, _ = line_shapes(WEEKS, [6_000, None, 8_000], ["6 kg", "", "8 kg"])
    joined = [
        [one for one in shapes if isinstance(one, cv.Line) and one.paint.color == Role.WORK]
        for shapes in (together, apart)
    ]
    assert [len(lines) for lines in joined] == [1, 0]
    (_, first), (_, second) = dots(together)
    assert second < first, "the heavier load lies higher"


def test_every_effort_has_its_dot_between_nought_and_ten() -> None:
    shapes, _ = effort_shapes(WEEKS, [[0, 10], [], [5]])
    (left, low), (right, high), (_, half) = dots(shapes)
    assert low - high == pytest.approx(HEIGHT_PX)
    assert half == pytest.approx((low + high) / 2)
    assert left < right


def test_the_bars_of_the_sides_leave_the_middle_as_far_as_each_side_did() -> None:
    shapes, _ = side_shapes(5, 10)
    left, right = filled(shapes)
    assert float(left.x) + float(left.width) == float(right.x) == WIDTH_PX / 2
    assert float(left.width) == pytest.approx(float(right.width) / 2)


def test_a_share_is_as_long_as_its_part_of_the_longest() -> None:
    (whole,), (half,), (none,) = (
        share_shapes(amount, most)[0] for amount, most in ((9, 9), (4.5, 9), (0, 0))
    )
    assert (whole.width, half.width, none.width) == (WIDTH_PX, WIDTH_PX / 2, 0)
