"""Something hurts: one question on each screen, then plainly what the rules say. Never a diagnosis."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import flet as ft

from companion.style.pain_words import SIGNS, advice_words
from companion.style.safety import CALL_NOW, HELP_ROW, HELPERS_FIRST, UNTIL_HELP_COMES, URGENT_SIGNS
from companion.style.words import joint_words
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import NoticeKind, group, notice, section_title, words
from companion.views.controls.rating import rating
from companion.views.controls.safe import safe_component
from companion.views.controls.text_scale import LARGE, use_text_scale
from companion.views.controls.theme import Role, Space
from companion.views.drawings.figure import MIRROR, joint_picture
from companion.views.session.parts import stop_rules_list
from companion.words.saying import all_said, msgid, own, say
from engine.live.state import RunState
from engine.movements.pain import SIGNS_OF_INJURY, Advice, PainKind, PainNote, PainQuestion

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.hurt import Hurt
    from companion.state.app import State


IN_WHICH = msgid("In which movement?")
MOVE_LESS_FAR = msgid("Try moving less far")
TRY_LESS_FAR = msgid("Try once, moving less far. Carry on only if it hurts no more than before you started.")
"""The advice to try once, for a movement without a weight."""
STOPPED = msgid("Stop. Weight down.")
WHAT_TO_DO = msgid("What to do")
END = msgid("End the session")
WITHOUT_IT = msgid("Go on without this movement")
SIGNS_OF_DANGER = msgid("The signs that need help at once")
ZERO_TO_TEN = msgid("0 no pain, 10 the worst imaginable")


@safe_component
def hurt_screen(state: State, do: Hurt, _: Go) -> ft.Control:
    note, question, said = state.run.pain_note, do.question(), do.advice()
    run = state.run.in_progress.state
    if question is None and said is not None:
        return _verdict(said, run, do)
    ask = {PainQuestion.signs: _signs, PainQuestion.number: _number}.get(
        question or PainQuestion.where, _where
    )
    first = question is PainQuestion.where
    back = (say("Nothing hurts, go back"), bound(do.not_hurt)) if first else (say("Back"), bound(do.back))
    return page_frame(
        [_help(do), ask(note, do), *([] if first else stop_rules_list(run))],
        title=say(STOPPED),
        top_at=str(question),
        actions=[quiet_button(*back, tall=True, expand=True), _end(do)],
    )


def _help(do: Hurt) -> ft.Control:
    return _rows([[quiet_button(say(HELP_ROW), bound(do.get_help), tone="danger", tall=True, expand=True)]])


def _end(do: Hurt) -> ft.Control:
    return quiet_button(say(END), bound(do.answer, "end"), tone="danger", tall=True, expand=True)


@ft.component
def _rows(rows: Sequence[Sequence[ft.Control]]) -> ft.Control:
    """Rows of buttons as wide as the page, each row of one height; below each other if the text is large."""
    scale, probe = use_text_scale()
    stretch = ft.CrossAxisAlignment.STRETCH
    shown = [[one] for row in rows for one in row] if scale >= LARGE else rows
    lines: list[ft.Control] = [
        ft.Row(list(row), spacing=Space.S, vertical_alignment=stretch, intrinsic_height=True) for row in shown
    ]
    return ft.Stack([probe, ft.Column(lines, spacing=Space.S, tight=True)])


def _question(text: str, *, detail: str | None = None) -> ft.Control:
    return ft.Semantics(live_region=True, container=True, content=section_title(text, detail=detail))


def _where(_: PainNote, do: Hurt) -> ft.Control:
    """The joints that hurt lately, and every point of the figure; for a muscle, the nearest point."""
    recent = [
        quiet_button(
            say("Again: {joint}", joint=joint_words(*point)),
            bound(do.where, *point),
            tone="caution",
            tall=True,
            expand=True,
        )
        for point in do.recent()
    ]
    picture = ft.Row([joint_picture(None, do.where, said={})], alignment=ft.MainAxisAlignment.CENTER)
    shown = [_rows([recent])] if recent else []
    where = _question(say("Where? Tap the nearest point"), detail=say(MIRROR))
    return group(where, *shown, picture)


def _in_which_movement(note: PainNote, do: Hurt) -> list[ft.Control]:
    """The movement that the note is about; between two of them a tap corrects it."""
    names = do.movements()
    if len(names) > 1:
        options = [(movement, own(name)) for movement, name in names.items()]
        return [choice_row(options, note.movement, do.it_was, name=say(IN_WHICH))]
    return [words(own(name), strong=True) for name in names.values()]


def _signs(note: PainNote, do: Hurt) -> ft.Control:
    """The signs that stop a movement, and then a dull ache; any tap leads to the next question."""
    assert note.joint is not None
    signs = [
        quiet_button(say(word), bound(do.sign, sign), tall=True, expand=True) for sign, word in SIGNS.items()
    ]
    none = [
        quiet_button(text, bound(do.no_sign, kind), tall=True, expand=True)
        for kind, text in (
            (PainKind.joint, say("None: dull, {joint}", joint=joint_words(note.joint, note.side))),
            (PainKind.muscle, say("None: in a muscle, dull or burning")),
        )
    ]
    return group(
        _question(say("Any of these?")),
        _rows([signs[at : at + 2] for at in range(0, len(signs), 2)]),
        _question(say("None of these")),
        _rows([[one] for one in none]),
    )


def _number(note: PainNote, do: Hurt) -> ft.Control:
    """The number. The burning of a muscle may be gone by now, and a serious sign needs no number."""
    others = []
    if note.kind is PainKind.muscle:
        others = [quiet_button(say("It burned and is gone now"), bound(do.has_gone), tall=True, expand=True)]
    elif note.qualities:
        others = [quiet_button(say("No number"), bound(do.give_no_number), tall=True, expand=True)]
    is_now = note.kind is PainKind.muscle or note.after_try
    return group(
        *([words(_after_try(note, do), strong=True)] if note.after_try else _in_which_movement(note, do)),
        _question(say("How much now?") if is_now else say("How much?"), detail=say(ZERO_TO_TEN)),
        rating(note.rating, do.rate, name=say("How much?"), what=say("pain")),
        *([_rows([others])] if others else []),
    )


def _after_try(note: PainNote, do: Hurt) -> str:
    """“After the try: left knee”, and how much it was before."""
    joint, before = joint_words(note.joint, note.side) if note.joint else "", do.before_try()
    where = say("After the try: {joint}", joint=joint) if joint else say("After the try")
    return where if before is None else f"{where}\n{say('It was {rating} before.', rating=before)}"


_NOTICE: dict[Advice, NoticeKind] = {
    Advice.go_on: "note",
    Advice.ease: "caution",
    Advice.retry_unloaded: "caution",
    Advice.stop_movement: "caution",
    Advice.swap_and_leave_out: "caution",
    Advice.end_session: "caution",
}
_WAY_ON = {
    Advice.go_on: (msgid("Carry on"), "go_on"),
    Advice.ease: (msgid("Carry on with less"), "go_on"),
    Advice.retry_unloaded: (msgid("Try without weight"), "try"),
    Advice.stop_movement: (WITHOUT_IT, "without"),
    Advice.swap_and_leave_out: (WITHOUT_IT, "without"),
}
"""The main action of each verdict; any other verdict ends the session."""


def _verdict(said: Advice, run: RunState, do: Hurt) -> ft.Control:
    """What to do, with one main action; ending and changing an answer are always there."""
    if said is Advice.get_help:
        return _get_help(do)
    label, then = _WAY_ON.get(said, (END, "end"))
    text = advice_words(said, do.qualities())
    if then == "try" and not do.takes_weight():
        label, text = MOVE_LESS_FAR, say(TRY_LESS_FAR)
    without = [words(all_said(do.without_it()))] if then == "without" else []
    leave_out = quiet_button(say("Leave it out"), bound(do.answer, "without"), expand=True)
    others = [quiet_button(say("Change an answer"), bound(do.back), expand=True)]
    others += [leave_out] if then in ("go_on", "try") else []
    if then == "without" and SIGNS_OF_INJURY & set(do.qualities()):
        others += [quiet_button(say(label), bound(do.answer, then), expand=True)]
        label, then = END, "end"
    return page_frame(
        [
            _help(do),
            notice(_NOTICE[said], text, title=say(WHAT_TO_DO), announce=True),
            *without,
            _rows([others]),
            *stop_rules_list(run, said),
        ],
        title=say(STOPPED),
        top_at=said,
        actions=[
            *([] if then == "end" else [_end(do)]),
            primary_button(say(label), bound(do.answer, then), expand=True, autofocus=True),
        ],
    )


def _get_help(do: Hurt) -> ft.Control:
    """The call first and large, then what to do until help comes, and only then the signs."""
    return page_frame(
        [
            notice(
                "danger",
                "\n".join(map(say, UNTIL_HELP_COMES)),
                title=say(CALL_NOW),
                announce=True,
                large=True,
            ),
            group(
                section_title(say(SIGNS_OF_DANGER)),
                words(say(URGENT_SIGNS)),
                words(say(HELPERS_FIRST), colour=Role.INK_SOFT),
            ),
        ],
        title=say(STOPPED),
        top_at=Advice.get_help,
        actions=[
            quiet_button(say("Change an answer"), bound(do.back), tall=True, expand=True),
            primary_button(say(END), bound(do.answer, "end"), expand=True, autofocus=True),
        ],
    )
