"""Minutes and kit: the fitted session as a strip to scale, and what was given up for it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import flet as ft

from companion.style.pain_words import after_pain_words
from companion.style.strip import strip_of
from companion.style.words import clock_time, day_words, session_words
from companion.views.controls.buttons import bound, button_row, primary_button, quiet_button
from companion.views.controls.choice import choice_list, choice_row
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.stepper import stepper
from companion.views.controls.theme import Role, Type
from companion.views.controls.tick import tick_row
from companion.views.drawings.figure import Point, joint_points
from companion.views.drawings.strip import strip_key, time_strip
from engine.base.units import format_duration
from engine.fit.offer import Offer
from engine.movements.movement import Equipment, Joint, Side
from engine.movements.words import joint_word
from engine.plan.adjustment import describe
from engine.session.fitted import FittedSession
from engine.today.care import VERY_SORE, Care

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.session.setup import Setup
    from companion.state.app import State


KITS = (("none", "None"), ("single", "One"), ("pair", "Two"))
ASKED_FOR = (Equipment.wall, Equipment.floor, Equipment.chair)
SORE_RATINGS = (("0", "0"), ("1", "1–2"), ("3", "3–5"), ("6", "6 +"))
"""Joint pain today: the lower figure of each band decides."""
SEE_CLINICIAN = "Held twice, or for two weeks: have a health professional look at it."
NOTHING_FELT = "This device gives no vibration here: tones and words say each switch."
SORE_MUSCLES = (("0", "0"), ("1", "1–3"), (str(VERY_SORE), f"{VERY_SORE} +"))


@safe_component
def setup_screen(state: State, do: Setup, go: Go) -> ft.Control:
    session, found = state.fit.session, state.fit.offer
    assert found is not None
    return page_frame(
        [
            *([notice("caution", state.problem)] if state.problem else []),
            *([notice("note", state.device.remark)] if state.device.remark else []),
            *_nothing_felt(state, go),
            *_follow_up(state, go),
            columns(
                [
                    section_title("How many minutes?", detail=_finish(session, do)),
                    stepper(state.fit.minutes, do.set_minutes, low=5, high=120),
                    *(_fitted(session, found, do) if session else [_nothing_fits(found)]),
                    *_care(state.fit.care),
                    *_asked_by_coach(state, do),
                ],
                [
                    _kit(state, do),
                    _plan_choice(state, do),
                    _room(state, do),
                    *_holds(state, do),
                    _sore(state, do),
                    _sore_muscles(state, do),
                ],
            ),
            _also(go),
        ],
        title=state.plans.chosen.name,
        actions=[_start(state, session, do)],
        wide=True,
    )


def _nothing_felt(state: State, go: Go) -> list[ft.Control]:
    if not state.device.nothing_felt:
        return []
    return [notice("note", NOTHING_FELT, actions=[quiet_button("Try the cues", bound(go.cues))])]


def _also(go: Go) -> ft.Control:
    """The other screens, at the end: the session comes first."""
    ways = {
        "The week": go.week,
        "Kit and loads": go.kit,
        "Plans": go.plans,
        "Cues": go.cues,
        "Settings": go.settings,
    }
    buttons = [quiet_button(name, bound(way)) for name, way in ways.items()]
    return group(section_title("Besides the session"), button_row(*buttons))


def _follow_up(state: State, go: Go) -> list[ft.Control]:
    """One line about the last session, answered by whoever wants to."""
    if state.afterwards.asked is None:
        return []
    label = f"How did {day_words(state.afterwards.asked.local_date)} sit?"
    return [ft.Row([quiet_button(label, bound(go.afterwards), expand=True)])]


def _asked_by_coach(state: State, do: Setup) -> list[ft.Control]:
    """What the coach asked that shapes this session."""
    known = state.plans.chosen.known_movements()
    return [
        notice("note", " ".join(describe(one, known)), title="Your coach asks") for one in do.asked_by_coach()
    ]


def _care(care: Care) -> list[ft.Control]:
    """What today's session takes care of, and the cautions that go with it."""
    return [
        *(notice("caution", text) for text in care.cautions),
        *(notice("note", text) for text in care.said),
    ]


def _start(state: State, session: FittedSession | None, do: Setup) -> ft.Control:
    label = f"Start {format_duration(session.total_ms)}" if session else "Nothing to start"
    ready = session is not None and not state.read_only
    return primary_button(label, bound(do.start), disabled=not ready, expand=True)


def _finish(session: FittedSession | None, do: Setup) -> str:
    if session is None:
        return ""
    return f"done by {clock_time(do.done_by(session))}"


def _nothing_fits(found: Offer) -> ft.Control:
    shortest = format_duration(found.shortest_ms)
    return notice(
        "note", f"This plan needs {shortest} at least. Give it more minutes, or choose another plan."
    )


