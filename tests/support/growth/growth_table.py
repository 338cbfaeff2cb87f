"""Twelve invented people over twelve sessions, frozen in ``growth_table.txt``: what was told, why, and done.

How strong somebody is decides what is done: repetitions in all by Epley 1985 (as in the external checks), one
fewer each round, and one percent more each session. If a change of the engine changes a line, the commit
justifies it. Write the file again with:

    python3 build/dev.py renew growth_table
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta

from accounts import set_done, set_fields
from places import GOLDEN

from companion.words.words import ENGLISH
from engine.base.units import format_load
from engine.growth.free import FreeMovement, FreeProposal, propose_free
from engine.load.proposal import LoadedMovement, LoadProposal
from engine.load.propose import propose
from engine.load.rules import LoadRules
from engine.movements.movement import Kit, Movement, Side, Variant, harder_version, library, sides_of
from engine.movements.pain import Advice
from engine.movements.terms import movement_term
from engine.record.exposure import Exposure, LoadKey
from engine.record.reserve import MOST_LEFT, effort_of

TABLE = GOLDEN / "growth_table.txt"
SESSIONS = 12
FIRST = date(2026, 3, 2)
"""A Monday."""
GAINS_PERCENT = 1
"""What somebody gains from one session to the next. Our judgement for this table."""


@dataclass(frozen=True)
class Day:
    """What is not as usual on one day: days since the session before, and what went wrong.

    ``own_g`` is a weight that the person takes by choice, ``leave`` the coach's for the next weight.
    """

    days: int = 3
    pain: int = 0
    variant: bool = True
    full_range: bool = True
    rated: bool = True
    easy: int = 0
    inside: bool = False
    own_g: int | None = None
    leave: bool = False
    note: str = ""


@dataclass(frozen=True)
class Somebody:
    """``most_g`` is what can be lifted once; without a weight it is ``most_repetitions`` at the first tempo.
    ``days`` are those that are not as usual, by the number of the session."""

    about: str
    movement: str
    variant: str
    weights_g: Sequence[int] = ()
    most_g: int = 0
    most_repetitions: int = 0
    interval_s: int = 30
    tempo: str | None = "3-0-1-0"
    rounds: int = 3
    careful: bool = False
    days: Mapping[int, Day] = field(default_factory=dict)


KILOS = tuple(range(2_000, 25_000, 1_000))
DIAL = tuple(range(2_000, 25_000, 2_000))

PEOPLE = (
    Somebody(
        "Novice, one dumbbell of 8 kg",
        "goblet-squat",
        "single",
        (8_000,),
        most_g=17_000,
        interval_s=60,
        careful=True,
    ),
    Somebody(
        "Older, high blood pressure, dumbbells of 2, 3, 4 and 5 kg; tries 3 kg in session 6",
        "seated-press",
        "single",
        (2_000, 3_000, 4_000, 5_000),
        most_g=6_500,
        careful=True,
        days={6: Day(own_g=3_000), 11: Day(own_g=4_000)},
    ),
    Somebody(
        "Strong, a coarse rack of 10, 20 and 30 kg; knows 20 kg; the coach's leave in session 9",
        "bent-over-row",
        "single",
        (10_000, 20_000, 30_000),
        most_g=45_000,
        days={1: Day(own_g=20_000), 9: Day(leave=True), 10: Day(leave=True), 11: Day(leave=True)},
    ),
    Somebody(
        "A dial from 2 to 24 kg in steps of 2; knows 12 kg",
        "romanian-deadlift",
        "single",
        DIAL,
        most_g=30_000,
        days={1: Day(own_g=12_000)},
    ),
    Somebody(
        "A pair in steps of 2.5 kg, from 5 to 20; knows 7.5 kg; rates nothing in sessions 5 and 6",
        "floor-press",
        "pair",
        (5_000, 7_500, 10_000, 12_500, 15_000, 17_500, 20_000),
        most_g=17_000,
        interval_s=60,
        days={1: Day(own_g=7_500), 5: Day(rated=False), 6: Day(rated=False)},
    ),
    Somebody(
        "Whole kilograms; knows 8 kg; the knee at 4 in session 6, free of pain since",
        "goblet-squat",
        "single",
        KILOS,
        most_g=20_000,
        interval_s=60,
        days={1: Day(own_g=8_000), 6: Day(pain=4, note="the knee hurt, 4 of 10"), 7: Day(days=7)},
    ),
    Somebody(
        "Whole kilograms; knows 12 kg; away for 20 days, later for 35",
        "two-hand-row",
        "single",
        KILOS,
        most_g=26_000,
        days={1: Day(own_g=12_000), 5: Day(days=20), 9: Day(days=35)},
    ),
    Somebody(
        "One dumbbell of 10 kg; away for 20 days, later for 35",
        "two-hand-row",
        "single",
        (10_000,),
        most_g=26_000,
        days={4: Day(days=20), 8: Day(days=35)},
    ),
    Somebody(
        "A dial; knows 8 kg; feverish after session 5, then two easy sessions",
        "floor-press",
        "single",
        DIAL,
        most_g=16_000,
        days={1: Day(own_g=8_000), 6: Day(days=8, easy=1, note="back after a fever"), 7: Day(easy=2)},
    ),
    Somebody(
        "Whole kilograms; knows 7 kg; sleeps badly from session 5 to 9, and form slips in the last",
        "overhead-press",
        "single",
        KILOS,
        most_g=11_000,
        days={1: Day(own_g=7_000)} | {n: Day(note="tired", variant=n != 9) for n in range(5, 10)},
    ),
    Somebody(
        "Squats without a weight; short of the range in session 2",
        "squat",
        "bodyweight",
        most_repetitions=24,
        interval_s=60,
        days={2: Day(full_range=False, note="short of the range")},
    ),
    Somebody(
        "Sides change now within the interval (27.5 s), now beside it (30 s); 8 to 14 kg",
        "bent-over-row",
        "single",
        (8_000, 9_000, 10_000, 11_000, 12_000, 14_000),
        most_g=15_000,
        days={number: Day(inside=True) for number in (3, 6, 9)},
    ),
)
INSIDE_MS = 27_500
TIRED_PERCENT = 88
"""What is left of somebody's strength in bad sleep. Our judgement for this table."""


