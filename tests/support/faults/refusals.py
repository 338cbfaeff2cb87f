"""What a refused document is told, in English."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from companion.words.faults import fault_words
from engine.base.issue import Unreadable


def told(refused: Unreadable) -> str:
    return "; ".join(map(fault_words, refused.issues))


@contextmanager
def refused_because(words: str) -> Iterator[None]:
    """Expects a refusal whose faults read like this pattern."""
    with pytest.raises(Unreadable) as found:
        yield
    assert re.search(words, told(found.value)), told(found.value)
