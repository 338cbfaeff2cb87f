"""One function for each intention of the person: engine, then storage, then state."""

from companion.actions.backup import Safekeeping
from companion.actions.hurt import Hurting
from companion.actions.kit import Keeping
from companion.actions.log import Reviewing
from companion.actions.pages import Collecting


class Actions(Safekeeping, Hurting, Reviewing, Keeping, Collecting):
    """Everything a person can do; store, clock and cues are swapped by whoever keeps their protocol."""


__all__ = ["Actions"]
