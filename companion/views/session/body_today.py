"""What hurts today: joints left out after pain, other sore joints, and sore muscles."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.pain_words import after_pain_words
from companion.style.words import joint_words
from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.rating import rating
from companion.views.controls.theme import Role, Space, Type
from companion.views.drawings.figure import joint_points
from companion.words.saying import msgid, say
from engine.growth.illness import is_ill
from engine.movements.movement import Joint, JointPoint, Side
from engine.record.profile import ProfileFlag
from engine.today.care import VERY_SORE
from engine.today.cautions import NOTHING_GROWS_FROM
from engine.today.limits import NO_SESSION_FROM

if TYPE_CHECKING:
    from companion.actions.session.setup import Setup
    from companion.state.app import State


HOW_MUCH = msgid("How much does it hurt today?")
NOTE = msgid("Note this for your coach")
NOTED = msgid("Noted. It goes on the page for your coach.")
PRESSURE = msgid("Blood pressure today?")
SORE = msgid("Sore muscles?")
ILL = msgid("Fever, chest infection or vomiting?")
SORE_MUSCLES = (
    ("0", "0"),
    ("1", f"1–{VERY_SORE - 1}"),
    (str(VERY_SORE), f"{VERY_SORE}–{NOTHING_GROWS_FROM - 1}"),
    (str(NOTHING_GROWS_FROM), f"{NOTHING_GROWS_FROM} +"),
)

NOT_MEASURED = ""
_TOO_HIGH = "/".join(map(str, NO_SESSION_FROM))
_SAID_OF_PRESSURE = {None: NOT_MEASURED, False: "below", True: "high"}


def after_pain(state: State, do: Setup) -> list[ft.Control]:
    """The movements left out after joint pain, and how that joint is today."""
    today = do.today()
    return [
        group(
            section_title(say("Left out after pain"), detail=joint_words(one.joint, one.side)),
            words(after_pain_words(one), size=Type.LEAD),
            *(_see_clinician() if one.asks_for_clinician(today) else []),
            _ratings(one.joint, one.side, state, do),
        )
        for one in state.learned.after_pain
    ]


def _see_clinician() -> list[ft.Control]:
    asked = say("Left out twice, or for two weeks: have a doctor or a physiotherapist look at it.")
    return [notice("caution", asked)]


def blood_pressure(state: State, do: Setup) -> list[ft.Control]:
    """Today's blood pressure, asked of those alone who ticked that it is high."""
    profile = state.home.profile
    if profile is None or ProfileFlag.high_blood_pressure not in profile.flags:
        return []

    async def tell(value: str) -> None:
        await do.tell_pressure({one: high for high, one in _SAID_OF_PRESSURE.items()}[value])

    said = _SAID_OF_PRESSURE[state.body.pressure_high]
    choice = choice_row(_pressures(), said, tell, name=say(PRESSURE))
    return [group(section_title(say(PRESSURE), detail=say("either number counts")), choice)]


def _pressures() -> list[tuple[str, str]]:
    """The answers about blood pressure: one of the two numbers is enough."""
    return [
        (NOT_MEASURED, say("Not measured")),
        ("below", say("Below {limit}", limit=_TOO_HIGH)),
        ("high", say("{limit} or more", limit=_TOO_HIGH)),
    ]


def sore_joints(state: State, do: Setup) -> ft.Control:
    """The joints that hurt today; the number of the one that was tapped last, once it is told."""
    chosen = state.body.pointed_at
    rated = {(sore.joint, sore.side): sore.rating for sore in state.body.sore}
    rows: list[ft.Control] = [
        section_title(say("A joint that hurts today?"), detail=say("sore muscles: see below"))
    ]
    if chosen is not None and chosen != state.body.unrated:
        rows += [words(_asked(*chosen)), _ratings(*chosen, state, do)]
    return group(*rows, joint_points(chosen, do.point_at, said=rated))


def how_much(point: JointPoint, state: State, do: Setup) -> ft.Control:
    """Asks for the number of a joint that was tapped, where the button that starts would be."""
    asked = notice("caution", _asked(*point), title=say(HOW_MUCH), announce=True)
    return ft.Column([asked, _ratings(*point, state, do)], spacing=Space.S)


def _asked(joint: Joint, side: Side | None) -> str:
    return say("{joint}: 0 no pain, 10 the worst imaginable", joint=joint_words(joint, side))


def _ratings(joint: Joint, side: Side | None, state: State, do: Setup) -> ft.Control:
    """Today's number; none is chosen until one is told, here or in a note of pain."""
    told = {(sore.joint, sore.side): sore.rating for sore in state.body.sore}
    told |= dict.fromkeys(state.body.rated - told.keys(), 0)
    now = told.get((joint, side))
    said = {one.point: one.rating for one in state.body.said.pains} if state.body.said else {}
    stays = now is not None and said.get((joint, side), now) < now

    async def rate(number: int | None) -> None:
        await do.rate_sore(joint, side, number or 0)

    rows: list[ft.Control] = [
        rating(now, rate, name=say("Today: {joint}", joint=joint_words(joint, side)), what=say("pain")),
        *([words(_stays(now), colour=Role.CAUTION)] if now is not None and stays else []),
        *([] if state.read_only or not now else [_note_for_coach(joint, side, do)]),
    ]
    return ft.Column(rows, spacing=Space.S)


def _stays(rating: int) -> str:
    return say("It was {rating} earlier today. That counts until tomorrow.", rating=rating)


def _note_for_coach(joint: Joint, side: Side | None, do: Setup) -> ft.Control:
    """The way to note today's pain without a session."""
    if do.is_noted(joint, side):
        return words(say(NOTED), colour=Role.INK_SOFT)
    return ft.Row([quiet_button(say(NOTE), bound(do.note_joint, joint, side), expand=True)])


def sore_muscles(state: State, do: Setup) -> ft.Control:
    """Sore muscles mean fewer rounds, never other movements."""
    now = max((int(value) for value, _ in SORE_MUSCLES if int(value) <= state.body.sore_muscles), default=0)

    async def rate(value: str) -> None:
        await do.rate_sore_muscles(int(value))

    choice = choice_row(SORE_MUSCLES, str(now), rate, name=say(SORE))
    return group(section_title(say(SORE), detail=say("0 to 10: more means fewer rounds")), choice)


def illness(state: State, do: Setup) -> ft.Control:
    """Whether an illness leaves no session today; gone is told with the same row."""

    async def tell(value: str) -> None:
        await do.tell_illness(value == "yes")

    said = state.body.said
    now = "yes" if said is not None and is_ill(said.illness) else "no"
    choice = choice_row((("no", say("No")), ("yes", say("Yes"))), now, tell, name=say(ILL))
    return group(section_title(say(ILL)), choice)
