"""Links that carry a plan or an adjustment in their fragment, which no browser sends to a server.

    https://…/#plan=<text>          https://…/#adjustment=<text>

The text is, in base 41: one byte for the version of the link, four for the CRC-32 of the content, and the
content, deflated with a frozen dictionary. The content is the document's canonical JSON without its format
and without what equals a default.

Base 41 writes two bytes as three of the characters that may stand in a fragment as they are *and* that a QR
code packs at 5.5 bits: a plan takes a smaller code than in base 64, whose small letters cost 8 bits each.
"""

from __future__ import annotations

import json
import re
import zlib
from functools import cache
from importlib import resources
from typing import Any, TypeAlias
from urllib.parse import unquote

from pydantic import BaseModel

from engine.base.issue import Issue, Unreadable
from engine.base.reading import parse_json, read
from engine.plan.adjustment import Adjustment, adjustment_faults
from engine.plan.check import check
from engine.plan.plan import SessionPlan

VERSION = 1
"""The version of links. It rises with a new dictionary, and with any change of a default of what links carry:
what was left out of an old link keeps the meaning it had."""
LONGEST_TEXT = 8_000
"""Characters of the text after ``=``. Whatever is longer goes as a file: messengers cut long links. † Our
judgement, no source."""
MOST_CONTENT_BYTES = 200_000
"""What a text of that length is allowed to grow to when it is read."""
LONGEST_BASE_ADDRESS = 200

Carried: TypeAlias = SessionPlan | Adjustment
_CARRIED: dict[str, type[Carried]] = {"plan": SessionPlan, "adjustment": Adjustment}
_DIGITS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-/+:."
"""41 characters. The last of three digits is below 39, so that no text ends in the colon or the full stop
which programs that find links in a message take for the sentence's."""
_VALUES = {digit: value for value, digit in enumerate(_DIGITS)}
_BASE_ADDRESS = re.compile(
    r"(https://[a-z0-9.-]+|http://(localhost|127\.0\.0\.1))(:\d{1,5})?(/[A-Za-z0-9/._~-]*)?"
)


class TooLong(ValueError):
    """A document that does not fit into a link."""

    def __init__(self, length: int) -> None:
        super().__init__(
            f"This takes a link of {length} characters, and {LONGEST_TEXT} are the most: send it as a file."
        )


def base_address_fault(base_address: str) -> str | None:
    """Why links cannot start with this address, in one sentence; None where they can."""
    if len(base_address) > LONGEST_BASE_ADDRESS or not _BASE_ADDRESS.fullmatch(base_address):
        return "Write the address where the companion is served: https://, a host, and its folder."
    return None


def link(base_address: str | None, document: Carried) -> str | None:
    """The link that carries a document, or None without an address to start with: then there is only the file
    and the sheet.

    Raises ValueError for an address that cannot start a link, and TooLong.
    """
    if not base_address:
        return None
    fault = base_address_fault(base_address)
    if fault is not None:
        raise ValueError(fault)
    return f"{base_address}#{fragment(document)}"


def fragment(document: Carried) -> str:
    """``plan=…`` or ``adjustment=…``. Raises TooLong."""
    content = _content(document)
    checked = bytes([VERSION]) + zlib.crc32(content).to_bytes(4, "big")
    text = _to_base_41(checked + _deflated(content))
    if len(text) > LONGEST_TEXT or len(content) > MOST_CONTENT_BYTES:
        raise TooLong(len(text))
    key = next(key for key, model in _CARRIED.items() if isinstance(document, model))
    return f"{key}={text}"


def read_link(written: str) -> Carried:
    """The document of a link, of a fragment, or of what was copied of it with spaces and line ends.

    Raises Unreadable with one sentence, also for a document with faults: what comes back can be used.
    """
    key, text = _key_and_text(written)
    packed = _from_base_41(text)
    if packed[:1] > bytes([VERSION]):
        raise _refusal(
            f"This link was made by a newer version ({packed[0]}); this one reads up to {VERSION}."
        )
    if len(packed) < 6 or packed[0] != VERSION:
        raise _damaged()
    content = _inflated(packed[5:])
    if zlib.crc32(content) != int.from_bytes(packed[1:5], "big"):
        raise _damaged()
    return _document(_CARRIED[key], content)