def _fitted(session: FittedSession, found: Offer, do: Setup) -> list[ft.Control]:
    shown = strip_of(session.segments)
    return [
        words(session_words(session), size=Type.LEAD, strong=True),
        time_strip(shown),
        strip_key(shown),
        *([notice("note", _below(found))] if session.below_minimum else []),
        *_given_up(session),
        *_alternatives(session, found, do),
        *_more_minutes(found),
    ]


def _below(found: Offer) -> str:
    missing = f" One round more needs {format_duration(found.missing_ms)} more." if found.missing_ms else ""
    return f"Fewer rounds than the coach's minimum; the plan permits it.{missing}"


def _given_up(session: FittedSession) -> list[ft.Control]:
    if not session.reasons:
        return []
    lines: list[ft.Control] = [
        words(
            f"{reason.text} ({format_duration(round(reason.seconds * 1000))})"
            if reason.seconds
            else reason.text
        )
        for reason in session.reasons
    ]
    return [group(section_title("To fit, this changed"), *lines)]


def _alternatives(session: FittedSession, found: Offer, do: Setup) -> list[ft.Control]:
    others: list[tuple[str, FittedSession | None]] = [
        (a.label, a.session) for a in found.alternatives if a.session != session
    ]
    if found.session is not None and session != found.session:
        others.insert(0, ("Back to the best fit", None))
    if not others:
        return []
    rows: list[ft.Control] = [
        ft.Row([quiet_button(label, bound(do.pick, other), expand=True)]) for label, other in others
    ]
    return [group(section_title("Or"), *rows)]


def _more_minutes(found: Offer) -> list[ft.Control]:
    bought = [more for more in found.more_minutes if more.buys]
    if not bought:
        return []
    lines: list[ft.Control] = [
        words(f"{more.minutes} min more: {more.buys}", colour=Role.INK_SOFT) for more in bought
    ]
    return [group(section_title("More minutes would buy"), *lines)]


def _kit(state: State, do: Setup) -> ft.Control:
    name = "Dumbbells on hand"
    return group(section_title(name), choice_row(KITS, state.home.kit.value, do.choose_kit, name=name))


def _plan_choice(state: State, do: Setup) -> ft.Control:
    plans = [(plan.id, plan.name) for plan in state.plans.all]
    return group(
        section_title("Plan"), choice_list(plans, state.plans.chosen.id, do.choose_plan, name="Plan")
    )


def _room(state: State, do: Setup) -> ft.Control:
    rows: list[ft.Control] = [
        tick_row(f"A free {one}", one not in state.home.without, _toggle(one, do)) for one in ASKED_FOR
    ]
    return group(section_title("In the room"), ft.Column(rows, spacing=0))


def _toggle(one: Equipment, do: Setup) -> Callable[..., Any]:
    async def toggle(_: bool) -> None:
        await do.toggle_absent(one)

    return toggle


def _holds(state: State, do: Setup) -> list[ft.Control]:
    """What is on hold after joint pain, and how that joint is today."""
    today = do.today()
    return [
        group(
            section_title("On hold after pain", detail=joint_word(hold.joint, hold.side)),
            words(after_pain_words(hold), size=Type.LEAD),
            *([notice("caution", SEE_CLINICIAN)] if hold.asks_for_clinician(today) else []),
            _ratings(hold.joint, hold.side, state, do),
        )
        for hold in state.learned.after_pain
    ]


def _sore(state: State, do: Setup) -> ft.Control:
    """Joints that hurt today; each named joint point opens its own row of ratings."""
    nothing: Point | None = None
    chosen, set_chosen = ft.use_state(nothing)
    rated = {(sore.joint, sore.side): sore.rating for sore in state.body.sore}

    def choose(joint: Joint, side: Side | None) -> None:
        set_chosen((joint, side))

    rows: list[ft.Control] = [section_title("A joint that hurts today?", detail="sore muscles stand below")]
    if chosen is not None:
        rows += [words(f"{joint_word(*chosen).capitalize()}, 0 to 10"), _ratings(*chosen, state, do)]
    return group(*rows, joint_points(chosen, choose, said=rated))


def _ratings(joint: Joint, side: Side | None, state: State, do: Setup) -> ft.Control:
    """Today's number; none is chosen before it is said."""
    rated = {(sore.joint, sore.side): str(sore.rating) for sore in state.body.sore}
    said = "0" if (joint, side) in state.body.rated else None
    return choice_row(
        SORE_RATINGS,
        rated.get((joint, side), said),
        lambda value: do.rate_sore(joint, side, int(value)),
        name=f"{joint_word(joint, side).capitalize()} today",
    )


def _sore_muscles(state: State, do: Setup) -> ft.Control:
    """Sore muscles mean fewer rounds, never other movements."""
    now = max((int(value) for value, _ in SORE_MUSCLES if int(value) <= state.body.sore_muscles), default=0)
    choice = choice_row(
        SORE_MUSCLES, str(now), lambda value: do.rate_sore_muscles(int(value)), name="Sore muscles today"
    )
    return group(section_title("Sore muscles?", detail="0 to 10: fewer rounds"), choice)
