"""Short pieces of text that more than one screen shows: amounts, sides, days and times."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from functools import reduce

from companion.words.lines import in_unit
from companion.words.saying import msgid, own, said, say, several, words_here
from engine.base.units import LoadUnit
from engine.movements.movement import Changing, Joint, Side
from engine.movements.terms import joint_term, side_term
from engine.plan.plan import Amount
from engine.plan.terms import amount_term
from engine.session.choices import Chosen
from engine.session.fitted import FittedItem, FittedSession

THEN_CHANGE = {
    Changing.hand: msgid("Then change hands: {side}"),
    Changing.leg: msgid("Then change legs: {side}"),
    Changing.side: msgid("Then change sides: {side}"),
}


def amount_words(amount: Amount | None) -> str:
    """An amount as a person says it, “8 a side”, “3–5”, “30 s”; empty where there is none."""
    return "" if amount is None else said(amount_term(amount))


def weight_words(load_g: int | None, dumbbells: int, unit: LoadUnit) -> str:
    """“6 kg”, “6 kg each”, “no weight”; empty where nothing was told or the movement takes no weight."""
    if load_g is None or not dumbbells:
        return ""
    if not load_g:
        return say("no weight")
    weight = in_unit(unit).load(load_g)
    return say("{weight} each", weight=weight) if dumbbells == 2 else weight


def change_words(chosen: Chosen | None, side: Side | None) -> str:
    """“Then change legs: right”. Hands change, or legs, or the whole side."""
    changing = chosen.changes if chosen and chosen.changes else Changing.side
    if side is None:
        return say("Then change sides")
    return say(THEN_CHANGE[changing], side=side_term(side))


def in_turn(name: str, turn: int | None) -> str:
    """“Row, no. 2”: a movement that comes several times in a round, by which time it is."""
    return own(name) if turn is None else say("{movement}, no. {turn}", movement=own(name), turn=turn)


def item_words(item: FittedItem | None) -> str:
    """The amount of an item; empty where there is no item or no amount."""
    return amount_words(item.amount) if item else ""


def session_words(session: FittedSession) -> str:
    """“3 rounds, 2 warm-up rounds and practice”."""
    practises = any(block.kind == "practice" for block in session.blocks)
    return rounds_and(session, say("practice") if practises else say("no practice"))


def rounds_and(session: FittedSession, practice: str) -> str:
    """“2 + 2 rounds, 1 warm-up round and practice by the clock”."""
    by_block, warm_up = tuple(session.rounds_by_block()), session.warm_up_rounds()
    numbers = " + ".join(map(str, by_block))
    parts = [several("{rounds} round", "{rounds} rounds", sum(by_block), rounds=numbers)]
    if warm_up:
        parts.append(several("{count} warm-up round", "{count} warm-up rounds", warm_up))
    return words_here().listed([*parts, practice])


def joint_words(joint: Joint, side: Side | None = None) -> str:
    """“left knee”, to stand uninflected: after a colon, or in a list."""
    return words_here().argument(joint_term((joint, side)))


def in_series(parts: Iterable[str]) -> str:
    """“left knee, pain 7 of 10; neck, pain 6 of 10”: parts that hold commas. Raises TypeError for none."""
    return reduce(lambda before, one: say("{before}; {one}", before=before, one=one), parts)


def clock_time(moment: datetime) -> str:
    """“18:05”, in the zone that the moment is given in."""
    return words_here().argument(moment.time())


def day_words(day: date) -> str:
    """“Monday 2 March”."""
    return words_here().argument(day)
