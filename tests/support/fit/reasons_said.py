"""The reasons of a session and of a choice as they are read, and reasons as a session has them."""

from __future__ import annotations

from companion.words.words import english
from engine.base.message import Own, Seconds, listed, message
from engine.fit.choose import Choice
from engine.fit.reasons import Swap
from engine.movements.movement import Joint, Side
from engine.movements.terms import joint_term
from engine.session.fitted import FittedSession
from engine.session.reason import Reason


def reasons_said(session: FittedSession) -> list[str]:
    return [english(one.said) for one in session.reasons]


def swap_said(swap: Swap) -> str:
    return " ".join(english(one.told) for one in swap.said)


def swaps_said(choice: Choice) -> list[str]:
    return [swap_said(swap) for swap in choice.swaps]


def rest_cut(seconds: float) -> Reason:
    return Reason(message=message("rest", to=listed([Seconds(seconds=15)])), seconds=seconds)


def practice_cut(seconds: float) -> Reason:
    return Reason(message=message("practice"), seconds=seconds)


def hands_inside(seconds: float) -> Reason:
    whole, side = (listed([Seconds(seconds=length_s)]) for length_s in (60, 27.5))
    return Reason(message=message("hand_change", whole=whole, side=side), seconds=seconds)


def below_minimum(seconds: float) -> Reason:
    return Reason(message=message("below_minimum"), seconds=seconds)


def swapped_for_a_knee(replacement: str = "Lift", planned: str = "squat") -> Reason:
    why = message("spares", joints=listed([joint_term((Joint.knee, Side.left))]))
    names = {"replacement": Own(own=replacement), "planned": Own(own=planned)}
    return Reason(message=message("swapped", why=listed([why]), **names), seconds=0)
