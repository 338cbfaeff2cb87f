"""The quick log: as planned, except for what the person changes. It takes less than a minute."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.words import in_turn
from companion.views.after.set_form import reserve_row, set_form, set_title, set_words
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.field import field
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.load_input import load_choice
from companion.views.controls.parts import group, notice, section, section_title, words
from companion.views.controls.rating import rating
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role
from companion.words.lines import line_text
from companion.words.saying import msgid, own, say, several
from engine.base.message import Seconds
from engine.base.units import MS_PER_S, LoadUnit
from engine.coach.pain_lines import pain_in_session
from engine.live.events import Ending
from engine.live.state import RunState
from engine.load.rack import Rack
from engine.movements.pain import PainNote
from engine.movements.room import SoreJoint
from engine.record.record import SetDone
from engine.record.recording import sets_of
from engine.record.sets import hurt_sets, is_skipped
from engine.record.week import rounds_done_in
from engine.session.fitted import FittedSession

if TYPE_CHECKING:
    from companion.actions.after.log import Log
    from companion.actions.go import Go
    from companion.state.app import State


KEPT = {
    Ending.finished: "",
    Ending.early: msgid("You ended early; what you did is saved."),
    Ending.pain: msgid("You stopped for pain; what you did is saved, with your pain note."),
}
WHAT_HURT = msgid("What hurt")
NOT_OVER = msgid("Not over yet: carry on")
EFFORT_SCALE = msgid("0 is nothing at all, 10 is everything you had")
EFFORT_NOT_SAID = msgid("Not answered yet.")
FIRST_SAID = msgid("First said: {said}.")
LAST_ROUND = msgid("Repetitions still possible in the last round")


@safe_component
def log_screen(state: State, do: Log, _: Go) -> ft.Control:
    run = state.run.in_progress.state
    open_set, set_open_set = ft.use_state("")
    names = {i.chosen.movement: i.chosen.name for block in run.session.blocks for i in block.items}
    sets = sets_of(run, state.run.answers)
    return page_frame(
        [
            notice(
                "note",
                _what_happened(run, sets),
                actions=[quiet_button(say(NOT_OVER), bound(do.not_over))]
                if run.ending is Ending.early
                else [],
            ),
            *hurt_list(run.session.room.sore, run.pains, names),
            columns(
                [
                    effort_input(run.session, state.run.answers.effort, do.effort),
                    *_movements(state, [one for one in sets if not is_skipped(one)], do),
                ],
                [
                    *sets_list(
                        sets,
                        run.session,
                        hurt=hurt_sets(run.pains, run.by_id),
                        opened=open_set,
                        on_open=set_open_set,
                        on_change=do.set,
                        unit=state.home.unit,
                        rack=state.home.rack,
                    ),
                    field(say("A word to your coach"), state.run.answers.note, do.note, lines=3, key="note"),
                ],
            ),
        ],
        title=say("How was it?"),
        wide=True,
        actions=[primary_button(say("Save"), bound(do.save), expand=True)],
    )


def _what_happened(run: RunState, sets: Sequence[SetDone]) -> str:
    """“2 of 6 rounds done, 8:14 in all.”, and how it ended."""
    session = run.session.model_copy(update={"segments": run.segments})
    worked = Seconds(seconds=sum(done.worked_ms for done in run.done) // MS_PER_S)
    if session.easy_movement:
        done = say("{worked:clock} in all.", worked=worked)
    else:
        done = several(
            "{done} of {count} round done, {worked:clock} in all.",
            "{done} of {count} rounds done, {worked:clock} in all.",
            session.rounds(),
            done=sum(rounds_done_in(session, sets)),
            worked=worked,
        )
    return " ".join(filter(None, (done, say(KEPT[run.ending or Ending.early]))))


def hurt_list(
    sore: Iterable[SoreJoint], pains: Iterable[PainNote], names: dict[str, str]
) -> list[ft.Control]:
    """What hurt, as the person said it; nothing where nothing did."""
    return section(say(WHAT_HURT), [words(line_text(one)) for one in pain_in_session(sore, pains, names)])


def effort_input(
    of: FittedSession, effort: float | None, on_rate: Callable[[int | None], object]
) -> ft.Control:
    """``effort`` is from 0 to 10, None without an answer; a tap on the answer takes it back."""
    asks = say("How hard was the easy movement?" if of.easy_movement else "How hard was the session?")
    answer = say(EFFORT_NOT_SAID) if effort is None else say("Effort {effort} of 10.", effort=effort)
    return group(
        section_title(asks, detail=say(EFFORT_SCALE)),
        rating(effort, on_rate, name=say("Effort"), what=say("effort")),
        words(answer, colour=Role.INK_SOFT),
    )


def _movements(state: State, sets: Sequence[SetDone], do: Log) -> list[ft.Control]:
    """For each movement, each time of the round by itself, the load of its last set, and the repetitions left
    in the last round."""
    session = state.run.in_progress.state.session
    last = {(done.movement, session.turn(done.block, done.place, done.movement)): done for done in sets}
    rows: list[ft.Control] = []
    for (movement, turn), done in last.items():
        name = set_name(session, done)
        if done.dumbbells:
            label = say("{movement}, each", movement=name) if done.dumbbells == 2 else name
            rows.append(
                load_choice(
                    label,
                    done.load_g,
                    partial(do.set_load, movement, turn=turn),
                    unit=state.home.unit,
                    owned_g=state.home.rack.loads_g(done.dumbbells),
                )
            )
        else:
            rows.append(words(name, strong=True))
        if done.is_hold:
            continue
        rows.append(words(say(LAST_ROUND), colour=Role.INK_SOFT))
        asks = say("{movement}: repetitions still possible in the last round", movement=name)
        rows.append(reserve_row(done.effort, partial(do.reserve, movement, turn=turn), name=asks))
    return section(say("Movements"), rows)


def set_name(session: FittedSession, done: SetDone) -> str:
    """The movement of a set; which time of the round, where it comes several times."""
    item = session.in_place(done.block, done.place, done.movement)
    name = item.chosen.name if item is not None else done.movement
    return in_turn(own(name), session.turn(done.block, done.place, done.movement))


def sets_list(
    sets: Sequence[SetDone],
    session: FittedSession,
    *,
    hurt: Collection[str],
    opened: str,
    on_open: Callable[..., Any],
    on_change: Callable[..., object],
    unit: LoadUnit,
    rack: Rack,
    first_said: dict[str, str] | None = None,
) -> list[ft.Control]:
    """Every set, where there are any. A tap opens one to be corrected, another tap closes it; one that was
    skipped has nothing to correct.

    ``hurt`` are the keys of the sets in which something hurt, ``opened`` is the key of the open set, and
    ``first_said`` tells, by key, what was said before.
    """
    rows: list[ft.Control] = []
    for done in sets:
        is_open = done.key == opened
        label = say(
            "{set}, {said}",
            set=set_title(done, set_name(session, done)),
            said=set_words(done, hurt=done.key in hurt),
        )
        if is_skipped(done):
            rows.append(words(label, colour=Role.INK_SOFT))
            continue
        opens = bound(on_open, "" if is_open else done.key)
        rows.append(ft.Row([quiet_button(label, opens, expand=True)]))
        if first := (first_said or {}).get(done.key):
            rows.append(words(say(FIRST_SAID, said=first), colour=Role.INK_SOFT))
        if is_open:
            rows.append(set_form(done, unit=unit, rack=rack, on_change=partial(on_change, done.key)))
    return section(say("Sets"), rows, detail=say("open one to correct it"))
