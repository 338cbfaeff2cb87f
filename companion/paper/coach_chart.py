"""The charts on a page for the coach, as SVG; the style sheet gives the colours.

An outline is all that was planned or done; the filled part is what was done, or was hard; what nobody rated
is dashed. Screen readers skip the charts, because the sentence beside each says the same.
"""

from __future__ import annotations

from collections.abc import Sequence

BAR_WIDTH, BAR_HEIGHT = 300, 12
COLUMN, GAP, COLUMN_HEIGHT = 16, 6, 40


def bar(part: float, whole: float, *, most: float) -> str:
    """A bar as long as ``whole`` out of ``most``, filled up to ``part``; empty where ``most`` is 0."""
    if most <= 0:
        return ""
    length, filled = (BAR_WIDTH * min(amount, most) / most for amount in (whole, part))
    drawn = _box("all", 0, 0, width=length, height=BAR_HEIGHT)
    drawn += _box("part", 0, 0, width=filled, height=BAR_HEIGHT)
    return _svg(drawn, width=BAR_WIDTH, height=BAR_HEIGHT, kind=' class="bar"')


def columns(wholes: Sequence[float], parts: Sequence[float], unrated: Sequence[float] = ()) -> str:
    """A column for each week, as high as its whole, filled up to its part, and dashed at its top for what
    nobody rated; empty where there is nothing."""
    most = max(wholes, default=0)
    if most <= 0:
        return ""
    width = len(wholes) * (COLUMN + GAP)
    drawn = f'<path class="ground" d="M0 {COLUMN_HEIGHT}H{width}"/>'
    dashed = unrated or [0] * len(wholes)
    for number, (whole, part, top) in enumerate(zip(wholes, parts, dashed, strict=True)):
        for kind, foot, amount in (("all", 0, whole - top), ("part", 0, part), ("unrated", whole - top, top)):
            height, below = (COLUMN_HEIGHT * min(one, most) / most for one in (amount, foot))
            left = number * (COLUMN + GAP) + GAP / 2
            drawn += _box(kind, left, COLUMN_HEIGHT - below - height, width=COLUMN, height=height)
    return _svg(drawn, width=width, height=COLUMN_HEIGHT)


def _box(kind: str, left: float, top: float, *, width: float, height: float) -> str:
    if width <= 0 or height <= 0:
        return ""
    return f'<rect class="{kind}" x="{left:g}" y="{top:.3g}" width="{width:.4g}" height="{height:.3g}"/>'


def _svg(drawn: str, *, width: int, height: int, kind: str = "") -> str:
    """Leaves one unit free on each side, so that no outline is cut off. The style sheet decides the size."""
    box = f'viewBox="-1 -1 {width + 2} {height + 2}" preserveAspectRatio="none"'
    return f'<svg{kind} aria-hidden="true" {box}>{drawn}</svg>'
