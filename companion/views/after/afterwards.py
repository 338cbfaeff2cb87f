"""After a session is over: its effort once more, and how the next morning felt. Nobody has to answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.state.required import required
from companion.style.words import joint_words
from companion.views.after.log import EFFORT_SCALE
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.frame import page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.rating import rating
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role
from companion.views.drawings.figure import Point, joint_points
from companion.words.saying import msgid, own, say
from engine.movements.movement import Joint, Side

if TYPE_CHECKING:
    from companion.actions.after.afterwards import Afterwards
    from companion.actions.go import Go
    from companion.state.app import State
    from companion.state.session import LateAnswers
    from engine.record.follow_up import FollowUp


SORENESS = msgid(
    "Sore muscles feel dull and spread out, when you move or touch them. It is normal for a few days."
)
JOINTS = msgid(
    "Joint pain is at one point, or it is sharp, comes with swelling, or is there at night. At 3 or more, or "
    "more than before the session, what loads the joint is left out. At 1 or 2, your weights do not go up."
)
LONGER = msgid(
    "If the pain lasts longer than a week, or wakes you at night, have a health professional look at it."
)
ZERO_TO_TEN = msgid("0 to 10")


_NOTHING: Point | None = None


@dataclass(frozen=True)
class _Another:
    """The joint that the person picked to say something about."""

    chosen: Point | None
    set_chosen: Callable[[Point | None], object]

    def choose(self, joint: Joint, side: Side | None) -> None:
        self.set_chosen((joint, side))


@safe_component
def afterwards_screen(state: State, do: Afterwards, go: Go) -> ft.Control:
    asked = required(state.afterwards.asked, "Nothing is asked about a session.")
    answers = state.afterwards.answers
    chosen, set_chosen = ft.use_state(_NOTHING)
    another = _Another(chosen, set_chosen)
    return page_frame(
        [
            words(say("{plan}, {day}", plan=own(asked.plan_name), day=asked.local_date)),
            *(_joints(asked, answers, do, another) if asked.asks_joints else []),
            *([_soreness(answers, do)] if asked.asks_soreness else []),
            *([_effort(answers, do)] if asked.asks_effort else []),
        ],
        title=say("After the easy movement" if asked.easy_movement else "After the session"),
        actions=[
            quiet_button(say("Not now"), bound(go.setup), tall=True, expand=True),
            primary_button(say("Save"), bound(do.save), expand=True),
        ],
    )


def _effort(answers: LateAnswers, do: Afterwards) -> ft.Control:
    return group(
        section_title(say("How hard was it, looking back?"), detail=say(EFFORT_SCALE)),
        rating(answers.effort, do.say_effort, name=say("Effort"), what=say("effort")),
    )


def _soreness(answers: LateAnswers, do: Afterwards) -> ft.Control:
    return group(
        section_title(say("Sore muscles this morning?"), detail=say(ZERO_TO_TEN)),
        rating(answers.soreness, do.say_soreness, name=say("Sore muscles"), what=say("sore muscles")),
        words(say(SORENESS), colour=Role.INK_SOFT),
    )


def _joints(asked: FollowUp, answers: LateAnswers, do: Afterwards, another: _Another) -> list[ft.Control]:
    """A row for each joint that is asked about, then every other joint."""
    chosen = another.chosen
    more = [chosen] if chosen is not None and chosen not in asked.joints else []
    other = section_title(
        say("Any other joint worse this morning?" if asked.joints else "Any joint worse this morning?")
    )
    return [
        *(_joint(point, answers, do) for point in asked.joints),
        group(
            other,
            *(_joint(point, answers, do) for point in more),
            joint_points(chosen, another.choose, said={p: r for p, r in answers.pains.items() if r}),
        ),
        words(say(JOINTS), colour=Role.INK_SOFT),
        *([notice("caution", say(LONGER))] if any(answers.pains.values()) else []),
    ]


def _joint(point: Point, answers: LateAnswers, do: Afterwards) -> ft.Control:
    name, on_rate = joint_words(*point), partial(do.say_morning_pain, *point)
    return group(
        section_title(say("This morning: {joint}", joint=name), detail=say(ZERO_TO_TEN)),
        rating(answers.pains.get(point), on_rate, name=name, what=say("{joint}, pain", joint=name)),
    )
