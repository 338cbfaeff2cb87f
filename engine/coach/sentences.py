"""The figures of a page for the coach as sentences, for the page itself and for the roster.

Names and notes come from outside: pass these sentences through ``printable_lines`` before showing them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date

from engine.base.message import Message, listed, message
from engine.base.periods import days_of
from engine.base.phrases import in_figures, number_of, rounds_of
from engine.base.units import MS_PER_MIN, LoadUnit, format_duration, format_load, ms
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted
from engine.coach.trend import LoadTrend, PatternTrend, SideMeans, SidesTrend
from engine.live.events import Ending
from engine.movements.movement import Held, Kit, Side
from engine.movements.words import KIT_WORDS, at_side
from engine.record.amendment import AmendedField
from engine.record.week import WeekReview, Worked

LEFT_OUT = {
    "pain": "Pain is left out of this page: that it says nothing does not mean that nothing hurt.",
    "loads": "Loads are left out of this page.",
    "effort": "Effort is left out of this page.",
    "given_up": "What was given up is left out of this page.",
    "notes": "Notes are left out of this page.",
}

NO_WEIGHT = "no weight"
PAIN_BEFORE = "An older page tells of pain."
NOT_COUNTED = "On days without a strength session because of pain. Not counted as sessions."
SWAPPED = "What was swapped"
HEAVIEST = "the heaviest of a week"
HOW_DONE_IS_DRAWN = "An outline is what was planned or done; the filled part was done."
HOW_SETS_ARE_DRAWN = "Filled: hard sets. Outlined: sets rated easier."
DASHED_LOADS, DASHED_SETS = "Dashed: an effort was not said.", "Dashed: sets that nobody rated."
ACCESSORIES = "Accessories, which count for no pattern"

_CORRECTED = {
    AmendedField.effort: message("amended_effort"),
    AmendedField.note: message("amended_note"),
    AmendedField.set: message("amended_set"),
}


def day(of: date) -> str:
    return f"{of:%A} {of.day} {of:%B}"


def week(written: str) -> str:
    """“Week 10 (2–8 March)”."""
    first, *_, last = days_of(written)
    start = str(first.day) if first.month == last.month else f"{first.day} {first:%B}"
    return f"Week {int(written[-2:])} ({start}–{last.day} {last:%B})"


def several_names(names: Sequence[str]) -> str:
    listed = ", ".join(names)
    return f"These pages carry one id and several names: {listed}. If they are two people, read them apart."


def span(weeks: Sequence[str]) -> str:
    """“2 March to 29 March 2026”."""
    first, last = days_of(weeks[0])[0], days_of(weeks[-1])[-1]
    year = f" {first.year}" if first.year != last.year else ""
    return f"{first.day} {first:%B}{year} to {last.day} {last:%B} {last.year}"


def week_sentence(review: WeekReview, sessions: Iterable[SessionReport]) -> str:
    """The week in figures; easy movement stands apart, in a sentence of its own."""
    apart = "".join(f" {one}" for one in easy_movement(review.easy_movements, review.easy_minutes))
    if not review.sessions:
        return f"{week(review.iso_week)}: no session.{apart}"
    done = [
        number_of(review.sessions, "session"),
        number_of(round(review.minutes), "minute"),
        f"{review.rounds_done} of {number_of(review.rounds_planned, 'round')}",
        *effort(session.effort for session in counted(sessions)),
        *([f"session load {round(review.session_load):,}"] if review.session_load else []),
        *monotony(review),
        number_of(review.strength_days, "strength day"),
    ]
    return f"{week(review.iso_week)}: {', '.join(done)}.{apart}"


def easy_movement(times: int, minutes: float) -> Iterator[str]:
    """“Easy movement, 8 min.”, which is no session; nothing where there was none."""
    if times:
        how_often = "" if times == 1 else f" {times} times"
        yield f"Easy movement{how_often}, {round(minutes)} min."


def effort(of: Iterable[float | None]) -> Iterator[str]:
    """“effort 5 to 7”, and “effort of 1 session not said”; nothing where no effort at all was said."""
    efforts = tuple(of)
    said = sorted(value for value in efforts if value is not None)
    if said:
        yield f"effort {said[0]:g}" + (f" to {said[-1]:g}" if said[-1] != said[0] else "")
        if len(said) < len(efforts):
            yield effort_not_said(len(efforts) - len(said))


def effort_not_said(sessions: int) -> str:
    return f"effort of {number_of(sessions, 'session')} not said"


def session_loads(reviews: Iterable[WeekReview]) -> str:
    """“Session load (effort × minutes) by week: 210, 180 (effort of 1 session not said), not known.”"""
    return f"Session load (effort × minutes) by week: {', '.join(map(_session_load, reviews))}."


def _session_load(review: WeekReview) -> str:
    silent = review.sessions_without_effort
    if silent and silent == review.sessions:
        return "not known"
    gap = f" ({effort_not_said(silent)})" if silent else ""
    return f"{in_figures(round(review.session_load))}{gap}"


def monotony(review: WeekReview) -> Iterator[str]:
    if review.monotony is not None and review.load_times_monotony is not None:
        yield f"monotony {review.monotony:.2f}, load × monotony {round(review.load_times_monotony):,}"


def pattern_sentence(trend: PatternTrend, unit: LoadUnit) -> str:
    """“Squat: 12 sets, 8 of 10 rated were hard; 1 more stopped before its end; trained besides in 3 sets;
    3240 kg lifted; 60 repetitions without a weight; 1:30 held.” Without a set: “Hinge: no set of its own;
    trained besides in 1 set.”"""
    total = trend.total
    hard = f", {total.hard_sets} of {total.rated_sets} rated were hard" if total.rated_sets else ""
    parts = [number_of(total.sets, "set") + hard if total.sets else "no set of its own"]
    if total.stopped_sets:
        parts.append(_stopped(total))
    if total.indirect_sets:
        parts.append(f"trained besides in {number_of(total.indirect_sets, 'set')}")
    if total.volume_g:
        parts.append(f"{format_load(total.volume_g, unit)} lifted")
    if total.bodyweight_repetitions:
        parts.append(f"{number_of(total.bodyweight_repetitions, 'repetition')} without a weight")
    if total.held_s:
        parts.append(f"{format_duration(ms(total.held_s))} held")
    name = trend.pattern.replace("_", " ").capitalize() if trend.pattern else ACCESSORIES
    return f"{name}: {'; '.join(parts)}."


def _stopped(total: Worked) -> str:
    more = " more" if total.sets else ""
    return f"{total.stopped_sets}{more} stopped before {'its' if total.stopped_sets == 1 else 'their'} end"


def how_done_is_drawn(reviews: Iterable[WeekReview]) -> str:
    """How to read the charts of rounds, minutes and session loads."""
    dashed = any(one.load_in_part for one in reviews)
    return f"{HOW_DONE_IS_DRAWN} {DASHED_LOADS}" if dashed else HOW_DONE_IS_DRAWN


def how_sets_are_drawn(trends: Iterable[PatternTrend]) -> str:
    """How to read the charts of sets."""
    dashed = any(one.total.unrated_sets for one in trends)
    return f"{HOW_SETS_ARE_DRAWN} {DASHED_SETS}" if dashed else HOW_SETS_ARE_DRAWN


def by_week(what: str, values: Iterable[float]) -> str:
    """“Sets by week: 3, 0, 4.”"""
    return f"{what} by week: {', '.join(map(in_figures, values))}."


def load_sentence(trend: LoadTrend, weeks: Sequence[str], unit: LoadUnit) -> str:
    """“Floor press: 6 kg in week 10, 7 kg in week 12 (lying on the floor, 30 s at 3-0-1-0).” Of a pair, “6 kg
    each”."""
    by_week = ", ".join(
        f"{lifted(load_g, trend, unit)} in week {int(one[-2:])}"
        for one, load_g in zip(weeks, trend.by_week_g, strict=True)
        if load_g is not None
    )
    tempo = f" at {trend.key.tempo}" if trend.key.tempo else ""
    return f"{trend.name}: {by_week} ({_variant(trend)}, {trend.key.interval_ms / 1_000:g} s{tempo})."


def loads_sentence(trends: Iterable[LoadTrend], unit: LoadUnit) -> Iterator[str]:
    """“Loads: Floor press 6 kg to 8 kg; Wide row 7 kg each.” One sentence, or none where nothing was loaded.

    For each movement and kit the lightest and the heaviest of the weeks' heaviest loads.
    """
    by_name: dict[tuple[str, str], list[int]] = {}
    for trend in trends:
        loads = by_name.setdefault((trend.name, _each(trend)), [])
        loads.extend(load_g for load_g in trend.by_week_g if load_g is not None)
    ranges = (
        f"{name} {' to '.join(dict.fromkeys(_load(of(loads), unit) for of in (min, max)))}"
        f"{each if max(loads) else ''}"
        for (name, each), loads in by_name.items()
    )
    if by_name:
        yield f"Loads: {'; '.join(ranges)}."


def lifted(load_g: int, trend: LoadTrend, unit: LoadUnit) -> str:
    """“8 kg”; of a pair, “8 kg each”; at 0, “no weight”."""
    return f"{_load(load_g, unit)}{_each(trend) if load_g else ''}"


def _load(load_g: int, unit: LoadUnit) -> str:
    return format_load(load_g, unit) if load_g else NO_WEIGHT


def _each(trend: LoadTrend) -> str:
    return " each" if trend.key.kit is Kit.pair else ""


def _variant(trend: LoadTrend | SidesTrend) -> str:
    return trend.variant_name[:1].lower() + trend.variant_name[1:]


def sides_sentences(trends: Iterable[SidesTrend], unit: LoadUnit) -> Iterator[str]:
    """A sentence for each variant in which the sides differ, and one for all in which they are alike."""
    known = tuple(trends)
    yield from (sides_sentence(one, unit) for one in known if not one.alike)
    yield from alike_sentence(known)


def alike_sentence(trends: Iterable[SidesTrend]) -> Iterator[str]:
    """“The left and right figures are the same for 2 movements: Floor press, Wide row.” Nothing for none."""
    alike = dict.fromkeys(one.name for one in trends if one.alike)
    if alike:
        how_many = number_of(len(alike), "movement")
        yield f"The left and right figures are the same for {how_many}: {', '.join(alike)}."


def sides_sentence(trend: SidesTrend, unit: LoadUnit) -> str:
    """“Floor press: left 10 repetitions, effort 7; right 11 repetitions, effort 6.5 (standing).” Where the
    sides are named for the weight, “Racked squat: weight at the left shoulder 6 repetitions; …”

    The figures are means over the sets. Loads are named only where the sides differ.
    """
    same_load = trend.left.load_g == trend.right.load_g
    left, right = (_side(means, None if same_load else unit) for means in (trend.left, trend.right))
    at_left, at_right = (at_side(side, trend.weight) for side in (Side.left, Side.right))
    named = f"weight {at_left}" if trend.weight else at_left
    said = f"{trend.name}: {named} {left}; {at_right} {right} ({_variant(trend)})."
    for side, sessions in trend.weaker.items():
        said += f" {went_worse(side, trend.weight)} in {sessions} of {number_of(trend.sessions, 'session')}."
    return said


def went_worse(side: Side, weight: Held | None) -> str:
    """“The left side was weaker”; with a weight that changes hands over legs that both work, that is no leg:
    “With the weight at the left shoulder it went worse”."""
    if weight is None:
        return f"The {side} side was weaker"
    return f"With the weight {at_side(side, weight)} it went worse"


def _side(means: SideMeans, unit: LoadUnit | None) -> str:
    parts = []
    if means.repetitions is not None:
        parts.append(number_of(round(means.repetitions, 1), "repetition"))
    if means.held_s is not None:
        parts.append(f"held {round(means.held_s)} s")
    if means.load_g is not None and unit is not None:
        parts.append(_load(round(means.load_g), unit))
    if means.effort is not None:
        parts.append(f"effort {round(means.effort, 1):g}")
    return ", ".join(parts) or "nothing said"


def session_sentence(session: SessionReport) -> str:
    """“Friday 6 March: Harbour circuit, 24 min (25 asked for), 3 of 3 rounds, one dumbbell, effort 6.”

    Of easy movement, “Friday 6 March: Easy movement, 8 min, effort 2.”
    """
    ending = {Ending.finished: "", Ending.early: "ended early", Ending.pain: "stopped for pain"}
    lost = {0: "", 1: "form slipped once"}
    minutes = round(session.active_ms / MS_PER_MIN)
    of_a_session = [
        f"{minutes} min ({session.minutes:g} asked for)",
        f"{' + '.join(map(str, session.rounds_done))} of {rounds_of(session.rounds_planned)}",
        KIT_WORDS[session.kit_used],
    ]
    parts = [
        session.plan_name,
        *([f"{minutes} min"] if session.easy_movement else of_a_session),
        *effort([session.effort]),
        "below the coach's minimum of rounds" if session.below_minimum else "",
        lost.get(session.form_slipped, f"form slipped {session.form_slipped} times"),
        ending[session.ending],
    ]
    return f"{day(session.local_date)}: {', '.join(filter(None, parts))}."


def session_more(session: SessionReport) -> Iterator[Message]:
    """What else there is to say about a session: re-fits on the run, and what was corrected."""
    for change in session.changes:
        yield from (message("on_the_run", said=one) for one in change.said)
    corrected = dict.fromkeys(one.field for one in session.amendments if one.field in _CORRECTED)
    if corrected:
        yield message("corrected_later", what=listed(_CORRECTED[one] for one in corrected))


def left_out(page: CoachPage) -> tuple[str, ...]:
    """A sentence for each part that the person kept back."""
    return tuple(LEFT_OUT[name] for name in page.choice.left_out)
