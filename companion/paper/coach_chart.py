"""The drawings of a page for the coach: plain SVG without colour of its own, each beside its sentence.

An outline is all there was, the filled part is what was done, or was hard. They are hidden from screen
readers, because the sentence beside each says the same.
"""

from __future__ import annotations

from collections.abc import Sequence

BAR_WIDTH, BAR_HEIGHT = 300, 12
COLUMN, GAP, COLUMN_HEIGHT = 16, 6, 40


def bar(part: float, whole: float, *, most: float) -> str:
    """A bar whose length is ``whole`` out of ``most``, filled up to ``part``."""
    if most <= 0:
        return ""
    length, filled = (BAR_WIDTH * min(amount, most) / most for amount in (whole, part))
    drawn = _box("all", 0, 0, width=length, height=BAR_HEIGHT)
    drawn += _box("part", 0, 0, width=filled, height=BAR_HEIGHT)
    return _svg(drawn, width=BAR_WIDTH, height=BAR_HEIGHT, kind=' class="bar"')


def columns(wholes: Sequence[float], parts: Sequence[float]) -> str:
    """One column for each week, as high as its whole, filled up to its part; all stand on one line."""
    most = max(wholes, default=0)
    if most <= 0:
        return ""
    width = len(wholes) * (COLUMN + GAP)
    drawn = f'<path class="ground" d="M0 {COLUMN_HEIGHT}H{width}"/>'
    for number, (whole, part) in enumerate(zip(wholes, parts, strict=True)):
        for kind, amount in (("all", whole), ("part", part)):
            height = COLUMN_HEIGHT * min(amount, most) / most
            left = number * (COLUMN + GAP) + GAP / 2
            drawn += _box(kind, left, COLUMN_HEIGHT - height, width=COLUMN, height=height)
    return _svg(drawn, width=width, height=COLUMN_HEIGHT)


def _box(kind: str, left: float, top: float, *, width: float, height: float) -> str:
    if width <= 0 or height <= 0:
        return ""
    return f'<rect class="{kind}" x="{left:g}" y="{top:.3g}" width="{width:.4g}" height="{height:.3g}"/>'


def _svg(drawn: str, *, width: int, height: int, kind: str = "") -> str:
    """One unit of room on each side, so that an outline at the edge keeps its whole width; the style sheet
    decides how large it is drawn."""
    box = f'viewBox="-1 -1 {width + 2} {height + 2}" preserveAspectRatio="none"'
    return f'<svg{kind} aria-hidden="true" {box}>{drawn}</svg>'
