"""Text from outside is printed without what steers a terminal or turns the direction of writing."""

from __future__ import annotations

import pytest

from engine.base.printable import printable_line, printable_lines


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u202eb\u202cc", "abc"),
        ("\x1b[31mred\x07", "[31mred"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("שלום \u200fעולם", "שלום \u200fעולם"),
    ],
)
def test_text_is_shown_without_what_steers_a_terminal_or_turns_its_order(text: str, shown: str) -> None:
    """Directional overrides and isolates: Unicode Standard Annex 9, 2.1–2.5; control characters: C0 and C1 of
    ISO/IEC 6429. Marks that only help an honest right-to-left text stay."""
    assert printable_lines(text) == shown


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("a\u202eb\u202cc", "a b c"),
        ("\x1b[31mred\x07", " [31mred "),
        ("two\nlines\tand a tab", "two lines and a tab"),
        ("one\u2028two\u2029three", "one two three"),
        ("half \ud83c a pair", "half   a pair"),
        ("שלום \u200fעולם", "שלום \u200fעולם"),
    ],
)
def test_a_line_has_a_blank_for_whatever_would_break_or_steer_it(text: str, shown: str) -> None:
    assert printable_line(text) == shown
