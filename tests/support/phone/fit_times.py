"""How long fits take on the Python that runs this; the bench hands the text to the browser's Python."""

import json
from statistics import median
from time import perf_counter

from companion.samples import sample_plans
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.plan.plan import SessionPlan


def fit_times() -> str:
    """The median and the longest of the fits of every sample plan, in ms, as JSON."""
    plans = sample_plans()
    for plan in plans:
        taken_ms(plan, 25)
    taken = [taken_ms(plan, minutes) for plan in plans for minutes in range(15, 46, 5)]
    return json.dumps([median(taken), max(taken)])


def taken_ms(plan: SessionPlan, minutes: int) -> float:
    started = perf_counter()
    offer(plan, Asked(minutes=minutes, room=Room(kit=Kit.single)))
    return (perf_counter() - started) * 1_000
