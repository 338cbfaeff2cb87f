"""Damage to bytes: changed, torn, doubled, cut. And documents that say something strange."""

from __future__ import annotations

import random
from collections.abc import Callable
from copy import deepcopy
from typing import Any

Mutation = Callable[[random.Random, bytes], bytes]
STRANGE: tuple[Any, ...] = (
    *(
        None,
        True,
        -1,
        0,
        1.5,
        10**14,
        10**19,
        -(10**14),
        1e300,
        "",
        "x",
        "\u202e",
        "\ud800",
        "\0",
        "x" * 9_000,
    ),
    *("9999-12-31", "0001-01-01", "2026-W53", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00"),
    *([], {}, [[]], [None], {"": ""}, "../../etc/passwd", "NaN", "1e999"),
)


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


def make_strange(chance: random.Random, inside: Any) -> None:
    """Replaces, removes or doubles one to three values anywhere."""
    for _ in range(chance.randint(1, 3)):
        holder = inside
        while True:
            places = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
            if not places:
                break
            place = chance.choice(places)
            if isinstance(holder[place], dict | list) and holder[place] and chance.random() < 0.85:
                holder = holder[place]
                continue
            if chance.random() < 0.1:
                del holder[place]
            elif isinstance(holder, list) and chance.random() < 0.1:
                holder.append(deepcopy(holder[place]))
            else:
                holder[place] = deepcopy(chance.choice(STRANGE))
            break
