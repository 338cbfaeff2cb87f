"""Every code that the engine says."""

from __future__ import annotations

from companion.words.plural import Sentences
from companion.words.sentences import coach, fit, growth, live, load, movements, plan, today

ROOMS = (
    coach.SENTENCES,
    fit.SENTENCES,
    growth.SENTENCES,
    live.SENTENCES,
    load.SENTENCES,
    movements.SENTENCES,
    plan.SENTENCES,
    today.SENTENCES,
)
SENTENCES: Sentences = {code: sentence for room in ROOMS for code, sentence in room.items()}
