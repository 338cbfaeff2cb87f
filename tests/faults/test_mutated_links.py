"""Links that were changed on their way, or made to do harm: each gives a document or one plain sentence.

A seed draws three kinds of mutation: of the visible text, of the packed bytes, and of the content inside a
link whose checks all pass. ``MUTATIONS`` sets how many.
"""

from __future__ import annotations

import json
import os
import random
import zlib
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import pytest
from places import GOLDEN, ROOT
from refusals import refused_because

from companion.words.faults import fault_words
from companion.words.words import english
from engine.base.base_41 import DIGITS, from_base_41, to_base_41
from engine.base.issue import LONGEST_ECHO, Unreadable
from engine.base.reading import read
from engine.plan import link as links
from engine.plan.adjustment import Adjustment, adjustment_faults, describe
from engine.plan.check import check
from engine.plan.link import Carried, fragment, read_link
from engine.plan.plan import SessionPlan
from engine.plan.sentences import plan_sentences

MUTATIONS = int(os.environ.get("MUTATIONS", "2000"))
SEED = 20261125


class Sent(NamedTuple):
    """A link as it was sent, in its parts."""

    key: str
    text: str
    content: bytes


def sent(document: Carried) -> Sent:
    key, _, text = fragment(document).partition("=")
    return Sent(key, text, links._content(document))


SENT = [
    *(
        sent(read(SessionPlan, path.read_bytes()))
        for path in sorted((ROOT / "companion" / "samples" / "plans").glob("*.json"))
    ),
    sent(read(SessionPlan, (GOLDEN / "plan.json").read_bytes())),
    sent(read(Adjustment, (GOLDEN / "adjustment.json").read_bytes())),
]
LONGEST_SENTENCE = 300 + 4 * LONGEST_ECHO
HOSTILE: list[Any] = [
    *(None, True, -1, 0, 10**19, 3.5, "", [], {}, [[]], {"": {}}),
    *(
        "x" * 5_000,
        "<script>alert(1)</script>",
        "\u202eevil",
        "\x1b[2J",
        "\x00",
        "’; DROP TABLE plans",
        "é" * 90,
    ),
    *("https://evil.example/", "javascript:alert(1)", "../../etc/passwd", "9" * 30, "3-0-X-0", "2026-13-45"),
]


def packed(key: str, content: bytes) -> str:
    checked = bytes([links.VERSION]) + zlib.crc32(content).to_bytes(4, "big")
    return f"{key}={to_base_41(checked + links._deflated(content))}"


def changed_text(link: Sent, draw: random.Random) -> str:
    text = list(f"{link.key}={link.text}")
    for _ in range(draw.randint(1, 4)):
        at = draw.randrange(len(text))
        other = draw.choice([*DIGITS, "é", "\u202e", "%", "", "=", "#", "🚣"])
        text[at : at + draw.choice([0, 1, 1, 30])] = other * draw.choice([1, 1, 50])
    return "".join(text)


def changed_bytes(link: Sent, draw: random.Random) -> str:
    raw = bytearray(from_base_41(link.text))
    for _ in range(draw.randint(1, 8)):
        at = draw.randrange(len(raw))
        raw[at : at + draw.choice([0, 1, 1, 9])] = draw.randbytes(draw.choice([0, 1, 1, 4]))
        raw = raw or bytearray(1)
    return f"{link.key}={to_base_41(bytes(raw))}"


def changed_content(link: Sent, draw: random.Random) -> str:
    fields = json.loads(link.content)
    for _ in range(draw.randint(1, 3)):
        holder, key = draw.choice(list(places(fields)))
        change_at(holder, key, draw)
    return packed(draw.choice([link.key] * 9 + ["plan"]), json.dumps(fields).encode())


def places(node: Any) -> Iterator[tuple[Any, Any]]:
    """Every holder and key in a tree of JSON."""
    pairs = list(node.items() if isinstance(node, dict) else enumerate(node))
    for key, value in pairs:
        yield node, key
        if isinstance(value, dict | list):
            yield from places(value)


def change_at(holder: Any, key: Any, draw: random.Random) -> None:
    value = holder[key]
    match draw.randrange(5):
        case 0:
            del holder[key]
        case 1 if isinstance(value, int) and not isinstance(value, bool):
            holder[key] = value + draw.choice([-100, -1, 1, 100, 10**6])
        case 2 if isinstance(holder, list):
            holder.extend([value] * draw.choice([1, 2, 100]))
        case 3 if isinstance(holder, dict):
            holder[draw.choice(["gears", "x" * 3_000, "kind", "version", "format", "<b>", "\u202e"])] = value
        case _:
            holder[key] = draw.choice(HOSTILE)