def _key_and_text(written: str) -> tuple[str, str]:
    longest = LONGEST_BASE_ADDRESS + LONGEST_TEXT + 20
    if len(written) > 2 * longest or len(joined := "".join(written.split())) > longest:
        raise _refusal(f"The link is longer than {longest} characters.")
    key, _, text = unquote(joined).rpartition("#")[2].partition("=")
    if key not in _CARRIED:
        raise _refusal("This link carries neither a plan nor an adjustment.")
    return key, text


def _document(model: type[Carried], content: bytes) -> Carried:
    """Reads the content as the format that the link's key names."""
    fields = parse_json(content, most_bytes=MOST_CONTENT_BYTES)
    if not isinstance(fields, dict) or "format" in fields:
        raise _damaged()
    try:
        document = read(model, json.dumps({"format": model.model_fields["format"].default} | fields))
    except Unreadable as unreadable:
        raise Unreadable(unreadable.issues[0].in_short()) from None
    faults = check(document) if isinstance(document, SessionPlan) else adjustment_faults(document)
    if faults:
        raise Unreadable(faults[0].in_short())
    return document


def _content(document: Carried) -> bytes:
    fields = _lean(document, document.model_dump(mode="json"))
    del fields["format"]
    return json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def _lean(value: object, written: Any) -> Any:
    """What is written of a value without what equals a default; kinds, formats and versions say what the rest
    is, and stay."""
    if isinstance(value, tuple):
        return [_lean(one, as_written) for one, as_written in zip(value, written, strict=True)]
    if not isinstance(value, BaseModel):
        return written
    return {
        name: _lean(getattr(value, name), written[name])
        for name, field in type(value).model_fields.items()
        if name in ("format", "version", "kind") or getattr(value, name) != field.get_default()
    }


@cache
def _dictionary() -> bytes:
    """What every link may refer to instead of spelling it out. The file never changes; a new one has a new
    number, and links a new version."""
    return resources.files("engine.plan").joinpath(f"link-dictionary-{VERSION}.txt").read_bytes()


def _deflated(content: bytes) -> bytes:
    """Raw deflate at its smallest. Which bytes come out may differ between builds of zlib; what they say may
    not."""
    deflate = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS, 9, zdict=_dictionary())
    return deflate.compress(content) + deflate.flush()


def _inflated(deflated: bytes) -> bytes:
    """The content, never more than the limit. Raises Unreadable for what is cut off, goes on or is no
    stream."""
    inflate = zlib.decompressobj(-zlib.MAX_WBITS, zdict=_dictionary())
    try:
        content = inflate.decompress(deflated, MOST_CONTENT_BYTES)
    except zlib.error:
        raise _damaged() from None
    if not inflate.eof or inflate.unused_data or inflate.unconsumed_tail:
        raise _damaged()
    return content


def _to_base_41(packed: bytes) -> str:
    """Two bytes as three digits, a last single byte as two; the lowest digit stands first."""
    pairs = (packed[at : at + 2] for at in range(0, len(packed), 2))
    return "".join(_digits(int.from_bytes(pair, "big"), len(pair) + 1) for pair in pairs)


def _digits(value: int, count: int) -> str:
    return "".join(_DIGITS[value // 41**place % 41] for place in range(count))


def _from_base_41(text: str) -> bytes:
    if len(text) % 3 == 1 or not set(text) <= _VALUES.keys():
        raise _damaged()
    groups = (text[at : at + 3] for at in range(0, len(text), 3))
    try:
        return b"".join(_value(group).to_bytes(len(group) - 1, "big") for group in groups)
    except OverflowError:
        raise _damaged() from None


def _value(group: str) -> int:
    return sum(_VALUES[digit] * 41**place for place, digit in enumerate(group))


def _damaged() -> Unreadable:
    return _refusal("This link is damaged or was cut off; ask for it again, or for the file.")


def _refusal(sentence: str) -> Unreadable:
    return Unreadable(Issue("", sentence))
