"""Short pieces of text that more than one screen shows: amounts, sides, days and times."""

from __future__ import annotations

from datetime import date, datetime

from companion.words.saying import words_here
from engine.base.phrases import ordinal, rounds_of
from engine.base.units import LoadUnit, format_load
from engine.movements.movement import Changing, Joint, Side
from engine.movements.terms import joint_term
from engine.plan import words as plan_words
from engine.plan.plan import Amount
from engine.session.choices import Chosen
from engine.session.fitted import FittedItem, FittedSession


def amount_words(amount: Amount | None) -> str:
    """An amount as a person says it, “8 a side”, “3–5”, “30 s”; empty where there is none."""
    return "" if amount is None else plan_words.amount_words(amount)


def weight_words(load_g: int | None, dumbbells: int, unit: LoadUnit) -> str:
    """“6 kg”, “6 kg each”, “no weight”; empty where nothing was told or the movement takes no weight."""
    if load_g is None or not dumbbells:
        return ""
    each = " each" if dumbbells == 2 else ""
    return f"{format_load(load_g, unit)}{each}" if load_g else "no weight"


def change_words(chosen: Chosen | None, side: Side | None) -> str:
    """“Then change legs: right”. Hands change, or legs, or the whole side."""
    what = {Changing.hand: "hands", Changing.leg: "legs"}
    changing = chosen.changes if chosen and chosen.changes else Changing.side
    return f"Then change {what.get(changing, 'sides')}: {side}"


def in_turn(name: str, turn: int | None) -> str:
    """“Row, second time”: a movement that comes several times in a round, by which time it is."""
    return name if turn is None else f"{name}, {ordinal(turn)} time"


def item_words(item: FittedItem | None) -> str:
    """The amount of an item; empty where there is no item or no amount."""
    return amount_words(item.amount) if item else ""


def session_words(session: FittedSession) -> str:
    """“3 rounds, warm-up twice, with practice”."""
    warm_up = session.warm_up_rounds()
    parts = [rounds_of(session.rounds_by_block())]
    if warm_up:
        parts.append(f"warm-up {({1: 'once', 2: 'twice'}).get(warm_up, f'{warm_up} times')}")
    parts.append("with practice" if any(b.kind == "practice" for b in session.blocks) else "no practice")
    return ", ".join(parts)


def joint_words(joint: Joint, side: Side | None = None) -> str:
    """“left knee”, to stand uninflected: after a colon, or in a list."""
    return words_here().argument(joint_term((joint, side)))


def clock_time(moment: datetime) -> str:
    """“18:05”, in the zone that the moment is given in."""
    return words_here().argument(moment.time())


def day_words(day: date) -> str:
    """“Monday 2 March”."""
    return words_here().argument(day)
