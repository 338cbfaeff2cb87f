"""Words of the screens: names of kinds and patterns, doses, and sentences that more than one screen uses."""

from __future__ import annotations

from datetime import date, datetime

from engine.movements.after_pain import AfterPain, Stage
from engine.movements.movement import Changing, Side
from engine.movements.pain import Advice
from engine.movements.words import joint_word
from engine.plan import words as plan_words
from engine.plan.plan import Dose
from engine.session.fitted import FittedItem, FittedSession
from engine.session.segment import Chosen

CAUTIONS = (
    "This is general training information, not medical advice.",
    "With a condition, an injury, a pregnancy or after a long break, have a health professional clear you.",
    "Joint pain is never pushed through.",
    "Local rules and the judgement of a qualified coach or clinician come first.",
)
URGENT = (
    "Stop and get help now: chest pain or pressure; pain spreading to jaw, neck, arm or back; fainting or "
    "severe dizziness; unusual breathlessness; a racing or irregular heartbeat; a cold sweat; a sudden "
    "severe headache; sudden weakness or numbness; trouble speaking or seeing; numbness of the saddle area; "
    "loss of bladder or bowel control; one calf swollen; a blow to the head; in pregnancy bleeding, loss of "
    "fluid or contractions. Call your local emergency number."
)
"""Up to speaking or seeing: pages of hospitals for the public. The saddle area, the calf, the head and
pregnancy: from memory."""
ROOM_CHECK = (
    "Room of about 2 × 2 m.",
    "Dry floor with grip.",
    "Children and pets out.",
    "Weights clear of head and feet.",
)
ROOM = "Room of about 2 × 2 m, dry floor with grip, children and pets out, weights clear of head and feet."

ADVICE = {
    Advice.go_on: "Muscle effort may burn. Go on if it feels right; stop when in doubt.",
    Advice.retry_unloaded: "Stop this movement. One try without weight and with less range: go on only at 0.",
    Advice.swap_and_hold: "Stop this movement for today. It stays out until it is free of pain.",
    Advice.end_session: "End the session here. If it does not settle, ask a health professional.",
    Advice.get_help: "End the session and get help now: call your local emergency number.",
}


def hold_words(hold: AfterPain) -> str:
    """What is on hold, since when, and what the way back asks next."""
    since = day_words(hold.since)
    joint = joint_word(hold.joint, hold.side)
    if hold.stage is Stage.returning:
        return f"{hold.name} comes back, at a part of its load. Is the {joint} free of pain today?"
    return (
        f"{hold.name}, since {since}. It stays out of the rounds until it was practised without a weight "
        f"and nothing hurt the next morning. How is the {joint} today?"
    )


def dose_words(dose: Dose | None) -> str:
    """A dose as a person says it: “8 a side”, “3–5”, “30 s”."""
    return "" if dose is None else plan_words.dose_words(dose)


def form_words(chosen: Chosen) -> str:
    """The form where it says more than the movement's name."""
    return "" if chosen.form_name.lower() == chosen.name.lower() else chosen.form_name


def change_words(chosen: Chosen | None, side: Side | None) -> str:
    """“Then change legs: right”; what changes is the hand, the leg, or the whole side."""
    what = {Changing.hand: "hands", Changing.leg: "legs"}
    changing = chosen.changes if chosen and chosen.changes else Changing.side
    return f"Then change {what.get(changing, 'sides')}: {side}"


def item_words(item: FittedItem | None) -> str:
    return dose_words(item.dose) if item else ""


def session_words(session: FittedSession) -> str:
    """“3 rounds, the warm-up twice, practice by the clock”."""
    rounds, warm_up = session.rounds(), session.warm_up_rounds()
    parts = [f"{rounds} round{'s' if rounds != 1 else ''}"]
    if warm_up:
        parts.append(f"warm-up {({1: 'once', 2: 'twice'}).get(warm_up, f'{warm_up} times')}")
    parts.append("with practice" if any(b.kind == "practice" for b in session.blocks) else "no practice")
    return ", ".join(parts)


def clock_time(moment: datetime) -> str:
    return f"{moment:%H:%M}"


def day_words(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
