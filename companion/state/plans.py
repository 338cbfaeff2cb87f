"""The plans of this device, the one that is looked at, and the adjustments of the coach."""

from __future__ import annotations

from dataclasses import dataclass

from engine.base.issue import Issue
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan


@dataclass
class Plans:
    """``all`` are the saved plans, or the samples if none is saved."""

    all: tuple[SessionPlan, ...] = ()
    chosen_id: str = ""
    shown: SessionPlan | None = None
    """The plan that is looked at: one of ``all``, or one from a file or link that is not saved yet."""
    faults: tuple[Issue, ...] = ()
    """Why the file or link named ``faulty`` cannot be saved."""
    faulty: str = ""
    adjustments: tuple[Adjustment, ...] = ()
    adjustment_shown: Adjustment | None = None

    @property
    def chosen(self) -> SessionPlan:
        """The plan to fit, the first one if none was chosen."""
        return next((plan for plan in self.all if plan.id == self.chosen_id), self.all[0])
