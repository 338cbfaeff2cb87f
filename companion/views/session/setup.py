"""Before a session: the minutes with what they give, and the choices that shape it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.state.required import required
from companion.style.pain_words import NO_SESSION, pain_today
from companion.style.words import clock_time
from companion.views.controls.buttons import bound, button_row, ignoring_value, primary_button, quiet_button
from companion.views.controls.choice import choice_list, choice_row
from companion.views.controls.frame import columns, page_frame, whose_session
from companion.views.controls.parts import group, notice, section_title
from companion.views.controls.safe import safe_component
from companion.views.controls.stepper import stepper
from companion.views.controls.tick import tick_row
from companion.views.session.body_today import (
    after_pain,
    blood_pressure,
    how_much,
    illness,
    sore_joints,
    sore_muscles,
)
from companion.views.session.fitted import fitted, nothing_fits
from companion.views.session.no_session import no_session_in_brief, no_session_today
from companion.words.saying import all_said, msgid, own, said, say
from engine.base.units import format_duration
from engine.fit.offer import Offer
from engine.movements.movement import Equipment
from engine.plan.adjustment import describe
from engine.record.follow_up import FollowUp
from engine.session.fitted import FittedSession
from engine.today.care import Care

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.setup import Setup
    from companion.state.app import State


KITS = {"none": msgid("None"), "single": msgid("One"), "pair": msgid("Two")}
ASKED_FOR = {
    Equipment.wall: msgid("A free wall"),
    Equipment.floor: msgid("A free floor"),
    Equipment.chair: msgid("A free chair"),
}
ONLY_HERE = msgid("Your sessions are saved on this device only.")
HOME_SCREEN = msgid("Put this page on the Home Screen first")
WHY_HOME_SCREEN = msgid(
    "On an iPhone or iPad a browser clears what a page has saved after seven days without a visit. On the "
    "Home Screen it stays. Tap Share, then Add to Home Screen, and open it there. What you recorded here "
    "does not come along: save a backup here, and open it there."
)
NOTHING_FELT = msgid("This device gives no vibration here: tones and words announce each switch.")


@safe_component
def setup_screen(state: State, do: Setup, go: Go) -> ft.Control:
    session, found, pain = state.fit.session, state.fit.offer, state.fit.no_session
    to_home_screen = _home_screen(state, do)
    barred = state.fit.care.no_session or state.body.unrated is not None
    return page_frame(
        [
            *([notice("caution", state.problem)] if state.problem else []),
            *([notice("note", say(state.device.remark))] if state.device.remark else []),
            *whose_session(state, go.to_somebody_else),
            *(to_home_screen or _nothing_felt(state, go)),
            *_follow_up(state, go),
            *(notice("caution", said(one)) for one in state.fit.care.pain),
            columns(
                no_session_today(state, pain, do) if pain else _today(state, do),
                [
                    _kit(state, do),
                    _plan_choice(state, do),
                    _room(state, do),
                    *blood_pressure(state, do),
                    *after_pain(state, do),
                    sore_joints(state, do),
                    sore_muscles(state, do),
                    illness(state, do),
                ],
            ),
            _other_screens(go),
            *([] if to_home_screen else _backup(state, do)),
        ],
        title=own(state.plans.chosen.name),
        actions=[_start(state, session, do)] if found is not None and not barred else [],
        said=_instead_of_start(state, do),
        wide=True,
        top_at="" if pain is None else pain_today(pain),
    )


def _instead_of_start(state: State, do: Setup) -> ft.Control | None:
    """What stays in view instead of the start button: the number of a joint, or why there is no session."""
    if state.body.unrated is not None:
        return how_much(state.body.unrated, state, do)
    if state.fit.no_session is not None:
        return no_session_in_brief(state.fit.no_session, state.fit.answers)
    why = state.fit.care.no_session
    if not why:
        return None
    return notice("caution", said(why), title=say(NO_SESSION), announce=True)


def _today(state: State, do: Setup) -> list[ft.Control]:
    """The minutes, and the session that fits them."""
    session, found = state.fit.session, required(state.fit.offer, "Nothing was fitted.")
    return [
        section_title(say("How many minutes?"), detail=_finish(session, do)),
        stepper(state.fit.minutes, do.set_minutes, low=5, high=120),
        *_session(state, found, do),
        *_care(state.fit.care),
        *_asked_by_coach(state, do),
    ]


def _session(state: State, found: Offer, do: Setup) -> list[ft.Control]:
    """The session; why there is none stays in view below where that is not the minutes."""
    if state.fit.session:
        return fitted(state.fit.session, found, state.fit, do)
    return [] if state.fit.care.no_session else [nothing_fits(found)]


def _home_screen(state: State, do: Setup) -> list[ft.Control]:
    """Why the page belongs on the Home Screen, until the person has read it, and what came of the backup."""
    device = state.device
    if device.records != "home_screen" or device.settings.home_screen_read or state.read_only:
        return []
    buttons = [
        quiet_button(say("Save a backup"), bound(do.save_backup)),
        quiet_button(say("All right"), bound(do.home_screen_read)),
    ]
    came_of_it = [notice("note", state.said, announce=True)] if state.said else []
    return [notice("note", say(WHY_HOME_SCREEN), title=say(HOME_SCREEN), actions=buttons), *came_of_it]


def _nothing_felt(state: State, go: Go) -> list[ft.Control]:
    if not state.device.nothing_felt:
        return []
    return [notice("note", say(NOTHING_FELT), actions=[quiet_button(say("Try the cues"), bound(go.cues))])]


def _other_screens(go: Go) -> ft.Control:
    """The ways to the other screens, at the end: the session comes first."""
    screens = {
        say("The week"): go.week,
        say("Kit and weights"): go.kit,
        say("Plans"): go.plans,
        say("Cues"): go.cues,
        say("Settings"): go.settings,
    }
    buttons = [quiet_button(name, bound(show)) for name, show in screens.items()]
    return group(section_title(say("Besides the session")), button_row(*buttons))


def _backup(state: State, do: Setup) -> list[ft.Control]:
    """One quiet line where the records should be kept elsewhere too; what was saved, once they are."""
    if state.said:
        return [notice("note", state.said, announce=True)]
    if not do.backup_is_due():
        return []
    saved_at = do.kept_elsewhere_at()
    why = say("Your last backup: {day}.", day=saved_at.date()) if saved_at else say(ONLY_HERE)
    return [notice("note", why, actions=[quiet_button(say("Save a backup"), bound(do.save_backup))])]


def _follow_up(state: State, go: Go) -> list[ft.Control]:
    """One button about the last session, for anybody who wants to answer."""
    if state.afterwards.asked is None:
        return []
    asked = state.afterwards.asked
    return [ft.Row([quiet_button(_asked_afterwards(asked), bound(go.afterwards), expand=True)])]


def _asked_afterwards(asked: FollowUp) -> str:
    day = asked.local_date
    if not asked.asks_joints:
        return say("How was your session on {day}?", day=day)
    if asked.easy_movement:
        return say("Any joint worse this morning than before the easy movement on {day}?", day=day)
    return say("Any joint worse this morning than before the session on {day}?", day=day)


def _asked_by_coach(state: State, do: Setup) -> list[ft.Control]:
    """The coach's adjustments that shape this session."""
    known = state.plans.chosen.known_movements()
    asked = (all_said(describe(one, known)) for one in do.asked_by_coach())
    return [notice("note", one, title=say("Your coach asks")) for one in asked]


