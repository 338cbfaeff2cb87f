"""A plan on the coach's desk: what is written, the part of it that is open, and its figures."""

from __future__ import annotations

from dataclasses import dataclass, field

from companion.words.saying import say
from engine.base.issue import Issue
from engine.base.message import Message
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
    """Minutes and balance of the plan as it was last without faults, worked out kit by kit."""

    rows: tuple[PlannedRow, ...] = ()
    gives: tuple[MinutesGive, ...] = ()
    balance: tuple[Message, ...] = ()


@dataclass
class PlanOnDesk:
    """``open`` is the part that is being written, ``open_item`` the unfolded movement of a block.

    ``saved`` is the draft of the saved plan, or an empty one for a new plan. ``refills`` counts the changes
    from outside the fields: after each one, the fields show what the draft holds. ``in_field`` says whether
    the keyboard is in one.
    """

    history: EditHistory
    saved: PlanDraft
    is_new: bool = False
    open: DraftPlace = THE_PLAN
    open_item: int | None = None
    searched: str = ""
    refills: int = 0
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
        return self.draft != self.saved

    @property
    def id(self) -> str:
        return str(value_at(self.draft, ("id",)))

    @property
    def name(self) -> str:
        return str(value_at(self.draft, ("name",)) or "") or say("A new plan")

    def check(self) -> None:
        self.faults = faults_of(self.draft)

    def refill_fields(self) -> None:
        """Lets the fields show the draft after a change from outside; the keyboard is in none then."""
        self.refills += 1
        self.in_field = False


def on_desk(plan: SessionPlan) -> PlanOnDesk:
    """A saved plan, to be changed."""
    draft = draft_of(plan)
    return PlanOnDesk(EditHistory(draft), saved=draft)


def on_desk_again(written: JsonObject, plan: SessionPlan | None, plan_id: str) -> PlanOnDesk:
    """What was written earlier; ``plan`` is the saved plan, or None for a plan that is new."""
    saved = draft_of(plan) if plan else new_draft(plan_id)
    return PlanOnDesk(EditHistory(PlanDraft(written)), saved=saved, is_new=plan is None)
