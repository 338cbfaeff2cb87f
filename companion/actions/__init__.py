"""One function for each intention of the person: engine, then storage, then state."""

from companion.actions.collecting import Collecting
from companion.actions.hurting import Hurting
from companion.actions.keeping import Keeping
from companion.actions.reviewing import Reviewing
from companion.actions.safekeeping import Safekeeping


class Actions(Safekeeping, Hurting, Reviewing, Keeping, Collecting):
    """Everything a person can do; store, clock and cues are swapped by whoever keeps their protocol."""


__all__ = ["Actions"]
