"""Text from outside made safe to show, name or print: the only filter, for screens, paper and terminals.

Nothing in what it returns steers a terminal, turns the direction of writing, or is there without being seen.
There are two variants because a name or the message of a fault has to stay on one line, where a blank keeps
apart what a line break separated, while a note keeps the lines that its writer gave it.

Control characters: C0 and C1 of ISO/IEC 6429. Directional marks, overrides and isolates: Unicode Standard
Annex 9, 2.1–2.6. Invisible characters: those with the property Default_Ignorable_Code_Point (Unicode
Character Database, DerivedCoreProperties.txt) but the variation selectors 15 and 16, which choose between
text and picture; and the blank Braille pattern. A zero-width joiner stays between letters or pictures that
are not ASCII: scripts and pictures are spelled with it.
"""

from __future__ import annotations

import re

_STEERING = "\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069"
"""Control characters except tab and line feed, and whatever overrides the direction of writing."""
_JOINERS = "\u200c\u200d"
_UNSEEN = (
    "\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200e\u200f\u2060-\u2065\u206a-\u206f"
    "\u2800\u3164\ufe00-\ufe0d\ufeff\uffa0\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a"
    "\U000e0000-\U000e0fff"
)
"""Marks of direction, fillers, tags, and whatever else has no width and no ink."""
_LOOSE_JOINER = rf"(?<![^\x00-\xa0{_JOINERS}])[{_JOINERS}]+|[{_JOINERS}]+(?![^\x00-\xa0{_JOINERS}])"
_UNSEEN_AT_ALL = re.compile(f"[{_UNSEEN}]")
_JOINING_NOTHING = re.compile(_LOOSE_JOINER)
_UNFIT_FOR_A_LINE = re.compile(f"[{_STEERING}\t\n\u2028\u2029\ud800-\udfff]")
_UNFIT_FOR_LINES = re.compile(f"[{_STEERING}\ud800-\udfff]")


def printable_line(text: str) -> str:
    """The text on one line: a blank replaces each steering character, tab, line break and lone surrogate."""
    return _seen(_UNFIT_FOR_A_LINE.sub(" ", text))


def printable_lines(text: str) -> str:
    """The text without steering characters; its tabs and line breaks stay."""
    return _seen(_UNFIT_FOR_LINES.sub("", text))


def is_seen(text: str) -> bool:
    """Whether anything of a text can be seen."""
    return bool(printable_line(text).strip())


def _seen(text: str) -> str:
    return text if text.isascii() else _JOINING_NOTHING.sub("", _UNSEEN_AT_ALL.sub("", text))
