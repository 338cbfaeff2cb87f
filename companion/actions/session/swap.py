"""Another movement instead of the one in hand: an easier one, or one that needs nothing missing."""

from __future__ import annotations

from companion.actions.session.finish import Finish
from companion.actions.session.run import Run
from engine.live.remainder import Refit
from engine.live.swap import equipment_needed, swap_for_easier, swap_without
from engine.movements.movement import Equipment


class Swap:
    def __init__(self, run: Run, finish: Finish) -> None:
        self._run, self._finish = run, finish

    def easier(self) -> Refit | None:
        """The easier form of the movement in hand; None if none can be done here."""
        return swap_for_easier(self._run.live.state, self._finish.known())

    async def take_easier(self) -> None:
        """Goes on in the easier form; a current interval starts again."""
        refit = self.easier()
        if refit is not None:
            await self._finish.change_over(refit)

    def needed(self) -> tuple[Equipment, ...]:
        """What the movement in hand needs in the room."""
        return equipment_needed(self._run.live.state, self._finish.known())

    async def do_without(self, missing: Equipment) -> None:
        """Goes on without missing equipment; a current interval that needs it starts again in another
        movement."""
        await self._finish.change_over(swap_without(self._run.live.state, missing, self._finish.known()))
