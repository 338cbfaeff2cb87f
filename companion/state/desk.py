"""The coach's desk: the plans that are being written, what of each is open, and its figures."""

from __future__ import annotations

from dataclasses import dataclass, field

from engine.base.issue import Issue
from engine.base.model import JsonObject
from engine.fit.as_planned import PlannedRow
from engine.fit.minutes_table import MinutesGive
from engine.plan.draft import DraftPlace, EditHistory, PlanDraft, draft_of, new_draft, value_at
from engine.plan.draft_faults import faults_of
from engine.plan.plan import SessionPlan

THE_PLAN: DraftPlace = ()
ALLOWANCES: DraftPlace = ("allowances",)
OWN: DraftPlace = ("movements",)
HAND_OVER: DraftPlace = ("hand-over",)


@dataclass(frozen=True)
class Figures:
    """Minutes and balance of the last plan without faults; they grow kit by kit while they are reckoned."""

    rows: tuple[PlannedRow, ...] = ()
    gives: tuple[MinutesGive, ...] = ()
    balance: tuple[str, ...] = ()


@dataclass
class PlanOnDesk:
    """``open`` is the part that is being written, ``open_item`` the movement of a block that is unfolded.

    ``kept`` is the draft as it stands among the plans; ``replaced`` counts how often what is written was
    replaced from outside the fields, so that they show it anew.
    """

    history: EditHistory
    kept: PlanDraft
    is_new: bool = False
    open: DraftPlace = THE_PLAN
    open_item: int | None = None
    searched: str = ""
    replaced: int = 0
    in_field: bool = False
    figures: Figures = field(default_factory=Figures)
    faults: tuple[Issue, ...] = ()

    def __post_init__(self) -> None:
        self.check()

    @property
    def draft(self) -> PlanDraft:
        return self.history.now

    @property
    def changed(self) -> bool:
        return self.draft != self.kept

    @property
    def id(self) -> str:
        return str(value_at(self.draft, ("id",)))

    @property
    def name(self) -> str:
        return str(value_at(self.draft, ("name",)) or "") or "A new plan"

    def check(self) -> None:
        self.faults = faults_of(self.draft)

    def show_anew(self) -> None:
        """After a change from outside the fields: they are made anew, and the keyboard is in none."""
        self.replaced += 1
        self.in_field = False


def on_desk(plan: SessionPlan) -> PlanOnDesk:
    """A kept plan, to be changed."""
    draft = draft_of(plan)
    return PlanOnDesk(EditHistory(draft), kept=draft)


def on_desk_again(written: JsonObject, plan: SessionPlan | None, plan_id: str) -> PlanOnDesk:
    """What was written before; ``plan`` is what is kept of it so far."""
    kept = draft_of(plan) if plan else new_draft(plan_id)
    return PlanOnDesk(EditHistory(PlanDraft(written)), kept=kept, is_new=plan is None)


@dataclass
class Desk:
    """``plan`` is the one that is being written; ``unfinished`` every plan that is written and not saved, by
    its id."""

    plan: PlanOnDesk | None = None
    unfinished: dict[str, PlanOnDesk] = field(default_factory=dict)
