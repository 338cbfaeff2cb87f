"""Draws the rooms of the three packages as layers, from what they import, to docs/rooms.svg.

    python3 build/dev.py renew picture

A room is a folder of a package, or a file beside the folders. It lies in a row above all that it imports. An
arrow that follows from others is left out: where A imports B, and B imports C, none goes from A to C.
"""

import ast
import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from itertools import pairwise
from pathlib import Path
from statistics import fmean

import grimp
from environment import ROOT

PICTURE = ROOT / "docs" / "rooms.svg"
PACKAGES = ("companion", "storage", "engine")

WIDTH, EDGE, GAP = 880, 24, 20
LONE_BOX, WAYPOINT, PORT = 520, 8, 16
TITLE, BETWEEN_ROWS, BETWEEN_PANELS = 60, 38, 46
LINE, ABOVE_TEXT, BELOW_TEXT = 16, 22, 12
CHARACTER = 6.4  # of the small text, on average, rather too wide than too narrow
STYLE = """
  text { font: 12px system-ui, sans-serif; fill: #47525A }
  .name { font-size: 15px; font-weight: 600; fill: #1A2226 }
  .page { fill: #F7F4EE } .panel { fill: none; stroke: #D5CCBC } .room { fill: #FDFBF7; stroke: #756B5C }
  .arrow, .over { fill: none; stroke: #14495C; stroke-width: 1.5 } .over { stroke-width: 4 }
  .head { fill: #14495C }
  @media (prefers-color-scheme: dark) {
    text { fill: #B4BCC0 } .name { fill: #F1EDE4 }
    .page { fill: #14181B } .panel { stroke: #3A444A } .room { fill: #1D2327; stroke: #8A969C }
    .arrow, .over { stroke: #8FB8C6 } .head { fill: #8FB8C6 }
  }
"""

Imports = Mapping[str, frozenset[str]]
"""For each room the rooms that it imports."""


@dataclass(kw_only=True)
class Spot:
    """A room, or a place in a row through which a longer arrow passes; in px."""

    room: str | None
    row: int
    left: float = 0
    width: float = WAYPOINT
    top: float = 0
    height: float = 0

    @property
    def middle(self) -> float:
        return self.left + self.width / 2


Arrow = list[Spot]
"""From the importing room to the imported one, by way of a spot in each row between them."""


def imports_of_rooms() -> dict[str, frozenset[str]]:
    """What each room of the three packages imports, by its dotted name."""
    graph = grimp.build_graph(*PACKAGES, exclude_type_checking_imports=True, cache_dir=None)
    found: dict[str, set[str]] = {room_of(module): set() for module in graph.modules}
    for module in graph.modules:
        found[room_of(module)] |= {room_of(one) for one in graph.find_modules_directly_imported_by(module)}
    return {room: frozenset(others - {room}) for room, others in found.items() if "." in room}


def room_of(module: str) -> str:
    return ".".join(module.split(".")[:2])


def without_implied(imports: Imports) -> dict[str, frozenset[str]]:
    """The imports that follow from no others."""
    reached = {room: _reached(room, imports) for room in imports}
    return {
        room: frozenset(one for one in others if not any(one in reached[via] for via in others - {one}))
        for room, others in imports.items()
    }


def _reached(room: str, imports: Imports) -> frozenset[str]:
    return frozenset().union(*({one} | _reached(one, imports) for one in imports[room]))


def within(package: str, imports: Imports) -> dict[str, frozenset[str]]:
    inside = [room for room in imports if room.startswith(f"{package}.")]
    return {room: imports[room] & set(inside) for room in inside}


def levels(imports: Imports) -> dict[str, int]:
    """0 for a room that imports none, else one more than the highest that it imports."""
    found: dict[str, int] = {}

    def level(room: str) -> int:
        if room not in found:
            found[room] = 1 + max(map(level, imports[room]), default=-1)
        return found[room]

    return {room: level(room) for room in imports}


def layout(imports: Imports) -> tuple[list[list[Spot]], list[Arrow]]:
    """The rows from the top, each from the left, and the arrows through them."""
    level = levels(imports)
    highest = max(level.values())
    spots = {room: Spot(room=room, row=highest - at) for room, at in sorted(level.items())}
    arrows = [
        [spots[room], *_waypoints(spots[room], spots[other]), spots[other]]
        for room in sorted(imports)
        for other in sorted(imports[room])
    ]
    rows: list[list[Spot]] = [[] for _ in range(highest + 1)]
    for spot in [*spots.values(), *(spot for arrow in arrows for spot in arrow[1:-1])]:
        rows[spot.row].append(spot)
    for _ in range(4):
        for row in (*rows, *reversed(rows)):
            _order(row, arrows)
            _set_out(row)
    return rows, arrows


def _waypoints(start: Spot, end: Spot) -> list[Spot]:
    return [Spot(room=None, row=row) for row in range(start.row + 1, end.row)]


def _order(row: list[Spot], arrows: Sequence[Arrow]) -> None:
    """Sorts a row by the middle of what its spots are linked with, so that few arrows cross."""
    linked: dict[int, list[float]] = {id(spot): [] for spot in row}
    for arrow in arrows:
        for upper, lower in pairwise(arrow):
            if id(upper) in linked:
                linked[id(upper)].append(lower.middle)
            if id(lower) in linked:
                linked[id(lower)].append(upper.middle)
    row.sort(key=lambda spot: fmean(linked[id(spot)] or [spot.middle]))


