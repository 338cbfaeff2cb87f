"""Something hurts: what, where, a number; then what the rules say, plainly. Never a diagnosis."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.pain_words import ADVICE
from companion.style.safety import URGENT
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import NoticeKind, group, notice, section_title
from companion.views.controls.rating import rating
from companion.views.controls.safe import safe_component
from companion.views.controls.tick import tick_row
from companion.views.drawings.figure import MIRROR, joint_points
from engine.movements.movement import Joint, Side
from engine.movements.pain import Advice, PainKind, PainQuality
from engine.movements.words import joint_word

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.hurt import Hurt
    from companion.state.app import State


KINDS = (
    (PainKind.muscle.value, "Muscle"),
    (PainKind.joint.value, "Joint"),
    (PainKind.warning_sign.value, "Warning sign"),
)
WHAT_TO_DO = "What to do"
QUALITIES = {
    PainQuality.sharp: "Sharp",
    PainQuality.sudden: "Sudden",
    PainQuality.snap: "A snap or pop",
    PainQuality.locking: "Locking",
    PainQuality.giving_way: "Giving way",
    PainQuality.nerve_like: "Tingling, numb or shooting",
}


@safe_component
def hurt_screen(state: State, do: Hurt, _: Go) -> ft.Control:
    note = state.run.pain
    assert note is not None
    joint_questions = [_where(state, do), _qualities(state, do)] if note.kind is PainKind.joint else []
    numbered = [_rating(state, do)] if note.kind in (PainKind.muscle, PainKind.joint) else []
    said = do.advice()
    return page_frame(
        [
            notice("danger", URGENT),
            section_title("What is it?"),
            choice_row(KINDS, note.kind, lambda kind: do.describe(kind=kind), name="What hurts"),
            *numbered,
            *joint_questions,
            ft.Row([quiet_button("Nothing hurts, go back", bound(do.not_hurt))]),
        ],
        title="Stopped. What hurts?",
        actions=_ways_on(said, do),
        said=None if said is None else notice(_NOTICE[said], ADVICE[said], title=WHAT_TO_DO, announce=True),
    )


_NOTICE: dict[Advice, NoticeKind] = {
    Advice.go_on: "note",
    Advice.ease: "caution",
    Advice.stop_movement: "caution",
    Advice.retry_unloaded: "caution",
    Advice.swap_and_leave_out: "caution",
    Advice.end_session: "caution",
    Advice.get_help: "danger",
}


def _ways_on(said: Advice | None, do: Hurt) -> list[ft.Control]:
    """Only what the rules permit; ending is always there."""
    end = ("End the session", "end")
    ways = {
        None: [end],
        Advice.go_on: [end, ("Go on", "go_on")],
        Advice.retry_unloaded: [end, ("Leave it out", "without"), ("Try unloaded", "go_on")],
        Advice.ease: [end, ("Leave it out", "without"), ("Go on with less", "go_on")],
        Advice.stop_movement: [end, ("Go on without it", "without")],
        Advice.swap_and_leave_out: [end, ("Go on without it", "without")],
        Advice.end_session: [end],
        Advice.get_help: [end],
    }[said]
    *others, (label, then) = ways
    return [
        *(
            quiet_button(text, bound(do.answer, way), tone="danger", tall=True, expand=True)
            for text, way in others
        ),
        primary_button(label, bound(do.answer, then), expand=True),
    ]


def _rating(state: State, do: Hurt) -> ft.Control:
    assert state.run.pain is not None
    chosen = rating(
        state.run.pain.rating, lambda number: do.describe(rating=number), name="How much", what="pain"
    )
    return group(section_title("How much?", detail="0 to 10"), chosen)


def _where(state: State, do: Hurt) -> ft.Control:
    """Named joint points, on a picture and as a list."""
    note = state.run.pain
    assert note is not None
    where = joint_word(note.joint, note.side) if note.joint else f"tap one, {MIRROR}"
    chosen = (note.joint, note.side) if note.joint else None

    def place(joint: Joint, side: Side | None) -> None:
        do.describe(joint=joint, side=side)

    return group(section_title("Where?", detail=where), joint_points(chosen, place, said={}))


def _qualities(state: State, do: Hurt) -> ft.Control:
    note = state.run.pain
    assert note is not None
    rows: list[ft.Control] = [
        tick_row(label, quality in note.qualities, _toggled(note.qualities, quality, do))
        for quality, label in QUALITIES.items()
    ]
    return group(section_title("Any of these?"), ft.Column(rows, spacing=0))


def _toggled(now: tuple[PainQuality, ...], quality: PainQuality, do: Hurt) -> Callable[..., Any]:
    def toggle(on: bool) -> None:
        do.describe(qualities=(*now, quality) if on else tuple(q for q in now if q is not quality))

    return toggle
