"""The names of the files that lie beside a stored file: its previous generation and its leftovers.

kit.json             the current generation
kit.json.previous    the generation before
.kit.json.new        a new generation, left here where a crash came before the replacing
.kit.json.passing    a second name of a generation, left here by a crash in the same way
kit.json.damaged-1   found damaged, and set aside for a person to read
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from storage.files.there import is_folder, is_there

PREVIOUS = ".previous"
_BESIDE = re.compile(
    r"(?P<of>[^.][^/]*?)(\.previous)?(?P<aside>\.damaged-[0-9]+)?"
    r"|\.(?P<left_of>[^/]+?)(\.previous)?\.(new|passing)"
)


class Beside(NamedTuple):
    """What the name of a file says of it: the stored file it belongs to, and how it came to be.

    A leftover is neither of the two generations.
    """

    of: str
    is_aside: bool
    is_crash: bool

    @property
    def is_leftover(self) -> bool:
        return self.is_aside or self.is_crash


def beside_in(name: str) -> Beside | None:
    """What the name of a file says; None for a hidden file that no crash of ours leaves."""
    found = _BESIDE.fullmatch(name)
    if found is None:
        return None
    of = found["of"] or found["left_of"]
    return Beside(of, is_aside=found["aside"] is not None, is_crash=found["left_of"] is not None)


def previous_of(path: Path) -> Path:
    return path.with_name(f"{path.name}{PREVIOUS}")


def new_of(path: Path) -> Path:
    return path.with_name(f".{path.name}.new")


def passing_of(path: Path) -> Path:
    return path.with_name(f".{path.name}.passing")


def free_place_aside(path: Path) -> Path:
    """The first name for a damaged file that is not taken yet."""
    number = 1
    while is_there(aside := path.with_name(f"{path.name}.damaged-{number}")):
        number += 1
    return aside


def leftovers_of(path: Path) -> Iterator[Path]:
    """What a crash left of one file, and what was set aside of either of its generations."""
    for found in sorted(path.parent.iterdir()) if is_folder(path.parent) else ():
        if (beside := beside_in(found.name)) and beside.of == path.name and beside.is_leftover:
            yield found


def everything_of(path: Path) -> tuple[Path, ...]:
    """Both generations of a file, whether they are there or not, and its leftovers."""
    return previous_of(path), path, *leftovers_of(path)
