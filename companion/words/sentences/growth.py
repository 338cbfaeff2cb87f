"""What grows besides one load, lighter weeks, and the way back after an illness."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

SENTENCES: Sentences = {
    "first_time_in_this_version": Plural(
        "left",
        "First time in this version: practise it, and stop each set with {left} or more repetition left.",
        "First time in this version: practise it, and stop each set with {left} or more repetitions left.",
    ),
    "tempo_of_the_plan": "Use the tempo of the plan.",
    "same_or_easier_version": "Do the same again, or the easier version.",
    "lower_more_slowly": "Take longer to lower: {lowering}.",
    "harder_version_comes_next": "It begins at the first tempo, with practice and the minimum rounds. Ask "
    "your coach to put it into the plan.",
    "rests_too_short_to_change_weights": "The rests are too short to change weights in.",
    "heavier_weight_waits": "The heavier weight waits.",
    "takes_the_place_of": "In place of {own}: {load}.",
    "load_of_movements": "{load} ({movements})",
    "one_weight_serves_the_round": "The rests are too short to change weights in, so one weight serves the "
    "round: {loads}.",
    "round_more_would_be_the_step": Plural(
        "lifts",
        "One round more would be the next step for {ready} of {lifts} movement and takes "
        "{missing:clock} more. Without it, take the step told with each weight.",
        "One round more would be the next step for {ready} of {lifts} movements and takes "
        "{missing:clock} more. Without it, take the step told with each weight.",
    ),
    "lighter_week_is_proposed": "A lighter week is proposed: one round fewer, two fewer from five rounds on, "
    "the same weights, and one repetition more left after each set. The choice is yours.",
    "weeks_in_a_row": Plural(
        "weeks", "{weeks} week of training in a row.", "{weeks} weeks of training in a row."
    ),
    "slipped_or_empty_in_a_row": Plural(
        "sessions",
        "Form slipped, or hardly anything was left, in the last {sessions} session.",
        "Form slipped, or hardly anything was left, in the last {sessions} sessions.",
    ),
    "ill_no_session": Plural(
        "hours",
        "No session today: with fever, a chest infection or vomiting the body needs rest. "
        "Wait until it has been gone for {hours} hour. Chest pain, palpitations or unusual breathlessness "
        "now: get help at once. If you had them while you were ill, see a clinician before you train.",
        "No session today: with fever, a chest infection or vomiting the body needs rest. "
        "Wait until it has been gone for {hours} hours. Chest pain, palpitations or unusual breathlessness "
        "now: get help at once. If you had them while you were ill, see a clinician before you train.",
    ),
    "no_session_before": Plural(
        "hours",
        "No session before {day}, {time}: {hours} hour after the illness. Then two easy ones.",
        "No session before {day}, {time}: {hours} hours after the illness. Then two easy ones.",
    ),
    "easy_session_after_illness": "Easy session {session} of {of} after your illness: do only the minimum "
    "rounds, lift about half your usual weight, and keep the effort at {effort} of 10 or below. At any chest "
    "pain, palpitations or unusual breathlessness, stop and get help now, and see a "
    "clinician before you train again.",
}
