"""What the sessions of a person add up to, for the coach."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

SENTENCES: Sentences = {
    "plan_too_long_question": "Is the plan too long? In {times} of {sessions} sessions: {said}",
    "left_out_question": "Left out after pain: {movement}, {joint}. What takes its place?",
    "clinician_question": (
        "Left out after pain: {movement}, {joint}. A health professional should look at it. What takes its "
        "place until then?"
    ),
    "returning_question": "Coming back after pain, lighter: {movement}, {joint}. How much range?",
    "below_minimum_question": Plural(
        "sessions",
        "1 session was below the plan's minimum of rounds. Minutes: {minutes}. Change the plan?",
        "{sessions} sessions were below the plan's minimum of rounds. Minutes: {minutes}. Change the plan?",
    ),
    "effort_not_said_question": (
        "Repetitions left were not said, so nothing gets heavier: {movements}. What is the aim?"
    ),
    "form_slipped_question": "Form slipped: {movements}. An easier version, or less range?",
    "limited_question": Plural(
        "sets",
        "Limited in 1 set: {movement}, {limit}. Why?",
        "Limited in {sets} sets: {movement}, {limit}. Why?",
    ),
    "limit_of_grip": "grip",
    "limit_of_breath": "breath",
    "limit_of_balance": "balance",
    "limit_of_position": "position",
    "limit_of_joint": "joint pain",
    "asks": "Asks: {question}",
    "and_more": Plural("more", "{named}; 1 more", "{named}; {more} more"),
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