def table() -> str:
    """The whole table as text."""
    return "\n".join(line for somebody in PEOPLE for line in _lines(somebody)) + "\n"


def _lines(somebody: Somebody) -> Iterator[str]:
    movement = library()[somebody.movement]
    variant = next(one for one in movement.variants if one.id == somebody.variant)
    yield f"== {somebody.about}: {movement.name}, {somebody.interval_s} s, {somebody.rounds} rounds"
    past: tuple[Exposure, ...] = ()
    day = FIRST - timedelta(days=3)
    for number in range(1, SESSIONS + 1):
        today = somebody.days.get(number, Day())
        day += timedelta(days=today.days)
        told = _told(somebody, movement, variant, past, day, today)
        done = _done(somebody, variant, told, number, day)
        past = (*past, done)
        yield f"{number:>2} {day:%d %b}  {_told_words(told, somebody)}  |  {_done_words(done, today)}"
        yield f"           {ENGLISH.sentences(told.reason)}"
        if told.question:
            yield f"           ? {ENGLISH.say(told.question)}"
    yield ""


def _told(
    somebody: Somebody,
    movement: Movement,
    variant: Variant,
    past: tuple[Exposure, ...],
    day: date,
    today: Day,
) -> LoadProposal | FreeProposal:
    allowed = (movement.slug,) if today.leave else ()
    rules = LoadRules(careful=somebody.careful, easy_session=today.easy, allowed=allowed)
    interval_ms = INSIDE_MS if today.inside else 1_000 * somebody.interval_s
    harder = harder_version(variant, library())
    shared = {
        "key": LoadKey(
            movement=movement.slug,
            variant=variant.id,
            kit=variant.kit,
            interval_ms=interval_ms,
            tempo=somebody.tempo,
        ),
        "name": movement.name,
        "starts_with": movement.starts_with,
        "hardest": movement.hardest,
        "rounds": somebody.rounds,
        "harder": movement_term(harder[0]) if harder else None,
    }
    if variant.kit is Kit.none:
        return propose_free(FreeMovement(**shared), past, today=day, rules=rules)
    lifted = LoadedMovement(pattern=movement.pattern, **shared)
    return propose(lifted, past, somebody.weights_g, today=day, rules=rules)


