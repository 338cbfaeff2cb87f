"""The running session: what its cues say, and how what is still to come changes."""

from __future__ import annotations

from companion.words.plural import Sentences

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

SENTENCES: Sentences = {**CUES}
