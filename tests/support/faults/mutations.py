"""Damage to bytes: changed, torn, doubled, cut."""

from __future__ import annotations

import random
from collections.abc import Callable

Mutation = Callable[[random.Random, bytes], bytes]


def with_other_bytes(
    chance: random.Random, content: bytes, *, start: int = 0, end: int | None = None
) -> bytes:
    """The bytes with one to eight of them changed between two places."""
    changed = bytearray(content)
    for _ in range(chance.randint(1, 8)):
        changed[chance.randrange(start, len(changed) if end is None else end)] = chance.randrange(256)
    return bytes(changed)


def with_a_piece_gone(chance: random.Random, content: bytes) -> bytes:
    start = chance.randrange(len(content))
    return content[:start] + content[start + chance.randint(1, 2_000) :]


def with_a_piece_twice(chance: random.Random, content: bytes) -> bytes:
    start = chance.randrange(len(content))
    end = start + chance.randint(1, 2_000)
    return content[:end] + content[start:end] + content[end:]


def cut_short(chance: random.Random, content: bytes) -> bytes:
    return content[: chance.randrange(len(content))]
