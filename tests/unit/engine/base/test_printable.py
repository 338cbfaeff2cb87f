"""Text from outside is shown without what steers a terminal, turns its order, or cannot be seen."""

from __future__ import annotations

import sys
import unicodedata

import pytest
from builders import plan, profile
from pydantic import ValidationError

from engine.base.issue import Issue, issue_of
from engine.base.message import message
from engine.base.printable import is_seen, printable_line, printable_lines

JOINERS = "\u200c\u200d"
UNSEEN = (
    "\u061c\u200e\u200f\u200b\u2060\ufeff\u00ad\u034f\u115f\u1160\u3164\uffa0\u2800\u180e\U000e0041\U000e007f"
)
VISIBLE_FORMAT = {*range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD}
"""Signs of category Cf that are seen: signs of number and of verse (Unicode Standard, 9.2 and 9.3)."""
HIEROGLYPHS = range(0x13430, 0x13460)
"""Controls of Egyptian hieroglyphs, which put signs together (Unicode Standard, 11.4)."""


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u202eb\u202cc", "abc"),
        ("\x1b[31mred\x07", "[31mred"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("שלום \u200fעולם", "שלום עולם"),
        ("half \ud83c a pair", "half  a pair"),
    ],
)
def test_text_is_shown_without_what_steers_a_terminal_or_turns_its_order(text: str, shown: str) -> None:
    """Directional overrides and isolates: Unicode Standard Annex 9, 2.1–2.6; control characters: C0 and C1 of
    ISO/IEC 6429."""
    assert printable_lines(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u202eb\u202cc", "a b c"),
        ("\x1b[31mred\x07", " [31mred "),
        ("two\nlines\tand a tab", "two lines and a tab"),
        ("one\u2028two\u2029three", "one two three"),
        ("half \ud83c a pair", "half   a pair"),
        (f"Ru{UNSEEN}na", "Runa"),
    ],
)
def test_a_line_has_a_blank_for_whatever_would_break_or_steer_it(text: str, shown: str) -> None:
    assert printable_line(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("می\u200cخواهم", "می\u200cخواهم"),
        ("क्\u200dष", "क्\u200dष"),
        ("👩\u200d🔧 ❤\ufe0f\u200d🔥", "👩\u200d🔧 ❤\ufe0f\u200d🔥"),
        ("a\u200db\u200c", "ab"),
        ("\u200dш\u200d\u200dш\u200d", "шш"),
    ],
)
def test_joiners_stay_only_where_a_script_or_a_picture_is_spelled_with_them(text: str, shown: str) -> None:
    """Persian and Devanagari need them (Unicode Standard, 9.2 and 12.1), and pictures put together of several
    (Unicode Technical Standard 51, 2.7)."""
    assert printable_line(text) == shown


def test_every_control_and_format_character_of_unicode_is_filtered() -> None:
    kept = VISIBLE_FORMAT | set(HIEROGLYPHS) | set(map(ord, JOINERS))
    for code in range(sys.maxunicode + 1):
        sign = chr(code)
        if unicodedata.category(sign) in ("Cc", "Cf", "Cs") and code not in kept and sign not in "\t\n":
            assert sign not in printable_lines(f"ш{sign}ш"), hex(code)
            assert sign not in printable_line(f"ш{sign}ш"), hex(code)


@pytest.mark.parametrize("name", [*UNSEEN, " ", "\u3000", "\x1b", "\u200d", "\u3164 \u2060"])
def test_a_name_of_which_nothing_can_be_seen_is_refused(name: str) -> None:
    """U+3164 alone was accepted."""
    assert not is_seen(name)
    for document in (lambda: profile(name=name), lambda: plan(name=name)):
        with pytest.raises(ValidationError) as refused:
            document()
        assert issue_of(refused.value.errors()[0]) == Issue(("name",), message("name_not_seen"))
