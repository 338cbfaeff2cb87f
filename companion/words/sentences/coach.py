"""What the sessions of a person add up to, for the coach."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

SENTENCES: Sentences = {
    "plan_too_long_question": "Is the plan too long? In {times} of {sessions} sessions: {said}",
    "in_sessions": Plural("sessions", "In 1 session: {said}", "In {sessions} sessions: {said}"),
    "saved_in_sessions": Plural(
        "sessions",
        "In 1 session, {saved:clock} saved: {said}",
        "In {sessions} sessions, {saved:clock} saved in all: {said}",
    ),
    "on_the_run": "On the run: {said}",
    "corrected_later": "Corrected or answered later: {what}.",
    "amended_effort": "effort",
    "amended_note": "note",
    "amended_set": "set",
}
