"""What the sessions of a person add up to, for the coach."""

from __future__ import annotations

from companion.words.plural import Sentences

SENTENCES: Sentences = {
    "on_the_run": "On the run: {said}",
    "corrected_later": "Corrected or answered later: {what}.",
    "amended_effort": "effort",
    "amended_note": "note",
    "amended_set": "set",
}
