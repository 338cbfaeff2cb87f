"""Something hurts: what, where and how much, then plainly what the rules say. Never a diagnosis."""

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
from engine.movements.pain import Advice, PainKind, PainNote, PainQuality
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
    note, advice = state.run.pain_note, do.advice()
    about_joint = [_where(note, do), _qualities(note, do)] if note.kind is PainKind.joint else []
    how_much = [_rating(note, do)] if note.kind in (PainKind.muscle, PainKind.joint) else []
    return page_frame(
        [
            notice("danger", URGENT),
            section_title("What is it?"),
            choice_row(KINDS, note.kind, lambda kind: do.describe(kind=kind), name="What hurts"),
            *how_much,
            *about_joint,
            ft.Row([quiet_button("Nothing hurts, go back", bound(do.not_hurt))]),
        ],
        title="Stopped. What hurts?",
        actions=_buttons(advice, do),
        said=_advice_notice(advice) if advice else None,
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


def _advice_notice(advice: Advice) -> ft.Control:
    return notice(_NOTICE[advice], ADVICE[advice], title=WHAT_TO_DO, announce=True)


def _buttons(advice: Advice | None, do: Hurt) -> list[ft.Control]:
    """What the rules permit, the last one as the main action; ending is always among it."""
    end = ("End the session", "end")
    *others, (label, then) = {
        None: [end],
        Advice.go_on: [end, ("Go on", "go_on")],
        Advice.retry_unloaded: [end, ("Leave it out", "without"), ("Try unloaded", "go_on")],
        Advice.ease: [end, ("Leave it out", "without"), ("Go on with less", "go_on")],
        Advice.stop_movement: [end, ("Go on without it", "without")],
        Advice.swap_and_leave_out: [end, ("Go on without it", "without")],
        Advice.end_session: [end],
        Advice.get_help: [end],
    }[advice]
    return [
        *(
            quiet_button(other, bound(do.answer, instead), tone="danger", tall=True, expand=True)
            for other, instead in others
        ),
        primary_button(label, bound(do.answer, then), expand=True),
    ]


def _rating(note: PainNote, do: Hurt) -> ft.Control:
    chosen = rating(note.rating, lambda number: do.describe(rating=number), name="How much", what="pain")
    return group(section_title("How much?", detail="0 to 10"), chosen)


def _where(note: PainNote, do: Hurt) -> ft.Control:
    """The joint points, on a picture and as a list."""
    where = joint_word(note.joint, note.side) if note.joint else f"tap one, {MIRROR}"
    chosen = (note.joint, note.side) if note.joint else None

    def place(joint: Joint, side: Side | None) -> None:
        do.describe(joint=joint, side=side)

    return group(section_title("Where?", detail=where), joint_points(chosen, place, said={}))


def _qualities(note: PainNote, do: Hurt) -> ft.Control:
    rows: list[ft.Control] = [
        tick_row(label, quality in note.qualities, _toggled(note.qualities, quality, do))
        for quality, label in QUALITIES.items()
    ]
    return group(section_title("Any of these?"), ft.Column(rows, spacing=0))


def _toggled(now: tuple[PainQuality, ...], quality: PainQuality, do: Hurt) -> Callable[..., Any]:
    def toggle(on: bool) -> None:
        do.describe(qualities=(*now, quality) if on else tuple(q for q in now if q is not quality))

    return toggle