def _set_out(row: list[Spot]) -> None:
    """Places a row's spots beside each other in the middle of the picture."""
    boxes = [spot for spot in row if spot.room]
    free = WIDTH - 4 * EDGE - WAYPOINT * (len(row) - len(boxes)) - GAP * (len(row) - 1)
    for spot in boxes:
        spot.width = min(LONE_BOX, free / len(boxes))
    left = (WIDTH - sum(spot.width for spot in row) - GAP * (len(row) - 1)) / 2
    for spot in row:
        spot.left = left
        left += spot.width + GAP


def sentence_of(room: str) -> str:
    """The first sentence of a room's docstring."""
    path = ROOT.joinpath(*room.split("."))
    file = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    text = " ".join((ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) or "").split())
    return text.partition(". ")[0].removesuffix(".") + "."


def name_of(room: str) -> str:
    path = Path(*room.split("."))
    return path.name if (ROOT / path).is_dir() else f"{path.name}.py"


def words_in(spot: Spot) -> list[str]:
    return textwrap.wrap(sentence_of(spot.room or ""), int((spot.width - GAP) / CHARACTER))


def stack(rows: Sequence[Sequence[Spot]], top: float) -> float:
    """Gives the rows their heights below each other; where the last one ends."""
    for row in rows:
        lines = max(len(words_in(spot)) for spot in row if spot.room)
        for spot in row:
            spot.top, spot.height = top, ABOVE_TEXT + LINE * lines + BELOW_TEXT
        top += row[0].height + BETWEEN_ROWS
    return top - BETWEEN_ROWS


def panel(package: str, imports: Imports, top: float) -> tuple[list[str], float]:
    """A package with its rooms, and where it ends."""
    rows, arrows = layout(within(package, imports))
    bottom = stack(rows, top + TITLE) + EDGE
    size = f'width="{WIDTH - 2 * EDGE}" height="{bottom - top:g}"'
    parts = [
        f'<rect class="panel" x="{EDGE}" y="{top:g}" {size} rx="4"/>',
        text(package, EDGE * 2, top + 26, "name"),
        text(sentence_of(package), EDGE * 2, top + 45),
        *(drawn_arrow(arrow, *_ends(arrow, arrows)) for arrow in arrows),
        *(part for row in rows for spot in row if spot.room for part in drawn_room(spot)),
    ]
    return parts, bottom


def drawn_room(spot: Spot) -> Iterator[str]:
    size = f'width="{spot.width:.1f}" height="{spot.height:g}"'
    yield f'<rect class="room" x="{spot.left:.1f}" y="{spot.top:g}" {size} rx="3"/>'
    left, top = spot.left + GAP / 2, spot.top + ABOVE_TEXT
    yield text(name_of(spot.room or ""), left, top, "name")
    for number, line in enumerate(words_in(spot), 1):
        yield text(line, left, top + 2 + LINE * number)


def _ends(arrow: Arrow, arrows: Sequence[Arrow]) -> tuple[float, float]:
    """Where an arrow leaves its room and enters the other, so that it shares neither place, as x."""
    leaving = sorted((one for one in arrows if one[0] is arrow[0]), key=lambda one: one[1].middle)
    entering = sorted((one for one in arrows if one[-1] is arrow[-1]), key=lambda one: one[-2].middle)
    return arrow[0].middle + _aside(arrow, leaving), arrow[-1].middle + _aside(arrow, entering)


def _aside(arrow: Arrow, beside: Sequence[Arrow]) -> float:
    number = next(number for number, one in enumerate(beside) if one is arrow)
    return PORT * (number - (len(beside) - 1) / 2)


def drawn_arrow(arrow: Arrow, leaves: float, enters: float) -> str:
    """A curve that leaves and enters every row upright."""
    x, y = leaves, arrow[0].top + arrow[0].height
    path = f"M{x:.1f} {y:g}"
    for spot in arrow[1:]:
        goal, half = enters if spot.room else spot.middle, (y + spot.top) / 2
        path += f"C{x:.1f} {half:g} {goal:.1f} {half:g} {goal:.1f} {spot.top:g}"
        x, y = goal, spot.top + spot.height
        path += "" if spot.room else f"V{y:g}"
    return f'<path class="arrow" marker-end="url(#head)" d="{path}"/>'


def text(words: str, x: float, y: float, kind: str = "") -> str:
    named = f' class="{kind}"' if kind else ""
    return f'<text{named} x="{x:.1f}" y="{y:g}">{escape(words)}</text>'


def picture() -> str:
    """The whole picture as SVG."""
    imports = without_implied(imports_of_rooms())
    parts: list[str] = []
    top = float(EDGE)
    for package in PACKAGES:
        if parts:
            x, end = WIDTH / 2, top + BETWEEN_PANELS
            parts.append(f'<path class="over" d="M{x:g} {top:g}V{end - 10:g}"/>')
            parts.append(f'<path class="head" d="M{x - 10:g} {end - 16:g}h20L{x:g} {end:g}Z"/>')
            top = end
        drawn, top = panel(package, imports, top)
        parts += drawn
    return "\n".join(_in_svg(parts, top + EDGE))


def _in_svg(parts: Iterable[str], height: float) -> Iterator[str]:
    yield f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {height:g}" role="img">'
    yield "<title>The rooms of companion, storage and engine, and what imports what</title>"
    yield f"<style>{STYLE}</style>"
    yield '<marker id="head" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="8" markerHeight="8"'
    yield ' markerUnits="userSpaceOnUse" orient="auto"><path class="head" d="M0 0L8 4L0 8Z"/></marker>'
    yield f'<rect class="page" width="{WIDTH}" height="{height:g}"/>'
    yield from parts
    yield "</svg>\n"


def main() -> int:
    PICTURE.write_text(picture(), encoding="utf-8")
    print(f"The picture is in {PICTURE.relative_to(ROOT)}.")
    return 0
