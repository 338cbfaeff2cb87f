"""A language that nobody speaks: every text in brackets, accented and 40 % longer, its blanks as they were.

What a screen shows without brackets is not in the catalogues; what is cut off at that length would be cut off
in other languages. The lengths are common practice, no source.
"""

from __future__ import annotations

import re
from gettext import NullTranslations

from companion.words.language import Language, language

ACCENTS = str.maketrans("aeiouyAEIOUYcnsz", "àéîöûýÀÉÎÖÛÝçñšž")
_BLANK = re.compile(r"(\{[^{}]*\})")
LONGER_BY = 0.4


def pseudo(text: str) -> str:
    """The text in the language that nobody speaks."""
    parts = _BLANK.split(text)
    accented = "".join(part if _BLANK.fullmatch(part) else part.translate(ACCENTS) for part in parts)
    longer = "~" * max(1, round(LONGER_BY * len(_BLANK.sub("", text))))
    return f"⟦{accented} {longer}⟧"


class Pseudo(NullTranslations):
    def gettext(self, message: str) -> str:
        return pseudo(message)

    def ngettext(self, one: str, other: str, n: int) -> str:
        return pseudo(one if n == 1 else other)

    def pgettext(self, context: str, message: str) -> str:
        return pseudo(message)

    def npgettext(self, context: str, one: str, other: str, n: int) -> str:
        return pseudo(one if n == 1 else other)


def pseudo_language(*, is_rtl: bool = False) -> Language:
    """It has the habits of English, in brackets too, and may run from right to left."""
    english = language("en").locale
    habits = english._replace(
        days=tuple(map(pseudo, english.days)),
        months=tuple(map(pseudo, english.months)),
        pair="{0} ⟦&⟧ {1}",
        end="{0} ⟦&⟧ {1}",
        is_rtl=is_rtl,
    )
    return Language("xx", Pseudo(), habits)
