"""Links that carry a plan or an adjustment in their fragment, which no browser sends to a server.

    https://…/#plan=<text>          https://…/#adjustment=<text>

The text holds, in base 41: one byte for the version of the link, four for the CRC-32 of the content, and the
content, deflated with a frozen dictionary. The content is the document's canonical JSON without its format
and without whatever equals a default.
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

from engine.base.base_41 import from_base_41, to_base_41
from engine.base.issue import Unreadable, WrongValue, unreadable
from engine.base.message import Count, Message, message
from engine.base.reading import parse_json, read
from engine.plan.adjustment import Adjustment, adjustment_faults
from engine.plan.check import check
from engine.plan.plan import SessionPlan

VERSION = 5
"""The version of links. It rises with a new dictionary, and with any change of a default in what links carry:
a field left out of an old link has to keep the meaning it had."""
LONGEST_TEXT = 8_000
"""Characters after ``=``. A longer document goes as a file, since messengers cut long links. † Our judgement,
no source."""
MOST_CONTENT_BYTES = 200_000
"""How much content a link may inflate to."""
LONGEST_BASE_ADDRESS = 200

Carried: TypeAlias = SessionPlan | Adjustment
_CARRIED: dict[str, type[Carried]] = {"plan": SessionPlan, "adjustment": Adjustment}
_BASE_ADDRESS = re.compile(
    r"(https://[a-z0-9.-]+|http://(localhost|127\.0\.0\.1))(:\d{1,5})?(/[A-Za-z0-9/._~-]*)?"
)


class TooLong(WrongValue):
    """Raised for a document that does not fit into a link."""

    def __init__(self, length: int) -> None:
        most = Count(count=LONGEST_TEXT)
        super().__init__(message("too_long_for_a_link", length=Count(count=length), most=most))


def base_address_fault(base_address: str) -> Message | None:
    """Why links cannot start with this address; None where they can."""
    if len(base_address) > LONGEST_BASE_ADDRESS or not _BASE_ADDRESS.fullmatch(base_address):
        return message("write_address")
    return None


def link(base_address: str | None, document: Carried) -> str | None:
    """The link that carries a document; None where there is no address to start with.

    Raises WrongValue for an address that cannot start a link, and TooLong.
    """
    if not base_address:
        return None
    fault = base_address_fault(base_address)
    if fault is not None:
        raise WrongValue(fault)
    return f"{base_address}#{fragment(document)}"


def fragment(document: Carried) -> str:
    """The part of the link after ``#``: ``plan=…`` or ``adjustment=…``. Raises TooLong."""
    content = _content(document)
    checked = bytes([VERSION]) + zlib.crc32(content).to_bytes(4, "big")
    text = to_base_41(checked + _deflated(content))
    if len(text) > LONGEST_TEXT or len(content) > MOST_CONTENT_BYTES:
        raise TooLong(len(text))
    key = next(key for key, model in _CARRIED.items() if isinstance(document, model))
    return f"{key}={text}"


def read_link(written: str) -> Carried:
    """The document that a link or its fragment carries; spaces and line breaks from copying do not matter.

    Raises Unreadable with one fault, also for a document with faults: whatever is returned can be used.
    """
    key, text = _key_and_text(written)
    try:
        packed = from_base_41(text)
    except ValueError:
        raise _damaged() from None
    if packed[:1] > bytes([VERSION]):
        raise unreadable(message("made_with_newer"))
    if len(packed) < 6 or packed[0] != VERSION:
        raise _damaged()
    content = _inflated(packed[5:])
    if zlib.crc32(content) != int.from_bytes(packed[1:5], "big"):
        raise _damaged()
    return _document(_CARRIED[key], content)


def _key_and_text(written: str) -> tuple[str, str]:
    longest = LONGEST_BASE_ADDRESS + LONGEST_TEXT + 20
    if len(written) > 2 * longest or len(joined := "".join(written.split())) > longest:
        raise unreadable(message("link_too_long", most=Count(count=longest)))
    key, _, text = unquote(joined).rpartition("#")[2].partition("=")
    if key not in _CARRIED:
        raise unreadable(message("link_carries_nothing"))
    return key, text


def _document(model: type[Carried], content: bytes) -> Carried:
    """Reads the content as the format that the link's key names."""
    fields = parse_json(content, most_bytes=MOST_CONTENT_BYTES)
    if not isinstance(fields, dict) or "format" in fields:
        raise _damaged()
    try:
        document = read(model, json.dumps({"format": model.model_fields["format"].default} | fields))
    except Unreadable as refused:
        raise Unreadable(refused.issues[0]) from None
    faults = check(document) if isinstance(document, SessionPlan) else adjustment_faults(document)
    if faults:
        raise Unreadable(faults[0])
    return document


def _content(document: Carried) -> bytes:
    fields = _lean(document, document.model_dump(mode="json"))
    del fields["format"]
    return json.dumps(fields, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()


def _lean(value: object, written: Any) -> Any:
    """The JSON ``written`` of a value without whatever equals a default.

    Kinds, formats and versions stay, because they say what the rest means.
    """
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
    """The text that links refer to instead of spelling it out.

    The file never changes: a new dictionary is a new file, and a new version of links.
    """
    return resources.files("engine.plan").joinpath(f"link-dictionary-{VERSION}.txt").read_bytes()


def _deflated(content: bytes) -> bytes:
    """Raw deflate at its strongest. Builds of zlib may differ in the bytes, but not in what they mean."""
    deflate = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS, 9, zdict=_dictionary())
    return deflate.compress(content) + deflate.flush()


def _inflated(deflated: bytes) -> bytes:
    """The content, never more than the limit.

    Raises Unreadable for bytes that are cut off, go on after the end, or are no deflate stream.
    """
    inflate = zlib.decompressobj(-zlib.MAX_WBITS, zdict=_dictionary())
    try:
        content = inflate.decompress(deflated, MOST_CONTENT_BYTES)
    except zlib.error:
        raise _damaged() from None
    if not inflate.eof or inflate.unused_data or inflate.unconsumed_tail:
        raise _damaged()
    return content


def _damaged() -> Unreadable:
    return unreadable(message("link_damaged"))