def _care(care: Care) -> list[ft.Control]:
    """The cautions for today, and what the fit takes care of."""
    return [
        *(notice("caution", said(one)) for one in care.cautions),
        *(notice("note", said(one)) for one in care.said),
    ]


def _start(state: State, session: FittedSession | None, do: Setup) -> ft.Control:
    label = say("Nothing to start")
    if session:
        label = say("Start {length}", length=format_duration(session.total_ms))
    ready = session is not None and not state.read_only
    return primary_button(label, bound(do.start), disabled=not ready, expand=True)


def _finish(session: FittedSession | None, do: Setup) -> str:
    """“done by 18:30”; empty if no session fits."""
    if session is None:
        return ""
    return say("done by {clock}", clock=clock_time(do.done_by(session)))


def _kit(state: State, do: Setup) -> ft.Control:
    name, kits = say("Dumbbells on hand"), [(kit, say(word)) for kit, word in KITS.items()]
    return group(section_title(name), choice_row(kits, state.home.kit.value, do.choose_kit, name=name))


def _plan_choice(state: State, do: Setup) -> ft.Control:
    name, plans = say("Plan"), [(plan.id, own(plan.name)) for plan in state.plans.all]
    return group(section_title(name), choice_list(plans, state.plans.chosen.id, do.choose_plan, name=name))


def _room(state: State, do: Setup) -> ft.Control:
    rows: list[ft.Control] = [
        tick_row(say(named), one not in state.home.without, ignoring_value(do.toggle_absent, one))
        for one, named in ASKED_FOR.items()
    ]
    return group(section_title(say("In the room")), ft.Column(rows, spacing=0))
