"""The figures of a page for the coach line by line, for the page itself and for the roster."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from engine.base.message import (
    MOST_LISTED,
    Argument,
    Count,
    Day,
    Message,
    Own,
    Said,
    Seconds,
    Weight,
    at_most,
    in_turn,
    listed,
    message,
)
from engine.base.periods import days_of
from engine.base.units import MS_PER_MIN, MS_PER_S
from engine.coach.line import Line, line
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted
from engine.coach.trend import LoadTrend, PatternTrend, SideMeans, SidesTrend
from engine.live.events import Ending
from engine.movements.movement import Kit, Side
from engine.movements.terms import kit_term, load_term, pattern_title, side_worked
from engine.record.amendment import AmendedField
from engine.record.week import WeekReview

LEFT_OUT = {
    "pain": message("page_without_pain"),
    "loads": message("page_without_loads"),
    "effort": message("page_without_effort"),
    "given_up": message("page_without_cuts"),
    "notes": message("page_without_notes"),
}
PAIN_BEFORE = message("older_page_tells_of_pain")
NO_SESSION = message("no_session")
NOT_COUNTED = message("easy_movement_not_counted")
NO_SET_THIS_WEEK = message("no_set_this_week")
DASHED_LOADS, DASHED_SETS = message("dashed_loads"), message("dashed_sets")
_CORRECTED = {
    AmendedField.effort: message("amended_effort"),
    AmendedField.note: message("amended_note"),
    AmendedField.set: message("amended_set"),
}


def week(written: str) -> Message:
    """“Week 10, from 2 March 2026”."""
    return message("week", week=Count(count=int(written[-2:])), monday=Day(day=days_of(written)[0]))


def span(weeks: Sequence[str]) -> Message:
    """“2 March 2026 to 29 March 2026”."""
    first, last = days_of(weeks[0])[0], days_of(weeks[-1])[-1]
    return message("from_to", first=Day(day=first), last=Day(day=last))


def several_names(names: Iterable[str]) -> Message:
    """``names`` of pages that carry one id."""
    return message("several_names", names=at_most(MOST_LISTED, [Own(own=name) for name in names]))


def left_out(page: CoachPage) -> Said:
    """What the person kept back, part by part."""
    return tuple(LEFT_OUT[name] for name in page.choice.left_out)


def week_line(review: WeekReview, sessions: Iterable[SessionReport]) -> Line:
    """The week in figures; easy movement stands apart, in a sentence of its own."""
    easy = easy_movement(review.easy_movements, review.easy_minutes)
    if not review.sessions:
        return line(week(review.iso_week), NO_SESSION, *easy)
    load = Count(count=round(review.session_load))
    return line(
        week(review.iso_week),
        sessions_done(review.sessions, review.minutes),
        rounds_done([review.rounds_done], [review.rounds_planned]),
        *effort(session.effort for session in counted(sessions)),
        *([message("session_load", load=load)] if review.session_load else []),
        *monotony(review),
        strength_days(review),
        *easy,
    )


def sessions_done(sessions: int, minutes: float) -> Message:
    return message("sessions_done", sessions=Count(count=sessions), minutes=Count(count=round(minutes)))


def strength_days(review: WeekReview) -> Message:
    return message("strength_days", days=Count(count=review.strength_days))


def rounds_done(done: Sequence[int], planned: Sequence[int]) -> Message:
    """“3 of 3 rounds.”, of two work blocks “2 + 1 of 2 + 2 rounds.”"""
    return message("rounds_done", done=_by_block(done), planned=_by_block(planned))


def _by_block(rounds: Sequence[int]) -> Argument:
    counts = [Count(count=of_block) for of_block in rounds[:MOST_LISTED]]
    return in_turn(counts) if len(counts) > 1 else next(iter(counts), Count(count=0))


def easy_movement(times: int, minutes: float) -> Said:
    """“Easy movement, 8 min.”, which is no session; nothing where there was none."""
    if not times:
        return ()
    return (message("easy_movement", times=Count(count=times), minutes=Count(count=round(minutes))),)


def effort(of: Iterable[float | None]) -> Said:
    """“Effort 5 to 7 of 10.”, and how often none was said; nothing where no effort at all was said."""
    efforts = tuple(of)
    said = sorted(value for value in efforts if value is not None)
    if not said:
        return ()
    least, most = Count(count=said[0]), Count(count=said[-1])
    one, several = message("effort", effort=least), message("effort_between", least=least, most=most)
    silent = Count(count=len(efforts) - len(said))
    gap = [message("effort_not_said", sessions=silent)] if silent.count else []
    return (one if least == most else several, *gap)


def form_slips(sessions: Iterable[SessionReport]) -> Said:
    """How often form slipped, as it was said on the run, and in which sets, as it was said in the log."""
    in_sets: dict[Argument, int] = {}
    on_the_run = 0
    for session in sessions:
        on_the_run += session.form_slipped
        for of_one in session.movements:
            in_sets[of_one.term] = in_sets.get(of_one.term, 0) + of_one.sets_with_form_slipped
    return (
        *([message("form_slipped", times=Count(count=on_the_run))] if on_the_run else []),
        *(
            message("form_slipped_in_sets", movement=movement, sets=Count(count=sets))
            for movement, sets in in_sets.items()
            if sets
        ),
    )


def session_loads(reviews: Iterable[WeekReview]) -> Line:
    """“Session load (effort × minutes) by week: 210, 180 (effort of 1 session not said), not known.”"""
    return _series(message("session_load_by_week"), map(_session_load, reviews))


def _session_load(review: WeekReview) -> Argument:
    load, silent = Count(count=round(review.session_load)), review.sessions_without_effort
    if silent and silent == review.sessions:
        return message("load_not_known")
    return message("load_in_part", load=load, sessions=Count(count=silent)) if silent else load


def minutes_by_week(reviews: Iterable[WeekReview]) -> Line:
    return _series(message("minutes_by_week"), (Count(count=round(one.minutes)) for one in reviews))


def sets_by_week(trend: PatternTrend) -> Message:
    return message("sets_by_week", sets=in_turn(Count(count=one.sets) for one in trend.by_week))


def _series(about: Message, values: Iterable[Argument]) -> Line:
    return line(about, message("series", values=in_turn(values)))


def monotony(review: WeekReview) -> Said:
    """Nothing where it is not defined."""
    if review.monotony is None or review.load_times_monotony is None:
        return ()
    load = Count(count=round(review.load_times_monotony))
    return (message("monotony", monotony=Count(count=review.monotony), load=load),)


def pattern_line(trend: PatternTrend) -> Line:
    """“Squat: 12 sets. 8 of 10 rated were hard. 3,240 kg lifted.”"""
    total = trend.total
    said = [message("sets", sets=Count(count=total.sets)) if total.sets else message("no_set_of_its_own")]
    if total.sets and total.rated_sets:
        hard, rated = Count(count=total.hard_sets), Count(count=total.rated_sets)
        said.append(message("hard_sets", hard=hard, rated=rated))
    if total.stopped_sets:
        said.append(message("stopped_sets", sets=Count(count=total.stopped_sets)))
    if total.indirect_sets:
        said.append(message("indirect_sets", sets=Count(count=total.indirect_sets)))
    if total.volume_g:
        said.append(message("lifted", volume=Weight(grams=total.volume_g)))
    if total.bodyweight_repetitions:
        repetitions = Count(count=total.bodyweight_repetitions)
        said.append(message("repetitions_without_weight", repetitions=repetitions))
    if total.held_s:
        said.append(message("held", held=Seconds(seconds=total.held_s)))
    return line(_pattern(trend), *said)


def pattern_of_week(trend: PatternTrend) -> Line:
    """The line of the last week alone."""
    last = trend.model_copy(update={"by_week": trend.by_week[-1:]})
    if last.total.sets or last.total.stopped_sets:
        return pattern_line(last)
    return line(_pattern(trend), NO_SET_THIS_WEEK)


def _pattern(trend: PatternTrend) -> Message:
    return pattern_title(trend.pattern) if trend.pattern else message("accessories")


def how_done_is_drawn(reviews: Iterable[WeekReview]) -> Said:
    """How to read the charts of rounds, minutes and session loads."""
    dashed = [DASHED_LOADS] if any(one.load_in_part for one in reviews) else []
    return (message("outline_and_filled_part"), *dashed)


def how_sets_are_drawn(trends: Iterable[PatternTrend]) -> Said:
    """How to read the charts of sets."""
    dashed = [DASHED_SETS] if any(one.total.unrated_sets for one in trends) else []
    return (message("filled_and_outlined_sets"), *dashed)


def load_line(trend: LoadTrend, weeks: Sequence[str]) -> Line:
    """“Floor press (On the floor): 6 kg in week 10, 7 kg in week 12. 30 s at 3-0-1-0.” Of a pair, “6 kg
    each”."""
    by_week = (
        message("load_in_week", load=load_term(load_g, trend.key.kit), week=Count(count=int(one[-2:])))
        for one, load_g in zip(weeks, trend.by_week_g, strict=True)
        if load_g is not None
    )
    interval = Seconds(seconds=trend.key.interval_ms / MS_PER_S)
    how = message("interval", interval=interval)
    if trend.key.tempo:
        how = message("interval_at_tempo", interval=interval, tempo=Own(own=trend.key.tempo))
    return line(trend.in_version, message("series", values=in_turn(by_week)), how)


def load_ranges(trends: Iterable[LoadTrend]) -> Iterator[Line]:
    """“Floor press: Load 6 kg to 8 kg.” For each movement and kit, the lightest and the heaviest of the
    heaviest loads of the weeks."""
    by_name: dict[tuple[Argument, Kit], list[int]] = {}
    for trend in trends:
        loads = by_name.setdefault((trend.term, trend.key.kit), [])
        loads.extend(load_g for load_g in trend.by_week_g if load_g is not None)
    for (movement, kit), loads in by_name.items():
        least, most = load_term(min(loads), kit), load_term(max(loads), kit)
        same, apart = message("load", load=most), message("load_between", least=least, most=most)
        yield line(movement, same if least == most else apart)


def sides_lines(trends: Iterable[SidesTrend]) -> Iterator[Line]:
    """A line for each variant in which the sides differ, and one for all in which they are alike."""
    known = tuple(trends)
    yield from (sides_line(one) for one in known if not one.alike)
    yield from (line(None, one) for one in alike(known))


def alike(trends: Iterable[SidesTrend]) -> Said:
    """“The left and right figures are the same for 2 movements: Floor press and Wide row.” Nothing for
    none."""
    movements = tuple(dict.fromkeys(one.term for one in trends if one.alike))
    if not movements:
        return ()
    several = Count(count=len(movements))
    return (message("sides_alike", several=several, movements=at_most(MOST_LISTED, movements)),)


def sides_line(trend: SidesTrend) -> Line:
    """“Floor press (On the floor): left side (10 repetitions, effort 7), right side (11 repetitions, effort
    6.5). Weaker in 1 of 3 sessions: left side.” The sides are those of the weight where it changes hands.

    The figures are means over the sets. Loads are named only where the sides differ.
    """
    loads_differ = trend.left.load_g != trend.right.load_g
    left, right = (
        message("side_figures", side=side_worked(side, trend.weight), figures=_side(means, loads_differ))
        for side, means in ((Side.left, trend.left), (Side.right, trend.right))
    )
    sessions = Count(count=trend.sessions)
    weaker = (
        message(
            "side_weaker", side=side_worked(side, trend.weight), times=Count(count=times), sessions=sessions
        )
        for side, times in trend.weaker.items()
    )
    return line(trend.in_version, message("sides_compared", left=left, right=right), *weaker)


def _side(means: SideMeans, with_load: bool) -> Argument:
    figures: list[Argument] = []
    if means.repetitions is not None:
        figures.append(message("repetitions", repetitions=Count(count=round(means.repetitions, 1))))
    if means.held_s is not None:
        figures.append(message("held_for", held=Seconds(seconds=round(means.held_s))))
    if means.load_g is not None and with_load:
        figures.append(load_term(round(means.load_g), Kit.single))
    if means.effort is not None:
        figures.append(message("effort_of_sets", effort=Count(count=round(means.effort, 1))))
    return listed(figures or [message("nothing_said")])


def session_line(session: SessionReport) -> Line:
    """“Friday 6 March: Harbour circuit, 24 min (25 asked for), one dumbbell. 3 of 3 rounds. Effort 6 of 10.”

    Of easy movement, “Friday 6 March: Easy movement, 8 min. Effort 2 of 10.”
    """
    day, minutes = Day(day=session.local_date), round(session.active_ms / MS_PER_MIN)
    told, slips = effort([session.effort]), form_slips([session])
    if session.easy_movement:
        return line(day, *easy_movement(1, minutes), *told, *slips, *_ended(session))
    done = message(
        "session_done",
        plan=Own(own=session.plan_name),
        minutes=Count(count=minutes),
        asked=Count(count=session.minutes),
        kit=kit_term(session.kit_used),
    )
    below = [message("below_minimum")] if session.below_minimum else []
    rounds = rounds_done(session.rounds_done, session.rounds_planned)
    return line(day, done, rounds, *told, *below, *slips, *_ended(session))


def _ended(session: SessionReport) -> Said:
    endings = {Ending.early: (message("ended_early"),), Ending.pain: (message("stopped_for_pain"),)}
    return endings.get(session.ending, ())


def session_more(session: SessionReport) -> Iterator[Message]:
    """What else there is to say about a session: re-fits on the run, and what was corrected."""
    for change in session.changes:
        yield from (message("on_the_run", said=one) for one in change.said)
    corrected = dict.fromkeys(one.field for one in session.amendments if one.field in _CORRECTED)
    if corrected:
        yield message("corrected_later", what=listed(_CORRECTED[one] for one in corrected))
