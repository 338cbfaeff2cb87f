"""``companion fit`` in every language: a reader judges the golden files, and nothing changes them unseen."""

import pytest
from fit_in_words import told
from places import GOLDEN

from companion.words.locale import LOCALES


@pytest.mark.parametrize("language", LOCALES)
def test_the_fit_reads_as_it_was_judged(language: str) -> None:
    assert told(language) == (GOLDEN / f"fit-{language}.txt").read_text("utf-8")
