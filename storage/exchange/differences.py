"""What may be kept of two versions of a document. Pure."""

from __future__ import annotations

from engine.plan.plan import SessionPlan
from engine.record.profile import Profile
from storage.exchange.merge import WHAT_HAPPENED, Conflict, Keep
from storage.models import KitOwned


def ways_to_settle(conflict: Conflict) -> tuple[Keep, ...]:
    """What may be kept. What happened stays as it was recorded here; only some things can be kept twice."""
    if conflict.part in WHAT_HAPPENED:
        return (Keep.ours,)
    can_be_both = isinstance(conflict.ours, KitOwned | SessionPlan)
    return (Keep.ours, Keep.theirs, Keep.both) if can_be_both else (Keep.ours, Keep.theirs)


def newer_version(conflict: Conflict) -> Keep | None:
    """Which version was said later, where both say when."""
    if isinstance(conflict.ours, Profile) and isinstance(conflict.theirs, Profile):
        ours, theirs = conflict.ours.pregnancy, conflict.theirs.pregnancy
        if ours and theirs and ours.said_on != theirs.said_on:
            return Keep.ours if ours.said_on > theirs.said_on else Keep.theirs
    return None
