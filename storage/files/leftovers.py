"""The names of the files that lie beside a stored file: its previous generation and its leftovers.

kit.json             the current generation
kit.json.previous    the generation before
.kit.json.new        a new generation, left here where a crash came before the replacing
.kit.json.passing    a second name of a generation, left here by a crash in the same way
kit.json.damaged-1   found damaged, and set aside for a person to read
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

PREVIOUS = ".previous"


def previous_of(path: Path) -> Path:
    return path.with_name(f"{path.name}{PREVIOUS}")


def new_of(path: Path) -> Path:
    return path.with_name(f".{path.name}.new")


def passing_of(path: Path) -> Path:
    return path.with_name(f".{path.name}.passing")


def free_place_aside(path: Path) -> Path:
    """The first name for a damaged file that is not taken yet."""
    number = 1
    while (aside := path.with_name(f"{path.name}.damaged-{number}")).exists():
        number += 1
    return aside


def left_by_a_crash(folder: Path) -> Iterator[Path]:
    """What a crash left in a folder and in the folders within it."""
    yield from folder.rglob(".*.new")
    yield from folder.rglob(".*.passing")


def set_aside(folder: Path) -> Iterator[Path]:
    """What was set aside as damaged in a folder and in the folders within it."""
    yield from folder.rglob("*.damaged-*")


def leftovers_of(path: Path) -> Iterator[Path]:
    """What a crash left of one file, and what was set aside of either of its generations."""
    yield from path.parent.glob(f"{path.name}*.damaged-*")
    yield from path.parent.glob(f".{path.name}*")


def everything_of(path: Path) -> tuple[Path, ...]:
    """Both generations of a file, whether they are there or not, and its leftovers."""
    return previous_of(path), path, *leftovers_of(path)
