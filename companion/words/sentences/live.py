"""The running session: what its cues say, and how what is still to come changes."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

CUES: Sentences = {
    "cue_get_ready": "Get ready.",
    "cue_work": "Work.",
    "cue_change_to_left": "Change to the left.",
    "cue_change_to_right": "Change to the right.",
    "cue_change_sides": "Change sides.",
    "cue_rest": "Rest.",
    "cue_get_down": "Get down.",
    "cue_count": "Three, two, one.",
    "cue_block_done": "Block done.",
    "cue_session_done": "Session done.",
    "cue_stop": "Stop.",
    "cue_weight_down": "Weight down.",
    "cue_hold": "Hold.",
    "cue_rest_a_moment": "Rest a moment.",
    "cue_held": "Held.",
    "cue_movement": "{movement}.",
    "cue_movement_side": "{movement}, {side}.",
    "cue_next": "Next: {movement}.",
    "cue_next_side": "Next: {movement}, {side}.",
    "cue_version": "{version}.",
    "cue_weight": "{load:aloud}.",
    "cue_weight_each": "{load:aloud} each.",
    "cue_no_weight": "No weight.",
    "light_repetitions_first": "Three to five light repetitions first.",
}
"""A voice says them. Each piece between full stops, colons and commas is among the recorded words
(``build/voice.py``)."""

CHANGES: Sentences = {
    "rounds_dropped": Plural("rounds", "One round dropped", "{rounds} rounds dropped"),
    "warm_up_rounds_dropped": Plural(
        "rounds", "One warm-up round dropped", "{rounds} warm-up rounds dropped"
    ),
    "left_out_of_last_rounds": Plural(
        "rounds", "Left out of the last round: {movement}", "Left out of the last {rounds} rounds: {movement}"
    ),
    "movement_in_turn": "{movement}, no. {turn}",
    "cool_down_cut_to": "Cool-down cut to {length:clock}",
    "given_up": "{cut}.",
    "finish_kept": "{cut}; you still finish at {finish}.",
    "nothing_left_to_cut": "Nothing more can be cut; you finish later.",
    "nothing_cut": "Nothing was cut; you finish {late:clock} later.",
    "cut_undone": "The cut is undone; you finish later.",
    "clock_set_back": "The clock of this device was set back; the finish is said by it.",
    "both_sides_then_end": "Both sides, then the end.",
    "swapped_now": "{new} instead of {old}.",
    "swapped_as_coach_chose": "{new} instead of {old}: your coach's own choice.",
    "left_out_from_now_on": "Left out: {movement}.",
    "easier_from_now_on": "From now on: {new} instead of {old}.",
    "not_here": "Not here: {equipment}.",
    "spares_joint": "This spares: {joint}.",
    "nothing_else_changes": "Nothing else to come changes.",
    "starts_with_weight": "{movement}: start with {load}.",
    "starts_without_weight": "{movement}: no weight.",
}
"""What is still to come changes on the way."""

SENTENCES: Sentences = {**CUES, **CHANGES}
