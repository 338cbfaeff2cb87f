"""A sentence that reads otherwise for one than for several."""

from __future__ import annotations

from typing import NamedTuple


class Plural(NamedTuple):
    """``by`` is the argument that is counted; further counts of a sentence are messages of their own."""

    by: str
    one: str
    other: str


Sentences = dict[str, "str | Plural"]
"""By code, with the arguments in braces; ``{gained:clock}`` writes a length of time as 2:00,
``{whole:seconds}`` as 120 s."""
