"""The question put to the fit: what a person has and says today, shaped by history and the coach's word."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from engine.fit.asked import Asked
from engine.fit.choose import Choice, choose
from engine.movements.after_pain import AfterPain, JointPoint, after_pain, room_after_pain
from engine.movements.movement import Equipment, Kit, Side
from engine.movements.room import Room, SoreJoint
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.history import History
from engine.record.profile import ProfileFlag
from engine.session.pace import PersonalPace, personal_pace
from engine.today.adjusted import with_adjustments
from engine.today.care import Care, care_for
from engine.today.first_side import first_side


@dataclass(frozen=True)
class Today:
    """What a person has and says on one day.

    ``day`` is the local date. ``rated`` are the joints that the person rated today, at 0 too; ``sore`` those
    that hurt. ``sore_muscles`` is a number from 0 to 10. ``flags`` are those of the profile.
    """

    day: date
    minutes: float
    kit: Kit = Kit.none
    without: tuple[Equipment, ...] = ()
    sore: tuple[SoreJoint, ...] = ()
    rated: frozenset[JointPoint] = frozenset()
    sore_muscles: int = 0
    flags: tuple[ProfileFlag, ...] = ()

    def room(self, current: Iterable[AfterPain]) -> Room:
        """The room for a fit, with movements left out after pain."""
        own = Room(
            kit=self.kit,
            without=self.without,
            sore=self.sore,
            lies_flat=ProfileFlag.pregnant not in self.flags,
        )
        return room_after_pain(own, current, self.rated)


@dataclass(frozen=True)
class Learned:
    """What earlier sessions say about the next one. It depends on the history alone, so it is worked out once
    for many fits."""

    history: History
    pace: PersonalPace
    first_side: Side
    after_pain: tuple[AfterPain, ...]

    @classmethod
    def from_history(cls, history: History) -> Learned:
        return cls(
            history=history,
            pace=personal_pace(history.ticked),
            first_side=first_side(history.exposures),
            after_pain=after_pain(history.flagged, history.tried),
        )


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
) -> FitQuestion:
    """The question for a plan (free of faults) today.

    ``adjustments`` are those ``in_force`` today. The care looks at the movements as they would be without
    them; only where the coach spares a joint are the movements chosen a second time.
    """
    room = today.room(learned.after_pain)
    choice = choose(plan, room)
    care = care_for(
        plan,
        choice,
        learned.history,
        today=today.day,
        flags=today.flags,
        sore_muscles=today.sore_muscles,
    )
    asked = Asked(minutes=today.minutes, room=room, first_side=learned.first_side, pace=learned.pace)
    asked = with_adjustments(care.over(asked), plan, adjustments, today.day)
    return FitQuestion(asked, choice if asked.room == room else choose(plan, asked.room), care)
