"""Bytes as text in base 41: two bytes become three characters.

The characters may appear in the fragment of an address as they are *and* belong to those that a QR code packs
at 5.5 bits each. So a text takes a smaller code than in base 64, whose small letters cost 8 bits each.
"""

from __future__ import annotations

DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-/+:."
"""41 characters. The last of three digits is below 39, so that no text ends in a colon or a full stop:
programs that look for links in a message would take those for the sentence's own."""
_VALUES = {digit: value for value, digit in enumerate(DIGITS)}


def to_base_41(raw: bytes) -> str:
    """Three digits for each two bytes, two for a single last byte; the lowest digit comes first."""
    pairs = (raw[at : at + 2] for at in range(0, len(raw), 2))
    return "".join(_digits(int.from_bytes(pair, "big"), len(pair) + 1) for pair in pairs)


def from_base_41(text: str) -> bytes:
    """The bytes of a text. Raises ValueError for a text that ``to_base_41`` never makes."""
    if len(text) % 3 == 1 or not set(text) <= _VALUES.keys():
        raise ValueError("This is not a text in base 41.")
    groups = (text[at : at + 3] for at in range(0, len(text), 3))
    try:
        return b"".join(_value(group).to_bytes(len(group) - 1, "big") for group in groups)
    except OverflowError:
        raise ValueError("This is not a text in base 41.") from None


def _digits(value: int, length: int) -> str:
    return "".join(DIGITS[value // 41**place % 41] for place in range(length))


def _value(group: str) -> int:
    return sum(_VALUES[digit] * 41**place for place, digit in enumerate(group))
