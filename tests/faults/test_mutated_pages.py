"""Pages that were damaged on their way, or changed on purpose: refused, or taken in full.

MUTATIONS=20000 python -m pytest tests/faults/test_mutated_pages.py
"""

from __future__ import annotations

import json
import os
import random
from contextlib import suppress
from copy import deepcopy
from datetime import timedelta
from functools import partial
from typing import Any

import pytest
from builders import STARTED_AT, record
from mutations import Mutation, cut_short, with_a_piece_gone, with_a_piece_twice, with_other_bytes
from pages import late_answers, page, painful_record

from companion.paper.coach_page import page_html
from engine.base.issue import Unreadable
from engine.coach.page import CoachPage
from engine.coach.roster import in_full, roster
from storage.exchange.coach_page import read_page

MUTATIONS = int(os.environ.get("MUTATIONS", "300"))
STRANGE: tuple[Any, ...] = (
    *(None, True, -1, 0, 1.5, 10**14, 10**19, -(10**14), 1e300, "", "x", "\u202e", "\ud800", "\0"),
    *("9999-12-31", "0001-01-01", "2026-W53", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-12:00"),
    *([], {}, [[]], [None], {"": ""}),
)


def whole() -> bytes:
    loads = {"one-hand-press": 8_000}
    later = [
        record(record_id=f"{n}", started_at=STARTED_AT + timedelta(days=n), loads_g=loads) for n in (1, 8)
    ]
    made = page(
        [painful_record(), *later], late_answers(), weeks=("2026-W10", "2026-W11"), questions=("Why?",)
    )
    return page_html(made).encode()


WHOLE = whole()
START, END = WHOLE.index(b'id="coach-page">') + len(b'id="coach-page">'), WHOLE.rindex(b"</script>")


def with_a_strange_value(chance: random.Random, content: bytes) -> bytes:
    """Replaces or removes one to three values anywhere in the data."""
    data = json.loads(content[START:END])
    for _ in range(chance.randint(1, 3)):
        inside: Any = data
        while True:
            places = list(inside) if isinstance(inside, dict) else list(range(len(inside)))
            if not places:
                break
            place = chance.choice(places)
            if isinstance(inside[place], dict | list) and inside[place] and chance.random() < 0.85:
                inside = inside[place]
                continue
            inside[place] = deepcopy(chance.choice(STRANGE))
            break
    return content[:START] + json.dumps(data).replace("<", "\\u003c").encode() + content[END:]


ALL: tuple[Mutation, ...] = (
    partial(with_other_bytes, start=START, end=END),
    with_a_piece_gone,
    with_a_piece_twice,
    cut_short,
    with_a_strange_value,
    with_a_strange_value,
)


def taken(content: bytes) -> CoachPage | None:
    """The page; None where it was refused."""
    with suppress(Unreadable):
        return read_page(content)
    return None


@pytest.mark.parametrize("seed", [1])
def test_a_mutated_page_is_refused_or_can_be_read_shown_and_put_on_the_roster(seed: int) -> None:
    chance, refused = random.Random(seed), 0
    assert taken(WHOLE) is not None
    for number in range(MUTATIONS):
        made = taken(ALL[number % len(ALL)](chance, WHOLE))
        if made is None:
            refused += 1
            continue
        assert read_page(page_html(made)) == made
        assert all(list(in_full(person)) for person in roster([made]))
    assert MUTATIONS * 0.3 < refused < MUTATIONS