CHANGES: list[Callable[[Sent, random.Random], str]] = [
    *(changed_text, changed_bytes),
    *(changed_content, changed_content, changed_content),
]


def clean_or_one_sentence(written: str, *, tell: bool = True) -> str:
    """Returns “refused” or “taken”; anything else is an error. With ``tell`` a plan is fitted too."""
    try:
        document = read_link(written)
    except Unreadable as unreadable:
        (issue,) = unreadable.issues
        said = fault_words(issue)
        assert said.isprintable(), said
        assert 0 < len(said) <= LONGEST_SENTENCE, said
        return "refused"
    if isinstance(document, SessionPlan):
        assert check(document) == ()
        assert not tell or all(map(english, plan_sentences(document, None)))
    else:
        assert adjustment_faults(document) == ()
        assert all(map(english, describe(document, {})))
    assert read_link(fragment(document)) == document
    return "taken"


def test_a_mutated_link_is_a_clean_document_or_one_sentence() -> None:
    draw = random.Random(SEED)
    ended = {"refused": 0, "taken": 0}
    for number in range(MUTATIONS):
        written = draw.choice(CHANGES)(draw.choice(SENT), draw)
        ended[clean_or_one_sentence(written, tell=number % 20 == 0)] += 1
    assert ended["refused"] > MUTATIONS // 2
    assert ended["taken"] > MUTATIONS // 50, (
        "some mutations leave the document valid, so they reach the models"
    )


BOMB = zlib.compressobj(9, zlib.DEFLATED, -15)
HOSTILE_CONTENT: dict[str, bytes] = {
    "nested 100,000 deep": b'{"version":1,"blocks":' + b"[" * 90_000 + b"]" * 90_000 + b"}",
    "nested 41 deep": b'{"version":1,"blocks":' + b"[" * 41 + b"]" * 41 + b"}",
    "a number of 5,000 digits": b'{"version":' + b"9" * 5_000 + b"}",
    "a number beyond all bounds": b'{"version":1,"transition_s":1e999}',
    "not a number": b'{"version":1,"transition_s":NaN}',
    "endless": b'{"version":1,"transition_s":-Infinity}',
    "a lone surrogate": rb'{"version":1,"name":"\ud800"}',
    "no UTF-8": b'{"version":1,"name":"\xff\xfe"}',
    "no JSON": b"version: 1",
    "nothing": b"",
    "a list": b"[1]",
    "a word": b'"plan"',
    "a format of its own": b'{"format":"session-record","version":1}',
    "a name of 100 kB": b'{"version":1,"id":"a","blocks":[],"name":"' + b"n" * 100_000 + b'"}',
    "a key of 100 kB": b'{"version":1,"' + b"k" * 100_000 + b'":1}',
    "100,000 keys": b'{"version":1,' + b",".join(b'"%d":1' % n for n in range(15_000)) + b"}",
}


@pytest.mark.parametrize("key", ["plan", "adjustment"])
@pytest.mark.parametrize("name", HOSTILE_CONTENT)
def test_hostile_content_behind_valid_checks_is_refused(name: str, key: str) -> None:
    assert clean_or_one_sentence(packed(key, HOSTILE_CONTENT[name])) == "refused"


@pytest.mark.parametrize("size", [links.MOST_CONTENT_BYTES + 1, 50_000_000])
def test_a_bomb_is_never_blown_up_beyond_the_limit(size: int) -> None:
    """50 MB of blanks deflate to 49 kB, longer than a link may be; what fits into a link is cut short."""
    deflate = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    bomb = deflate.compress(b" " * size) + deflate.flush()
    raw = bytes([links.VERSION]) + bytes(4) + bomb
    assert clean_or_one_sentence(f"plan={to_base_41(raw)}") == "refused"
    with refused_because("damaged"):
        links._inflated(bomb)


@pytest.mark.parametrize(
    "written", ["plan=" + "0" * 10_000_000, "#" * 100_000, "plan=" + "é" * 9_000, "\x00"]
)
def test_an_endless_link_is_refused_before_it_is_looked_at(written: str) -> None:
    assert clean_or_one_sentence(written) == "refused"
