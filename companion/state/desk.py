"""The coach's desk: the plans that are being written."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from companion.state.required import required

if TYPE_CHECKING:
    from companion.state.plan_on_desk import PlanOnDesk


@dataclass
class Desk:
    """``plan`` is the one being written, ``unfinished`` every plan with unsaved changes, by its id."""

    plan: PlanOnDesk | None = None
    unfinished: dict[str, PlanOnDesk] = field(default_factory=dict)

    @property
    def open_plan(self) -> PlanOnDesk:
        """The plan that is being written. Raises LookupError where there is none."""
        return required(self.plan, "Nothing is on the desk.")
