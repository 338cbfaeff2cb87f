"""Something hurts: everything stops at once, then comes what hurts. The note is always kept."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.session.finish import Finish
from companion.actions.session.run import Run
from companion.services.cue_player import spoken
from companion.state.screen import Screen
from engine.base.message import Message
from engine.base.units import MS_PER_S
from engine.live.cues import CueKind, cue
from engine.live.events import Ended, Ending, Paused, Resumed, Skipped, Telling, TryStarted
from engine.live.events import Hurt as HurtEvent
from engine.live.pain_stop import (
    in_segment,
    new_note,
    note_after_try,
    recent_joints,
    said_before,
    where_it_hurt,
)
from engine.live.spoken import STOP_WEIGHT_DOWN
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
        stop = cue(CueKind.stop, run.session_ms(), *STOP_WEIGHT_DOWN)
        await self._context.cues.play(spoken(stop, self._context.state.words))
        await self._ask(new_note(run.live.state, run.session_ms()))

    async def ask_after_try(self) -> None:
        """Asks for the number once the try without weight is over."""
        live, pain = self._context.state.run.live, self._context.state.run.pain
        if live is not None and live.state.attempt.asks_number and pain is None:
            await self._ask(note_after_try(live.state, self._run.session_ms()))

    async def _ask(self, note: PainNote) -> None:
        self._run.note(Telling, pain=note)
        self._context.state.run.pain_unrated = False
        self._context.show(Screen.hurt)
        await self._run.save()

    async def describe(self, **changes: object) -> None:
        told = self._note.model_dump() | changes
        self._run.note(Telling, pain=PainNote.model_validate(told))
        self._context.state.on_change()
        await self._run.save()

    # One answer each

    def recent(self) -> tuple[JointPoint, ...]:
        """The joints that hurt lately."""
        return recent_joints(self._run.live.state)

    def movements(self) -> dict[str, str]:
        """The names of the movements in which it may have hurt, by slug, the likeliest first."""
        run = self._run.live.state
        chosen = (run.session.chosen(segment) for segment in where_it_hurt(run))
        return {one.movement: one.name for one in chosen if one is not None}

    async def it_was(self, movement: str) -> None:
        """Says in which of them it hurt."""
        segment = next(one for one in where_it_hurt(self._run.live.state) if one.movement == movement)
        await self.describe(**in_segment(segment))

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

    async def where(self, joint: Joint, side: Side | None) -> None:
        await self.describe(
            joint=joint, side=side, said_before=said_before(self._run.live.state, joint, side)
        )

    async def sign(self, quality: PainQuality) -> None:
        """Says a serious sign, which counts as one of a joint wherever it is felt."""
        await self.describe(kind=PainKind.joint, qualities=(quality,))

    async def no_sign(self, kind: PainKind) -> None:
        """Says that there is no such sign: a dull ache in a joint or a muscle."""
        await self.describe(kind=kind)

    async def rate(self, number: int | None) -> None:
        await self.describe(rating=number)

    async def has_gone(self) -> None:
        """Says that the burning of a muscle is gone by now."""
        since_ms = self._run.session_ms() - self._note.session_ms
        away_ms = self._run.live.state.anchor.away_ms
        await self.describe(gone_after_s=(since_ms + away_ms) // MS_PER_S)

    def give_no_number(self) -> None:
        self._context.state.run.pain_unrated = True
        self._context.state.on_change()

    async def get_help(self) -> None:
        await self.describe(kind=PainKind.warning_sign)

    async def back(self) -> None:
        """Takes the last answer back."""
        question, self._context.state.run.pain_unrated = self.question(), False
        if self._note.kind is PainKind.warning_sign:
            await self.describe(kind=None)
        elif question is None:
            await self.describe(rating=None, gone_after_s=None)
        elif question is PainQuestion.number:
            await self.describe(kind=None, qualities=())
        else:
            await self.describe(joint=None, side=None, said_before=None)

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

    def without_it(self) -> tuple[Message, ...]:
        """What would change in the rest of the session without what hurts."""
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
        state.screen = Screen.running
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
            asked = note_after_try(self._run.live.state, self._run.session_ms())
            await self._ask(asked.model_copy(update={"rating": 0}))
            return
        self._run.note(Telling, pain=None)
        self._context.show(Screen.running)
        await self._run.save()
