"""What the sessions of a person add up to, for the coach."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

QUESTIONS: Sentences = {
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
    "and_more": Plural("more", "{named}; 1 more", "{named}; {more} more"),
    "asks": "Asks: {question}",
}
PAIN: Sentences = {
    "no_pain_noted": "No pain was noted.",
    "older_page_tells_of_pain": "An older page tells of pain.",
    "out_after_pain": "Left out after pain",
    "back_after_pain": "Coming back after pain",
    "hurt_since": Plural(
        "times",
        "{movement}, {joint}, since {since}. It hurt in 1 session.",
        "{movement}, {joint}, since {since}. It hurt in {times} sessions.",
    ),
    "see_a_clinician": "A health professional should look at it.",
    "day_before": "{day}, before the session",
    "day_before_easy_movement": "{day}, before the easy movement",
    "day_in_movement": "{day}, {movement}",
    "day_outside": "{day}, outside the session",
    "day_without": "{day}, no session",
    "morning_after": "The morning after {day}",
    "before_you_started": "Before you started",
    "in_the_session": "In the session",
    "session_stopped": "The session was stopped for pain.",
    "easy_movement_stopped": "The easy movement was stopped for pain.",
    "rated": "{where}, pain {rating} of 10.",
    "hurts": "{where}.",
    "something": "something hurt",
    "muscle_near": "{joint}, a muscle",
    "signs": "Signs: {signs}.",
    "gone_after": "Gone after {gone:seconds}.",
    "after_the_try": "After the try without weight.",
    "own_words": "“{words}”",
    "sore_muscles_rated": "sore muscles, {rating} of 10.",
}
PAGE: Sentences = {
    "page_without_pain": (
        "Pain is left out of this page: that it says nothing does not mean that nothing hurt."
    ),
    "page_without_loads": "Loads are left out of this page.",
    "page_without_effort": "Effort is left out of this page.",
    "page_without_cuts": "Cuts to save time are left out of this page.",
    "page_without_notes": "Notes are left out of this page.",
    "from_to": "{first:date} to {last:date}",
    "name_from_to": "{name}, {first:date} to {last:date}",
    "several_names": "One id, several names: {names}. If they are two people, read them apart.",
    "put_together": Plural(
        "pages", "Put together with 1 older page.", "Put together with {pages} older pages."
    ),
    "came_again": Plural("pages", "1 page came again.", "{pages} pages came again."),
}
DONE: Sentences = {
    "week": "Week {week}, from {monday:date}",
    "done": "Done",
    "day_noted": "{day}, noted",
    "no_session": "No session.",
    "sessions_done": Plural("sessions", "1 session, {minutes} min.", "{sessions} sessions, {minutes} min."),
    "session_done": "{plan}, {minutes} min ({asked} asked for), {kit}.",
    "rounds_done": Plural("planned", "{done:sum} of 1 round.", "{done:sum} of {planned:sum} rounds."),
    "strength_days": Plural("days", "1 strength day.", "{days} strength days."),
    "easy_movement": Plural(
        "times", "Easy movement, {minutes} min.", "Easy movement {times} times, {minutes} min."
    ),
    "easy_movement_not_counted": "Done instead of a session because of pain. Not counted as sessions.",
    "effort": "Effort {effort} of 10.",
    "effort_between": "Effort {least} to {most} of 10.",
    "effort_not_said": Plural(
        "sessions", "Effort not said in 1 session.", "Effort not said in {sessions} sessions."
    ),
    "session_load": "Session load {load}.",
    "monotony": "Monotony {monotony}, load × monotony {load}.",
    "form_slipped": Plural(
        "times", "Form slipped once on the run.", "Form slipped {times} times on the run."
    ),
    "form_slipped_in_sets": Plural(
        "sets", "Form slipped in 1 set: {movement}.", "Form slipped in {sets} sets: {movement}."
    ),
    "ended_early": "Ended early.",
    "stopped_for_pain": "Stopped for pain.",
    "sessions_ended_early": Plural("sessions", "1 ended early.", "{sessions} ended early."),
    "sessions_stopped": Plural("sessions", "1 stopped for pain.", "{sessions} stopped for pain."),
    "on_the_run": "On the run: {said}",
    "corrected_later": "Corrected or answered later: {what}.",
    "amended_effort": "effort",
    "amended_note": "note",
    "amended_set": "set",
    "in_sessions": Plural("sessions", "In 1 session", "In {sessions} sessions"),
    "saved_in_sessions": Plural(
        "sessions", "In 1 session, {saved:clock} saved", "In {sessions} sessions, {saved:clock} saved in all"
    ),
}
FIGURES: Sentences = {
    "series": "{values:row}.",
    "minutes_by_week": "Minutes by week",
    "sets_by_week": "Sets by week: {sets:row}.",
    "session_load_by_week": "Session load (effort × minutes) by week",
    "load_in_part": Plural(
        "sessions",
        "{load} (effort of 1 session not said)",
        "{load} (effort of {sessions} sessions not said)",
    ),
    "load_not_known": "not known",
    "sets": Plural("sets", "1 set.", "{sets} sets."),
    "no_set_of_its_own": "No set of its own.",
    "no_set_this_week": "No set this week.",
    "hard_sets": "{hard} of {rated} rated were hard.",
    "stopped_sets": Plural(
        "sets",
        "1 set stopped before its end, not counted.",
        "{sets} sets stopped before their end, not counted.",
    ),
    "indirect_sets": Plural("sets", "Also trained in 1 set.", "Also trained in {sets} sets."),
    "lifted": "{volume} lifted.",
    "repetitions_without_weight": Plural(
        "repetitions", "1 repetition without weight.", "{repetitions} repetitions without weight."
    ),
    "held": "{held:clock} held.",
    "accessories": "Accessories, which count for no pattern",
    "load": "Load {load}.",
    "load_between": "Load {least} to {most}.",
    "load_in_week": "{load} in week {week}",
    "interval": "Interval {interval:seconds}.",
    "interval_at_tempo": "Interval {interval:seconds}, tempo {tempo}.",
    "sides_alike": Plural(
        "several",
        "The left and right figures are the same for 1 movement: {movements}.",
        "The left and right figures are the same for {several} movements: {movements}.",
    ),
    "sides_compared": "{left}, {right}.",
    "side_figures": "{side} ({figures:row})",
    "side_weaker": Plural(
        "sessions",
        "Weaker in {times} of 1 session: {side}.",
        "Weaker in {times} of {sessions} sessions: {side}.",
    ),
    "repetitions": Plural("repetitions", "1 repetition", "{repetitions} repetitions"),
    "held_for": "{held:seconds} held",
    "effort_of_sets": "effort {effort}",
    "nothing_said": "nothing said",
    "outline_and_filled_part": "An outline is what was planned or done; the filled part was done.",
    "filled_and_outlined_sets": "Filled: hard sets. Outlined: sets rated easier.",
    "dashed_loads": "Dashed: an effort was not said.",
    "dashed_sets": "Dashed: sets that nobody rated.",
}
SENTENCES: Sentences = {**QUESTIONS, **PAIN, **PAGE, **DONE, **FIGURES}
