"""What is said to somebody whom something hurts, while it hurts and afterwards."""

from __future__ import annotations

from companion.style.words import day_words
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.pain import Advice
from engine.movements.words import joint_word

ADVICE = {
    Advice.go_on: "Carry on if it feels right. Stop when in doubt.",
    Advice.ease: "Carry on with less weight or move less far. Stop if it does not ease.",
    Advice.retry_unloaded: (
        "Try once without weight, moving less far. Carry on only if it hurts no more than before you started."
    ),
    Advice.stop_movement: "No more of this movement today. Another one takes its place.",
    Advice.swap_and_leave_out: "Stop this movement for today. It stays out until it is free of pain.",
    Advice.end_session: "End the session here. If it does not settle, ask a health professional.",
    Advice.get_help: "End the session and get help now: call your local emergency number.",
}


def after_pain_words(after_pain: AfterPain) -> str:
    """A movement that pain keeps out: since when, and the question that its way back asks next."""
    name, joint = after_pain.name, joint_word(after_pain.joint, after_pain.side)
    if after_pain.stage is Stage.returning:
        return f"{name} comes back, at a part of its load. Is the {joint} free of pain today?"
    return (
        f"{name}, since {day_words(after_pain.since)}. It stays out of the rounds until it was practised "
        f"without a weight and nothing hurt the next morning. How is the {joint} today?"
    )
