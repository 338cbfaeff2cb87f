"""The question put to the fit: what a person has and says today, shaped by history and the coach's word."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from engine.fit.asked import Asked
from engine.fit.choose import Choice, choose
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.today.adjusted import with_adjustments
from engine.today.care import Care, care_for
from engine.today.day import Today
from engine.today.learned import Learned
from engine.today.mornings import after_mornings, pain_sentences
from engine.today.no_session import NoSession, hurt_lately, no_session


@dataclass(frozen=True)
class FitQuestion:
    """What to ask of the fit, the movements already chosen for it, and the care that shaped it.

    ``choice`` is ``choose(plan, asked.room)``, to be handed to ``offer``.
    """

    asked: Asked
    choice: Choice
    care: Care


def question(
    plan: SessionPlan, today: Today, learned: Learned, adjustments: Iterable[Adjustment] = ()
) -> FitQuestion | NoSession:
    """The question for a plan (free of faults) today, or why there is no strength session.

    ``adjustments`` are those ``in_force`` today. Care is taken of the movements as they would be without
    adjustments. Movements are chosen once, and a second time only where the coach spares a joint.
    """
    pain = no_session(today.sore, again=hurt_lately(today.day, learned.history, today.noted_days))
    if pain is not None:
        return pain
    worse = after_mornings(learned.history, plan.known_movements())
    room = today.room((*learned.after_pain, *worse))
    choice = choose(plan, room)
    care = care_for(plan, choice, learned.history, today)
    care = replace(care, pain=tuple(pain_sentences(learned.history, worse, today.spared, today.rated)))
    asked = Asked(minutes=today.minutes, room=room, first_side=learned.first_side, pace=learned.pace)
    asked = with_adjustments(care.over(asked), plan, adjustments, today.day)
    return FitQuestion(asked, choice if asked.room == room else choose(plan, asked.room), care)
