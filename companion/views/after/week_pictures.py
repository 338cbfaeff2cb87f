"""The weeks in pictures, each with its sentence."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import partial

import flet as ft

from companion.views.controls.parts import group, section, section_title, words
from companion.views.controls.theme import Role
from companion.views.drawings.week_charts import (
    column_shapes,
    effort_shapes,
    line_shapes,
    picture,
    share_shapes,
    side_shapes,
)
from companion.words.lines import in_unit, line_text
from companion.words.saying import all_said, msgid, said, say
from engine.base.message import Count, Listed, Own, in_turn
from engine.base.periods import iso_week
from engine.base.units import LoadUnit
from engine.coach import figures
from engine.coach.line import line
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted
from engine.coach.trend import (
    LoadTrend,
    PatternTrend,
    SidesTrend,
    given_up_most,
    load_trends,
    pattern_trends,
    sides_trends,
    swapped_most,
)
from engine.movements.terms import load_term

NOTHING_YET = msgid("No session in these five weeks.")
NOTHING_CUT = msgid("Nothing was cut.")


def done_pictures(page: CoachPage) -> list[ft.Control]:
    """Rounds, minutes, session load and effort, week by week."""
    if not counted(page.sessions):
        return [words(say(NOTHING_YET), colour=Role.INK_SOFT)]
    weeks, reviews = page.weeks, page.reviews
    planned, done = [r.rounds_planned for r in reviews], [r.rounds_done for r in reviews]
    pairs = _row(
        say("{done} of {planned}", done=part, planned=whole) if whole else say("none")
        for part, whole in zip(done, planned, strict=True)
    )
    sentence = say("Rounds done of those planned: {rounds:row}.", rounds=pairs)
    rounds = picture(partial(column_shapes, weeks, planned, done), sentence)
    return [
        group(
            section_title(say("Done against planned")),
            words(all_said(figures.how_done_is_drawn(reviews)), colour=Role.INK_SOFT),
            rounds,
            *_minutes(page),
            *_session_loads(page),
            *_effort_picture(page),
        )
    ]


def _minutes(page: CoachPage) -> list[ft.Control]:
    """A column for each week; nothing where every week has none."""
    minutes = [round(review.minutes) for review in page.reviews]
    drawn = partial(column_shapes, page.weeks, minutes, minutes)
    return [picture(drawn, line_text(figures.minutes_by_week(page.reviews)))] if any(minutes) else []


def _session_loads(page: CoachPage) -> list[ft.Control]:
    """A column for each week, dashed where an effort is missing from it; nothing where none was said."""
    loads = [round(review.session_load) for review in page.reviews]
    in_part = [round(review.load_in_part) for review in page.reviews]
    whole = [load - part for load, part in zip(loads, in_part, strict=True)]
    drawn = partial(column_shapes, page.weeks, loads, whole, in_part)
    return [picture(drawn, line_text(figures.session_loads(page.reviews)))] if any(loads) else []


def _effort_picture(page: CoachPage) -> list[ft.Control]:
    efforts = _efforts(page)
    if not any(efforts):
        return []
    of_weeks = _row(map(_of_week, efforts))
    sentence = say("Effort of each session by week, 0 to 10: {efforts:row}.", efforts=of_weeks)
    return [picture(partial(effort_shapes, page.weeks, efforts), sentence)]


def _of_week(efforts: Sequence[float]) -> str:
    """“6”; those of several sessions in brackets."""
    if not efforts:
        return say("none")
    row = in_turn(Count(count=effort) for effort in efforts)
    return say("({efforts:row})" if len(efforts) > 1 else "{efforts:row}", efforts=row)


def _efforts(page: CoachPage) -> list[list[float]]:
    """The efforts of the sessions of each week; without those for which none was said."""
    by_week: dict[str, list[float]] = {week: [] for week in page.weeks}
    for session in counted(page.sessions):
        if session.effort is not None:
            by_week[iso_week(session.local_date)].append(session.effort)
    return list(by_week.values())


def _row(figures_said: Iterable[str]) -> Listed:
    return in_turn(Own(own=one) for one in figures_said)


def pattern_pictures(page: CoachPage) -> list[ft.Control]:
    trends = pattern_trends(page.reviews)
    pictures = [_pattern(trend, page) for trend in trends]
    key = [words(all_said(figures.how_sets_are_drawn(trends)), colour=Role.INK_SOFT)] if pictures else []
    return section(say("By movement pattern"), [*key, *pictures], detail=say("sets, and hard sets"))


def _pattern(trend: PatternTrend, page: CoachPage) -> ft.Control:
    """The sentence tells of the week that is shown, and then gives the sets of every week."""
    sets = [week.sets for week in trend.by_week]
    hard, unrated = ([getattr(week, of) for week in trend.by_week] for of in ("hard_sets", "unrated_sets"))
    told = figures.pattern_of_week(trend)
    sentence = line_text(line(told.about, *told.said, figures.sets_by_week(trend)), in_unit(page.unit))
    return picture(partial(column_shapes, page.weeks, sets, hard, unrated), sentence)


def load_pictures(page: CoachPage) -> list[ft.Control]:
    trends = load_trends(page.sessions, page.weeks)
    drawn_first = sorted(trends, key=lambda trend: not _has_trend(trend))
    pictures = [_load(trend, page) for trend in drawn_first]
    return section(say("Weights by movement"), pictures, detail=say("the heaviest of each week"))


def _has_trend(trend: LoadTrend) -> bool:
    """Whether there is a trend to draw: a load in one week alone shows none."""
    return sum(load_g is not None for load_g in trend.by_week_g) > 1


def _load(trend: LoadTrend, page: CoachPage) -> ft.Control:
    above = [_above(load_g, trend, page.unit) for load_g in trend.by_week_g]
    sentence = line_text(figures.load_line(trend, page.weeks), in_unit(page.unit))
    if not _has_trend(trend):
        return words(sentence)
    return picture(partial(line_shapes, page.weeks, trend.by_week_g, above), sentence)


def _above(load_g: int | None, trend: LoadTrend, unit: LoadUnit) -> str:
    """What stands over a dot, short enough for its column."""
    return (
        in_unit(unit).argument(load_term(load_g, trend.key.kit)) if load_g else "" if load_g is None else "0"
    )


def given_up_pictures(own: Sequence[SessionReport]) -> list[ft.Control]:
    own = counted(own)
    given = given_up_most(own)
    most = max((one.seconds for one in given), default=0)
    rows = [
        picture(partial(share_shapes, one.seconds, most), line_text(one.line))
        if one.seconds
        else words(line_text(one.line))
        for one in given
    ]
    if own and not rows:
        rows = [words(say(NOTHING_CUT))]
    swapped = [words(line_text(one.line)) for one in swapped_most(own)]
    return [
        *section(say("Cut to save time"), rows, detail=say("a bar for the time saved")),
        *section(say("Swapped or left out"), swapped),
    ]


def side_pictures(page: CoachPage) -> list[ft.Control]:
    trends = sides_trends(page.sessions)
    pictures = [_both_sides(trend, page) for trend in trends if not trend.alike]
    pictures += [words(said(one), colour=Role.INK_SOFT) for one in figures.alike(trends)]
    return section(say("Left and right"), pictures, detail=say("repetitions of a set"))


def _both_sides(trend: SidesTrend, page: CoachPage) -> ft.Control:
    left, right = trend.left.repetitions, trend.right.repetitions
    sentence = line_text(figures.sides_line(trend), in_unit(page.unit))
    if left is None or right is None:
        return words(sentence)
    return picture(partial(side_shapes, left, right), sentence)
