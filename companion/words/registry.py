"""Every code that the engine says."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences
from companion.words.sentences import coach, faults, fit, growth, live, load, movements, plan, storage, today
from engine.base.units import LoadUnit

ROOMS = (
    coach.SENTENCES,
    faults.SENTENCES,
    fit.SENTENCES,
    growth.SENTENCES,
    live.SENTENCES,
    load.SENTENCES,
    movements.SENTENCES,
    plan.SENTENCES,
    storage.SENTENCES,
    today.SENTENCES,
)
SENTENCES: Sentences = {code: sentence for room in ROOMS for code, sentence in room.items()}
UNKNOWN = "Noted by a newer companion."
"""What is said of a code that is not known."""
ALOUD = {
    LoadUnit.kg: Plural("loads", "{loads} kilogram", "{loads} kilograms"),
    LoadUnit.lb: Plural("loads", "{loads} pound", "{loads} pounds"),
}
"""A load as a voice says it."""
OF_LIBRARY = "library"
"""The context of the texts of the library and the samples."""
