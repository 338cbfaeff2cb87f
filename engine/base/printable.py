"""Text from outside made safe to print: nothing in it steers a terminal or turns the direction of writing.

There are two filters because a name or the message of a fault has to stay on one line, where a blank keeps
apart what a line break separated, while a note keeps the lines that its writer gave it.

Control characters: C0 and C1 of ISO/IEC 6429. Directional overrides and isolates: Unicode Standard Annex 9,
2.1–2.5. Marks that only help an honest right-to-left text stay.
"""

from __future__ import annotations

import re

_STEERING = "\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069"
"""Control characters except tab and line feed, and whatever overrides the direction of writing."""
_UNFIT_FOR_A_LINE = re.compile(f"[{_STEERING}\t\n\u2028\u2029\ud800-\udfff]")
_UNFIT_FOR_LINES = re.compile(f"[{_STEERING}]")


def printable_line(text: str) -> str:
    """The text on one line: a blank replaces each steering character, tab, line break and lone surrogate."""
    return _UNFIT_FOR_A_LINE.sub(" ", text)


def printable_lines(text: str) -> str:
    """The text without steering characters; its tabs and line breaks stay."""
    return _UNFIT_FOR_LINES.sub("", text)
