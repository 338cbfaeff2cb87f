"""What is refused of a file though its checksum is right."""

from __future__ import annotations

import json
from hashlib import sha256

import pytest

from storage.files.layout import LONGEST_HEAD_BYTES, Damaged, decode, encode
from storage.schema import VERSION

FORMAT = "notes"


def file_of(body: bytes) -> bytes:
    """A file of this version with a body that somebody else wrote."""
    first, _, rest = encode({}, FORMAT).partition(b"\n")
    checksum = sha256(f"{FORMAT} {VERSION}\n".encode() + body).hexdigest().encode()
    mine = json.loads(first.split(b', "tables"')[0] + b"}")["sha256"].encode()
    return first.replace(mine, checksum) + b"\n" + rest.replace(b"{}", body, 1)


@pytest.mark.parametrize("text", ['"fine"', '"\\u00e9"', '"\\ud83d\\ude00"', '"\\\\ud800"'])
def test_what_can_be_written_again_is_read(text: str) -> None:
    assert decode(file_of(b'{"a":{"b":%s}}' % text.encode()), FORMAT, "a file")


def test_a_head_that_goes_on_and_on_is_damage() -> None:
    """A file is never searched for the end of its first line."""
    first, _, rest = encode({}, FORMAT).partition(b"\n")
    longest = first.replace(b": ", b": " + b" " * (LONGEST_HEAD_BYTES - len(first)), 1)
    assert decode(longest + b"\n" + rest, FORMAT, "a file") == {}
    with pytest.raises(Damaged):
        decode(longest.replace(b": ", b":  ", 1) + b"\n" + rest, FORMAT, "a file")


@pytest.mark.parametrize("body", [b'{"a":{"b":"\\ud800"}}', b'{"a":{"b":"\\ude00x"}}', b"[]", b'{"a":1}'])
def test_half_a_character_and_what_is_no_table_is_damage(body: bytes) -> None:
    """RFC 8259, section 8.2: half a surrogate pair is no character, and cannot be encoded in UTF-8."""
    with pytest.raises(Damaged):
        decode(file_of(body), FORMAT, "a file")
