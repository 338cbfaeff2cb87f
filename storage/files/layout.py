"""The layout of a stored file: a head with format, version and checksum, then its tables.

The file is JSON. Its first line is the head, which can be read alone: ``format`` and ``version`` come first,
then the SHA-256 of format, version and the tables that follow.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Mapping
from typing import Any, NamedTuple

from engine.base.issue import Unreadable
from engine.base.reading import parse_json
from storage.problem import Cause, StorageProblem
from storage.schema import VERSION, Tables, migrate

LONGEST_HEAD_BYTES = 1_000
FEWEST_NAMES_OF_OURS = 3
_NAMES = {"format", "version", "sha256", "tables"}
_BEGINNING = re.compile(
    rb'\{"format": ?"([a-z-]+-file|history-folds|weeks-of-a-year|running-record)", ?"version": ?([0-9]{1,9})'
)
_TABLES, _END = b', "tables":', b"\n}\n"


class Damaged(Exception):
    """The content is not what was written."""


class Head(NamedTuple):
    """What the first line of a file says of the rest."""

    version: int
    sha256: str


def encode(tables: Mapping[str, Any], format: str, *, sort_keys: bool = False) -> bytes:
    """The bytes of a file of this version."""
    body = json.dumps(
        tables, ensure_ascii=False, separators=(",", ":"), allow_nan=False, sort_keys=sort_keys
    ).encode()
    head = {"format": format, "version": VERSION, "sha256": _checksum(format, VERSION, body)}
    return json.dumps(head).encode()[:-1] + _TABLES + b"\n" + body + _END


def _checksum(format: str, version: int, body: bytes) -> str:
    return hashlib.sha256(f"{format} {version}\n".encode() + body).hexdigest()


def decode(
    content: bytes, format: str, name: str, *, parse: Callable[[bytes], object] = json.loads
) -> Tables:
    """The tables of a file, migrated to this version. ``name`` is for the message of a problem.

    Raises Damaged, StorageProblem for a file of a newer version, and whatever ``parse`` raises.
    """
    first, _, rest = content.partition(b"\n")
    head = _head(first, format)
    if head is None or head.version > VERSION:
        _refuse_newer(content, head, format, name)
        raise Damaged
    body = rest.removesuffix(_END)
    if body == rest or _checksum(format, head.version, body) != head.sha256:
        raise Damaged
    tables = parse(body)
    if b"\\u" in body:
        _refuse_half_characters(tables)
    if not isinstance(tables, dict) or not all(isinstance(table, dict) for table in tables.values()):
        raise Damaged
    try:
        return migrate(tables, format, head.version)
    except (LookupError, TypeError, AttributeError, ValueError):
        raise Damaged from None  # No version wrote such tables.


def _refuse_half_characters(content: object) -> None:
    """Raises Damaged where an escape stands for half a character, which cannot be encoded again."""
    try:
        json.dumps(content, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise Damaged from None


def _head(first: bytes, format: str) -> Head | None:
    if not first.endswith(_TABLES) or len(first) > LONGEST_HEAD_BYTES:
        return None
    try:
        found = json.loads(first.removesuffix(_TABLES) + b"}")
    except (ValueError, RecursionError):
        return None
    match found:
        case {"format": str(kind), "version": int(version), "sha256": str(checksum)} if kind == format:
            return Head(version, checksum)
    return None


def format_in(content: bytes) -> str | None:
    """The format that the beginning of a file of ours names; None where another program wrote it."""
    found = _BEGINNING.match(content)
    return found[1].decode() if found else None


def version_in(content: bytes) -> int:
    """The version that the beginning of a file of ours names; 0 where another program wrote it."""
    found = _BEGINNING.match(content)
    return int(found[2]) if found else 0


def is_of_another_program(content: bytes) -> bool:
    """Whether a file that is not as this version writes it is a whole document of another kind.

    What damage leaves of ours is no JSON, or still has most of the names in its head.
    """
    try:
        found = parse_json(content, most_bytes=len(content))
    except (Unreadable, RecursionError):
        return False
    return not isinstance(found, dict) or len(_NAMES & found.keys()) < FEWEST_NAMES_OF_OURS


def _refuse_newer(content: bytes, head: Head | None, format: str, name: str) -> None:
    """Raises StorageProblem for any JSON of this format that claims a newer version.

    A newer version may use another layout, so its head may not be found where this version expects it.
    """
    version: object = head.version if head else None
    if head is None:
        try:
            found = parse_json(content, most_bytes=len(content))
        except (Unreadable, RecursionError):
            return
        if isinstance(found, dict) and found.get("format") == format:
            version = found.get("version")
    if isinstance(version, int) and version > VERSION:
        raise StorageProblem(Cause.newer, name, str(version))
