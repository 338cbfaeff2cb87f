"""Bytes as text for links."""

from __future__ import annotations

import pytest

from engine.base.base_41 import DIGITS, from_base_41, to_base_41


def test_a_text_keeps_to_characters_that_stand_in_a_fragment_and_that_a_code_packs_well() -> None:
    """RFC 3986, section 3.5, and the alphanumeric set of ISO/IEC 18004 (from memory)."""
    in_a_fragment = set("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~!$&'()*+,;=:@/?")
    in_a_code = set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")
    assert set(DIGITS) <= in_a_fragment & in_a_code


@pytest.mark.parametrize("raw", [b"\x00", b"\xff", b"\xff\xff", b"\x00\x00\xff", bytes(range(256))])
def test_bytes_come_back_from_base_41_and_no_text_ends_like_a_sentence(raw: bytes) -> None:
    text = to_base_41(raw)
    assert from_base_41(text) == raw
    assert text[-1] not in ":."


@pytest.mark.parametrize("text", ["0", "0000", "a", "00 ", ":::", ":/"])
def test_a_text_that_is_never_made_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        from_base_41(text)
