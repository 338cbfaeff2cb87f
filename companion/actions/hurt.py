"""Something hurts: everything stops first, what hurts is asked afterwards, and the note is always kept."""

from __future__ import annotations

from companion.actions.running import Running
from companion.state.app import Screen
from engine.live.cues import CueKind, cue
from engine.live.events import Ended, Ending, Hurt, Paused, Resumed, Skipped
from engine.live.swap import spare
from engine.movements.pain import Advice, PainNote, advice
from engine.session.segment import BETWEEN


class Hurting(Running):
    async def something_hurts(self) -> None:
        """Stops at once; what hurts is asked afterwards."""
        await self._event(Paused)
        await self.cues.play(cue(CueKind.stop, self.session_ms(), "Stop."))
        in_hand = self._live().state.in_hand
        self.state.pain = PainNote(
            session_ms=self.session_ms(),
            segment_id=in_hand.id if in_hand else None,
            movement=in_hand.movement if in_hand else None,
        )
        self._show(Screen.hurt)

    def describe_pain(self, **changes: object) -> None:
        self.state.pain = PainNote.model_validate(self._pain().model_dump() | changes)
        self.state.on_change()

    def advice(self) -> Advice | None:
        """What the rules say to the note so far; None while it does not say enough."""
        note, live = self._pain(), self.state.live
        earlier = live.state.pains if live else ()
        retried = any(one.movement == note.movement and one.rating for one in earlier)
        return advice(note, retried=retried)

    def _pain(self) -> PainNote:
        if self.state.pain is None:
            raise LookupError("No pain note is open.")
        return self.state.pain

    async def answer_pain(self, then: str) -> None:
        """Keeps the pain note, whatever happens next: ``go_on``, go on ``without`` what hurts, or ``end``."""
        note = self._pain()
        await self._event(Hurt, pain=note)
        self.state.pain, self.state.screen = None, Screen.running
        if then == "end":
            await self._do(Ended, ending=Ending.pain)
        elif then == "without":
            await self._go_on_without(note)
        else:
            await self._do(Resumed)

    async def _go_on_without(self, note: PainNote) -> None:
        """The rest of the session spares the joint; an interval of what hurts is left at once."""
        live = self._live()
        on, refit = live.state.current, spare(live.state, note, self._known())
        await self._refit(refit)
        await self._write(Resumed)
        if on is not None and on.movement == note.movement and on.kind not in BETWEEN:
            await self._write(Skipped)
        await self._hand_over_cues()
        await self._took_effect()

    async def not_hurt(self) -> None:
        """A slip of the finger: back to the session, still paused."""
        self.state.pain = None
        self._show(Screen.running)
