"""Pieces of the running screen: how far to go, in the language of the window."""

from companion.views.session.parts import end_point_words
from companion.words.language import language
from companion.words.saying import speaking
from companion.words.words import Words
from engine.movements.limits import ENDS_SOONER
from engine.movements.movement import library

END = library()["squat"].end_point


def test_an_end_point_and_what_a_limit_adds_to_it_are_each_said_in_the_language() -> None:
    """The two together stand in no catalogue: the whole was shown in English."""
    limited = f"{END} {ENDS_SOONER}"
    assert (end_point_words(END), end_point_words(limited)) == (END, limited)
    german = Words(language=language("de"))
    with speaking(german):
        assert end_point_words(limited) == f"{german.own(END)} {german.own(ENDS_SOONER)}"
    assert german.own(ENDS_SOONER) != ENDS_SOONER
