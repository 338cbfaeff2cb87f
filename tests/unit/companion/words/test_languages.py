"""Languages: which one a window speaks, and what a translation does to a sentence."""

from __future__ import annotations

from datetime import date, time
from gettext import GNUTranslations
from io import BytesIO

import catalogues
import pytest
from babel.messages.catalog import Catalog
from pseudo import pseudo, pseudo_language

from companion.state.app import State
from companion.words import language as language_module
from companion.words.language import Language, chosen, language
from companion.words.saying import own, said, say, several, speaking, words_here
from companion.words.words import Words
from engine.base.message import Count, message
from engine.movements.limits import ENDS_SOONER, LIMIT_RULES
from engine.movements.movement import library
from engine.today.easy_movement import RULES
from storage.models import Settings


def german(*texts: tuple[object, object], context: str | None = None) -> Words:
    """German with these texts, compiled as catalogues are."""
    catalogue = Catalog(locale="de_DE", fuzzy=False)
    for text, translated in texts:
        catalogue.add(text, translated, context=context)  # type: ignore[arg-type]
    made = GNUTranslations(BytesIO(catalogues.compiled(catalogue)))
    return Words(language=Language("de", made, language("de").locale))


def test_a_text_is_said_in_the_language_that_is_spoken_and_filled_as_it_writes() -> None:
    words = german(("done by {clock}, {loads} loads", "fertig um {clock}, {loads} Lasten"))
    with speaking(words):
        assert say("done by {clock}, {loads} loads", clock="18:30", loads=1_200.5) == (
            "fertig um 18:30, 1.200,5 Lasten"
        )
    assert say("done by {clock}", clock="18:30") == "done by 18:30"


@pytest.mark.parametrize("count, told", [(1, "1 Satz"), (0, "0 Sätze"), (2, "2 Sätze"), (1.5, "1,5 Sätze")])
def test_a_count_takes_the_form_of_the_language(count: float, told: str) -> None:
    with speaking(german((("{count} set", "{count} sets"), ("{count} Satz", "{count} Sätze")))):
        assert several("{count} set", "{count} sets", count) == told


def test_a_message_and_its_count_are_translated_under_its_code() -> None:
    texts = (("1 round more", "{rounds} rounds more"), ("1 Runde mehr", "{rounds} Runden mehr"))
    with speaking(german(texts, context="rounds_more")):
        assert said(message("rounds_more", rounds=Count(count=3))) == "3 Runden mehr"
        assert said(message("rounds_more", rounds=Count(count=1))) == "1 Runde mehr"


def test_a_text_of_the_library_is_translated_and_a_coachs_own_words_stay() -> None:
    name = library()["squat"].name
    with speaking(german((name, "Kniebeuge"), context="library")):
        assert own(name) == "Kniebeuge"
        assert own("Böbel squats, as on Tuesday") == "Böbel squats, as on Tuesday"


def test_a_text_without_a_translation_stays_english() -> None:
    with speaking(german()):
        assert say("Kit and loads") == "Kit and loads"
        assert several("{count} set", "{count} sets", 2) == "2 sets"


@pytest.mark.parametrize(
    "tags, code",
    [((), "en"), (("de-AT", "en"), "de"), (("c", "fr", "de_DE"), "de"), (("fr", "en-US", "de"), "en")],
)
def test_the_first_language_of_the_device_that_is_offered_is_spoken(
    tags: tuple[str, ...], code: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(language_module, "NAMES", {"en": "English", "de": "Deutsch"})
    chosen.cache_clear()
    assert chosen(tags).code == code
    chosen.cache_clear()


def test_what_the_engine_adds_for_somebody_s_safety_is_translated_too() -> None:
    """Rules for pregnancy, blood pressure or easy movement stood in English on a German screen."""
    words = Words(language=language("de"))
    added = (*LIMIT_RULES.values(), ENDS_SOONER, *RULES)
    assert [rule for rule in added if words.own(rule) == rule] == []


def test_only_languages_whose_catalogues_are_complete_are_offered() -> None:
    _, lacking = catalogues.made()
    assert {code for code in language_module.NAMES if lacking.get(code)} == set()


@pytest.mark.parametrize("hours, told", [("", "18:05"), ("24", "18:05"), ("12", "6:05 pm")])
def test_the_clock_has_the_hours_that_were_chosen(hours: str, told: str) -> None:
    state = State()
    state.device.settings = Settings(hours=hours)  # type: ignore[arg-type]
    assert state.words.text("{clock}", clock=time(18, 5)) == told


def test_a_language_that_nobody_speaks_keeps_the_blanks_and_is_longer() -> None:
    assert pseudo("done by {clock}") == "⟦döñé bý {clock} ~~~⟧"
    with speaking(Words(language=pseudo_language())):
        assert say("done by {day}", day=date(2026, 3, 2)) == "⟦döñé bý ⟦Möñdàý ~~⟧ 2 ⟦Màrçh ~~⟧ ~~~⟧"
        assert words_here().language.code == "xx"
