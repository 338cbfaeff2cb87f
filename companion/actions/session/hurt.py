"""Something hurts: everything stops at once, then comes what hurts. The note is always kept."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.session.finish import Finish
from companion.actions.session.run import Run
from companion.state.screen import Screen
from engine.base.units import MS_PER_S
from engine.live.cues import CueKind, cue
from engine.live.events import Ended, Ending, Paused, Resumed, Skipped, TryStarted
from engine.live.events import Hurt as HurtEvent
from engine.live.pain_stop import (
    in_segment,
    new_note,
    note_after_try,
    recent_joints,
    said_before,
    where_it_hurt,
)
from engine.live.state import Status
from engine.live.swap import swap_after_pain
from engine.movements.movement import Joint, JointPoint, Side
from engine.movements.pain import (
    Advice,
    PainKind,
    PainNote,
    PainQuality,
    PainQuestion,
    advice,
    hurt_before,
    next_question,
)


class Hurt:
    def __init__(self, context: Context, run: Run, finish: Finish) -> None:
        self._context, self._run, self._finish = context, run, finish

    async def stop(self) -> None:
        """Stops clock and cues at once, and opens a pain note to be filled in."""
        run = self._run
        run.note(Paused)
        await run.hand_over_cues()
        await self._context.cues.play(cue(CueKind.stop, run.session_ms(), "Stop. Weight down."))
        self._ask(new_note(run.live.state, run.session_ms()))
        await run.save()

    def ask_after_try(self) -> None:
        """Asks for the number once the try without weight is over."""
        live, pain = self._context.state.run.live, self._context.state.run.pain
        if live is not None and live.state.attempt.asks_number and pain is None:
            self._ask(note_after_try(live.state, self._run.session_ms()))

    def _ask(self, note: PainNote) -> None:
        run = self._context.state.run
        run.pain, run.pain_unrated = note, False
        self._context.show(Screen.hurt)

    def describe(self, **changes: object) -> None:
        state = self._context.state
        state.run.pain = PainNote.model_validate(self._note.model_dump() | changes)
        state.on_change()

    # One answer each

    def recent(self) -> tuple[JointPoint, ...]:
        """The joints that hurt lately."""
        return recent_joints(self._run.live.state)

    def movements(self) -> dict[str, str]:
        """The names of the movements in which it may have hurt, by slug, the likeliest first."""
        run = self._run.live.state
        chosen = (run.session.chosen(segment) for segment in where_it_hurt(run))
        return {one.movement: one.name for one in chosen if one is not None}

    def it_was(self, movement: str) -> None:
        """Says in which of them it hurt."""
        segment = next(one for one in where_it_hurt(self._run.live.state) if one.movement == movement)
        self.describe(**in_segment(segment))

    def before_try(self) -> int | None:
        """The number said before the try without weight; None outside one, or where none was said."""
        pains = self._run.live.state.pains
        return pains[-1].rating if self._note.after_try and pains else None

    def takes_weight(self) -> bool:
        """Whether the movement that hurts is done with a weight."""
        run, note = self._run.live.state, self._note
        segment = run.by_id.get(note.segment_id or "")
        chosen = run.session.chosen(segment) if segment is not None else None
        return chosen is not None and chosen.dumbbells > 0

    def where(self, joint: Joint, side: Side | None) -> None:
        self.describe(joint=joint, side=side, said_before=said_before(self._run.live.state, joint, side))

    def sign(self, quality: PainQuality) -> None:
        """Says a serious sign, which counts as one of a joint wherever it is felt."""
        self.describe(kind=PainKind.joint, qualities=(quality,))

    def no_sign(self, kind: PainKind) -> None:
        """Says that there is no such sign: a dull ache in a joint or a muscle."""
        self.describe(kind=kind)

    def rate(self, number: int | None) -> None:
        self.describe(rating=number)

    def has_gone(self) -> None:
        """Says that the burning of a muscle is gone by now."""
        gone_after_s = (self._run.session_ms() - self._note.session_ms) // MS_PER_S
        self.describe(gone_after_s=gone_after_s)

    def give_no_number(self) -> None:
        self._context.state.run.pain_unrated = True
        self._context.state.on_change()

    def get_help(self) -> None:
        self.describe(kind=PainKind.warning_sign)

    def back(self) -> None:
        """Takes the last answer back."""
        question, self._context.state.run.pain_unrated = self.question(), False
        if self._note.kind is PainKind.warning_sign:
            self.describe(kind=None)
        elif question is None:
            self.describe(rating=None, gone_after_s=None)
        elif question is PainQuestion.number:
            self.describe(kind=None, qualities=())
        else:
            self.describe(joint=None, side=None, said_before=None)

    # What the rules say

    def question(self) -> PainQuestion | None:
        """The question to ask now; None once the rules give their answer."""
        return next_question(self._note, unrated=self._context.state.run.pain_unrated)

    def advice(self) -> Advice | None:
        """What the rules ask, given the note so far; None while it does not say enough."""
        note, live = self._note, self._context.state.run.live
        return advice(note, retried=hurt_before(note, live.state.pains if live else ()))

    def qualities(self) -> tuple[PainQuality, ...]:
        return self._note.qualities

    def without_it(self) -> str:
        """What would change in the rest of the session without what hurts, in one sentence."""
        return swap_after_pain(self._run.live.state, self._note, self._finish.known()).said

    @property
    def _note(self) -> PainNote:
        return self._context.state.run.pain_note

    async def answer(self, then: str) -> None:
        """Takes the pain note in, and then does what ``then`` says.

        ``go_on`` goes on, ``try`` goes on without weight, ``without`` goes on without what hurts, and ``end``
        ends the session.
        """
        note, state = self._note, self._context.state
        self._run.note(HurtEvent, pain=note)
        await self._run.hand_over_cues()
        state.run.pain, state.screen = None, Screen.running
        if then == "end":
            await self._run.do(Ended, ending=Ending.pain)
        elif self._run.live.state.status is Status.ended:
            await self._run.show_effect()
            await self._run.save()
        elif then == "without":
            await self._go_on_without(note)
        elif then == "try":
            await self._finish.do(TryStarted)
        else:
            await self._finish.do(Resumed)

    async def _go_on_without(self, note: PainNote) -> None:
        """Spares the joint in the rest of the session; a current interval of what hurts is skipped."""
        state = self._run.live.state
        now = state.current if state.in_interval else None
        self._finish.apply(swap_after_pain(state, note, self._finish.known()))
        self._run.note(Resumed)
        if now is not None and now.movement == note.movement:
            self._run.note(Skipped)
        await self._finish.keep()

    async def not_hurt(self) -> None:
        """Goes back to the session, still paused: it was a slip of the finger. After a try, it hurt 0."""
        if self._note.after_try:
            self._ask(note_after_try(self._run.live.state, self._run.session_ms()))
            self.rate(0)
            return
        self._context.state.run.pain = None
        self._context.show(Screen.running)