def _done(
    somebody: Somebody, variant: Variant, told: LoadProposal | FreeProposal, number: int, day: date
) -> Exposure:
    """The session as told: up to the ceiling, or to the reserve aimed at."""
    today = somebody.days.get(number, Day())
    key = told.key.model_copy(update={"tempo": told.tempo})
    sides = (Side.left, Side.right) if sides_of(variant).value != "none" else (Side.both,)
    sets = tuple(
        set_done(**set_fields(key) | _set(somebody, told, number, round_) | {"round": round_, "side": side})
        for round_ in range(1, somebody.rounds + 1)
        for side in sides
    )
    if today.pain or not today.rated:
        sets = tuple(one.model_copy(update={"effort": None}) for one in sets)
    return Exposure(
        key=key,
        record_id=f"{day}",
        started_at=datetime.combine(day, time(18), UTC),
        local_date=day,
        sets=sets[: len(sides)] if today.pain else sets,
        rounds_planned=somebody.rounds,
        form_kept=today.variant,
        range_kept=today.full_range,
        pain=today.pain,
        advice=Advice.swap_and_leave_out if today.pain else Advice.go_on,
    )


def _set(
    somebody: Somebody, told: LoadProposal | FreeProposal, number: int, round_: int
) -> dict[str, object]:
    heavier = isinstance(told, LoadProposal) and round_ <= told.heavier_rounds
    load_g, goal = None, None
    if isinstance(told, LoadProposal):
        own_g = somebody.days.get(number, Day()).own_g
        load_g = own_g or (told.heavier_g if heavier else told.load_g)
        goal = told.heavier_goal if heavier else None
    key = told.key.model_copy(update={"tempo": told.tempo})
    ceiling = goal or key.ceiling or 0
    most = _most(somebody, told, number, load_g or 0) - (round_ - 1)
    repetitions = max(1, min(ceiling, most - told.reserve))
    left = max(0, min(MOST_LEFT, most - repetitions))
    return {"load_g": load_g, "repetitions": repetitions, "effort": effort_of(left)}


def _most(somebody: Somebody, told: LoadProposal | FreeProposal, number: int, load_g: int) -> int:
    """The repetitions that are possible. A slower tempo costs as many as it takes longer."""
    stronger = 100 + GAINS_PERCENT * (number - 1)
    if somebody.days.get(number, Day()).note == "tired":
        stronger = stronger * TIRED_PERCENT // 100
    if isinstance(told, FreeProposal):
        first, now = told.key.ceiling or 1, told.key.model_copy(update={"tempo": told.tempo}).ceiling or 1
        return somebody.most_repetitions * stronger * now // (100 * first)
    if not load_g:
        return 60
    return most_repetitions(somebody.most_g * stronger // 100, load_g)


def most_repetitions(most_g: int, load_g: int) -> int:
    """How often a load can be lifted by somebody who can lift ``most_g`` once: Epley 1985."""
    return max(0, 30 * (most_g - load_g) // load_g)


def _told_words(told: LoadProposal | FreeProposal, somebody: Somebody) -> str:
    if isinstance(told, FreeProposal):
        return f"{told.step}: {told.tempo}, leave {told.reserve}"
    loads = [
        told.heavier_g if number <= told.heavier_rounds else told.load_g
        for number in range(1, somebody.rounds + 1)
    ]
    said = " ".join(format_load(load_g).removesuffix(" kg") if load_g else "–" for load_g in loads)
    goal = f", goal {told.heavier_goal}" if told.heavier_goal else ""
    practice = format_load(told.practice_g) if told.practice_g else "no weight"
    return f"{told.step}: {said} kg at {told.tempo}{goal}, practice {practice}, leave {told.reserve}"


def _done_words(done: Exposure, today: Day) -> str:
    weaker = [min(one.repetitions or 0 for one in sets) for sets in done.rounds]
    last = done.last_round[-1].effort
    left = "not rated" if last is None else f"{10 - last:.0f}{' or more' if last == 5 else ''} left"
    note = f"; {today.note}" if today.note else ""
    own = f"took {format_load(today.own_g)}: " if today.own_g else ""
    variant = "" if today.variant else "; form slipped"
    return f"{own}{' '.join(map(str, weaker))} of {done.key.ceiling}, {left}{note}{variant}"


def main() -> int:
    TABLE.write_text(table(), "utf-8")
    return 0
