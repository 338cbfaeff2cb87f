"""Another movement instead of the one that comes, or the current one: easier, or without what is missing."""

from __future__ import annotations

from companion.actions.session.finish import Finish
from companion.actions.session.run import Run
from engine.live.remainder import Refit
from engine.live.run import at
from engine.live.state import RunState
from engine.live.swap import equipment_needed, swap_for_easier, swap_without
from engine.movements.movement import Equipment
from engine.session.segment import ahead


class Swap:
    def __init__(self, run: Run, finish: Finish) -> None:
        self._run, self._finish = run, finish

    def easier(self) -> Refit | None:
        """The easier variant of the movement meant; None if none can be done here."""
        return swap_for_easier(self._run.live.state, self._finish.known())

    async def take_easier(self) -> None:
        """Goes on in the easier variant; a current interval starts again."""
        refit = swap_for_easier(self._now(), self._finish.known())
        if refit is not None:
            await self._finish.change_over(refit)

    def needed(self) -> tuple[Equipment, ...]:
        """What the movement meant needs in the room."""
        return equipment_needed(self._run.live.state, self._finish.known())

    async def do_without(self, missing: Equipment) -> None:
        """Goes on without missing equipment; a current interval that needs it starts again in another
        movement."""
        await self._finish.change_over(swap_without(self._now(), missing, self._finish.known()))

    def _now(self) -> RunState:
        """The run at this moment; as it was shown where another movement has come up since the tap."""
        shown = self._run.live.state
        now = at(shown, self._run.session_ms())
        as_shown = ahead(now.segments, now.index) == ahead(shown.segments, shown.index)
        return now if as_shown else shown
