"""Something hurts: everything stops at once, then comes what hurts. The note is always kept."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.session.finish import Finish
from companion.actions.session.run import Run
from companion.state.screen import Screen
from engine.live.cues import CueKind, cue
from engine.live.events import Ended, Ending, Paused, Resumed, Skipped
from engine.live.events import Hurt as HurtEvent
from engine.live.swap import swap_after_pain
from engine.movements.pain import Advice, PainNote, advice, hurt_before


class Hurt:
    def __init__(self, context: Context, run: Run, finish: Finish) -> None:
        self._context, self._run, self._finish = context, run, finish

    async def stop(self) -> None:
        """Pauses at once, and opens a pain note to be filled in."""
        run = self._run
        await run.event(Paused)
        await self._context.cues.play(cue(CueKind.stop, run.session_ms(), "Stop."))
        in_hand = run.live.state.in_hand
        self._context.state.run.pain = PainNote(
            session_ms=run.session_ms(),
            segment_id=in_hand.id if in_hand else None,
            movement=in_hand.movement if in_hand else None,
        )
        self._context.show(Screen.hurt)

    def describe(self, **changes: object) -> None:
        state = self._context.state
        state.run.pain = PainNote.model_validate(state.run.pain_note.model_dump() | changes)
        state.on_change()

    def advice(self) -> Advice | None:
        """What the rules ask, given the note so far; None while it does not say enough."""
        note, live = self._context.state.run.pain_note, self._context.state.run.live
        return advice(note, retried=hurt_before(note, live.state.pains if live else ()))

    async def answer(self, then: str) -> None:
        """Writes the pain note down, and then does what ``then`` says.

        ``go_on`` goes on, ``without`` goes on without what hurts, ``end`` ends the session.
        """
        state = self._context.state
        note = state.run.pain_note
        await self._run.event(HurtEvent, pain=note)
        state.run.pain, state.screen = None, Screen.running
        if then == "end":
            await self._run.do(Ended, ending=Ending.pain)
        elif then == "without":
            await self._go_on_without(note)
        else:
            await self._run.do(Resumed)

    async def _go_on_without(self, note: PainNote) -> None:
        """Spares the joint in the rest of the session; a current interval of what hurts is skipped."""
        state = self._run.live.state
        now = state.current if state.in_interval else None
        await self._finish.apply(swap_after_pain(state, note, self._finish.known()))
        await self._run.write(Resumed)
        if now is not None and now.movement == note.movement:
            await self._run.write(Skipped)
        await self._run.hand_over_cues()
        await self._run.show_effect()

    async def not_hurt(self) -> None:
        """Goes back to the session, still paused: it was a slip of the finger."""
        self._context.state.run.pain = None
        self._context.show(Screen.running)
