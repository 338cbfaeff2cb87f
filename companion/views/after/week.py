"""The week beside the four before it: pain first, then pictures, each with its sentence; then what to ask."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.style.words import day_words
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.field import field
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.views.drawings.week_charts import (
    column_shapes,
    effort_shapes,
    line_shapes,
    picture,
    share_shapes,
    side_shapes,
)
from engine.base.periods import iso_week
from engine.base.phrases import number_of
from engine.base.units import format_load
from engine.coach import sentences as say
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport
from engine.coach.trend import (
    LoadTrend,
    PatternTrend,
    SidesTrend,
    given_up_most,
    load_trends,
    pattern_trends,
    sides_trends,
)
from engine.coach.withheld import PageChoice
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.words import joint_word
from engine.record.week import WeekReview

if TYPE_CHECKING:
    from companion.actions.after.week import Week
    from companion.actions.go import Go
    from companion.state.app import State
    from companion.state.week import WeekShown


NO_SESSION = "No session in this week."
NOTHING_YET = "No session in these five weeks."
HOW_TO_READ = "An outline is all that was planned or done; the filled part was done, or was hard."
WHO_DAYS = "World Health Organization 2020: 2 or more days a week that strengthen muscles"
ALL_LOGGED = "All activity of this week is logged"
WHY_ALL_LOGGED = "Other sport and work too: without it, how alike the days were is not defined."
NOTHING_GIVEN_UP = "Nothing was given up."
ALIKE = "No difference between the sides:"
NO_SAMENESS = "Sameness of the days: not defined, because"
PARTS = {
    "pain": "Pain",
    "loads": "Loads",
    "effort": "Effort",
    "given_up": "What was given up",
    "notes": "Notes",
}


@safe_component
def week_screen(state: State, do: Week, go: Go) -> ft.Control:
    shown = state.week.shown
    assert shown is not None
    page, (*_, review) = shown.page, shown.page.reviews
    own = tuple(one for one in page.sessions if iso_week(one.local_date) == state.week.name)
    return page_frame(
        [
            *([notice("note", state.said, announce=True)] if state.said else []),
            ft.Row(
                [
                    quiet_button("Week before", bound(do.step, -1), expand=True),
                    quiet_button("Week after", bound(do.step, 1), expand=True),
                ]
            ),
            *_pain(own, shown),
            columns(
                [*_figures(review, own), *_done(page), *_patterns(page)],
                [
                    *_sessions(own, go),
                    *_next(shown, page),
                    *_questions(shown, do),
                    *_given_up(own),
                    *_loads(page),
                    *_sides(page),
                    *(_activity(shown, review, do) if own else []),
                    *(_coach_page(state.week.choice, do) if page.sessions else []),
                ],
            ),
        ],
        wide=True,
        title=say.week(state.week.name) + f" {state.week.name[:4]}",
        actions=[primary_button("Next session", bound(go.setup), expand=True)],
        top_at=state.week.name,
    )


def _pain(own: Sequence[SessionReport], shown: WeekShown) -> list[ft.Control]:
    """What hurt in the week, and what is on hold at its end."""
    said = [sentence for session in own for sentence in say.pain(session)]
    held = [_held(hold) for hold in shown.after_pain]
    return [notice("caution", "\n".join([*said, *held]), title="Pain")] if said or held else []


def _held(hold: AfterPain) -> str:
    joint = joint_word(hold.joint, hold.side)
    now = "back at a part of its load" if hold.stage is Stage.returning else "out of the work"
    return f"{hold.name}: on hold since {day_words(hold.since)} for the {joint}, {now}."


def _figures(review: WeekReview, own: Sequence[SessionReport]) -> list[ft.Control]:
    if not own:
        return [words(NO_SESSION, size=Type.LEAD)]
    days = number_of(review.strength_days, "strength day")
    effort = [f"{one[0].upper()}{one[1:]} of 10." for one in say.effort(session.effort for session in own)]
    head = f"{number_of(review.sessions, 'session')}, {number_of(round(review.minutes), 'minute')}"
    rounds = f"{review.rounds_done} of {number_of(review.rounds_planned, 'round')} done"
    return [
        ft.Column(
            [
                words(head, size=Type.TITLE, strong=True),
                words(f"{rounds}, {days}. {' '.join(effort)}".strip(), size=Type.LEAD),
                words(f"{WHO_DAYS}.", size=Type.CAPTION, colour=Role.INK_SOFT),
            ],
            spacing=Space.XS,
        )
    ]


def _section(title: str, items: Sequence[ft.Control], *, detail: str | None = None) -> list[ft.Control]:
    """A section with what it lists; one that has nothing to list is not there."""
    return [group(section_title(title, detail=detail), *items)] if items else []


def _done(page: CoachPage) -> list[ft.Control]:
    """Rounds, minutes, session load and effort of the weeks."""
    if not page.sessions:
        return [words(NOTHING_YET, colour=Role.INK_SOFT)]
    weeks, reviews = page.weeks, page.reviews
    planned, done = [r.rounds_planned for r in reviews], [r.rounds_done for r in reviews]
    pairs = ", ".join(
        f"{of} of {whole}" if whole else "none" for of, whole in zip(done, planned, strict=True)
    )
    pictures = [
        picture(partial(column_shapes, weeks, planned, done), f"Rounds done of those planned: {pairs}.")
    ]
    for what, exact in (
        ("Minutes", [review.minutes for review in reviews]),
        ("Session load (effort × minutes)", [review.session_load for review in reviews]),
    ):
        figures = [round(one) for one in exact]
        if any(figures):
            pictures.append(
                picture(partial(column_shapes, weeks, figures, figures), say.by_week(what, figures))
            )
    efforts = _efforts(page)
    if any(efforts):
        listed = "; ".join(", ".join(f"{one:g}" for one in of_week) or "none" for of_week in efforts)
        said = f"Effort of each session by week, 0 to 10: {listed}."
        pictures.append(picture(partial(effort_shapes, weeks, efforts), said))
    return [group(section_title("Done against planned"), words(HOW_TO_READ, colour=Role.INK_SOFT), *pictures)]


def _efforts(page: CoachPage) -> list[list[float]]:
    """What was said of each session, by week."""
    by_week: dict[str, list[float]] = {week: [] for week in page.weeks}
    for session in page.sessions:
        if session.effort is not None:
            by_week[iso_week(session.local_date)].append(session.effort)
    return list(by_week.values())


def _patterns(page: CoachPage) -> list[ft.Control]:
    pictures = [_pattern(trend, page) for trend in pattern_trends(page.reviews)]
    return _section("By movement pattern", pictures, detail="sets, and hard sets")


def _pattern(trend: PatternTrend, page: CoachPage) -> ft.Control:
    """The sentence is of the week that is shown; the sets of the others stand behind it."""
    sets, hard = [week.sets for week in trend.by_week], [week.hard_sets for week in trend.by_week]
    this_week = trend.model_copy(update={"by_week": trend.by_week[-1:]})
    said = say.pattern_sentence(this_week, page.unit)
    if not sets[-1]:
        said = f"{said.partition(':')[0]}: no set this week."
    sentence = f"{said} {say.by_week('Sets', sets)}"
    return picture(partial(column_shapes, page.weeks, sets, hard), sentence)


def _loads(page: CoachPage) -> list[ft.Control]:
    trends = load_trends(page.sessions, page.weeks)
    drawn_first = sorted(trends, key=lambda trend: not _is_drawn(trend))
    pictures = [_load(trend, page) for trend in drawn_first]
    return _section("Loads by movement", pictures, detail="the heaviest of a week")


def _is_drawn(trend: LoadTrend) -> bool:
    """One week alone shows no way."""
    return sum(load_g is not None for load_g in trend.by_week_g) > 1


def _load(trend: LoadTrend, page: CoachPage) -> ft.Control:
    said = [format_load(load_g, page.unit) if load_g is not None else "" for load_g in trend.by_week_g]
    sentence = say.load_sentence(trend, page.weeks, page.unit)
    if not _is_drawn(trend):
        return words(sentence)
    return picture(partial(line_shapes, page.weeks, trend.by_week_g, said), sentence)


def _sessions(own: Sequence[SessionReport], go: Go) -> list[ft.Control]:
    rows: list[ft.Control] = []
    for session in own:
        day = day_words(session.local_date)
        opens = quiet_button("Open or correct", bound(go.record, session.record_id), name=f"Open {day}")
        note = [words(f"“{session.note}”", colour=Role.INK_SOFT)] if session.note else []
        more = [words(one, colour=Role.INK_SOFT) for one in say.session_more(session)]
        rows += [words(say.session_sentence(session)), *more, *note, ft.Row([opens])]
    return _section("Sessions", rows)


def _next(shown: WeekShown, page: CoachPage) -> list[ft.Control]:
    """The loads that are proposed for the next session, with their reasons."""
    lines: list[ft.Control] = []
    for one in shown.loads:
        load = "no load yet" if one.load_g is None else format_load(one.load_g, page.unit)
        lines.append(words(f"{one.name}: {load}", strong=True))
        lines.append(words(one.reason, colour=Role.INK_SOFT))
    if shown.lighter:
        lines.append(words(shown.lighter))
    return _section("For the next session", lines, detail="proposed")


def _questions(shown: WeekShown, do: Week) -> list[ft.Control]:
    rows: list[ft.Control] = []
    for number, (text, _) in enumerate(shown.questions):
        key = f"{shown.page.weeks[-1]}-{len(shown.questions)}-{number}"
        rows.append(field(f"Question {number + 1}", text, partial(_write, do, number), lines=2, key=key))
        drop = quiet_button(
            "Leave it out", bound(do.drop_question, number), name=f"Leave out question {number + 1}"
        )
        rows.append(ft.Row([drop]))
    detail = "proposed from the records; change them as you like"
    add = ft.Row([quiet_button("Add a question", bound(do.add_question))])
    return [group(section_title("Questions for the coach", detail=detail), *rows, add)]


async def _write(do: Week, number: int, text: str) -> None:
    await do.write_question(number, text)


def _given_up(own: Sequence[SessionReport]) -> list[ft.Control]:
    given = given_up_most(own)
    most = max((one.seconds for one in given), default=0)
    rows = [
        picture(partial(share_shapes, one.seconds, most), say.given_up_sentence(one))
        if one.seconds
        else words(say.given_up_sentence(one))
        for one in given
    ]
    if own and not rows:
        rows = [words(NOTHING_GIVEN_UP)]
    return _section("What the fit gave up most", rows, detail="a bar for the seconds that it gave back")


def _sides(page: CoachPage) -> list[ft.Control]:
    trends = sides_trends(page.sessions)
    alike = [trend.name for trend in trends if trend.left == trend.right]
    pictures = [_both_sides(trend, page) for trend in trends if trend.left != trend.right]
    if alike:
        pictures.append(words(f"{ALIKE} {', '.join(dict.fromkeys(alike))}.", colour=Role.INK_SOFT))
    return _section("Left and right", pictures, detail="repetitions of a set")


def _both_sides(trend: SidesTrend, page: CoachPage) -> ft.Control:
    left, right = trend.left.repetitions, trend.right.repetitions
    sentence = say.sides_sentence(trend, page.unit)
    if left is None or right is None:
        return words(sentence)
    return picture(partial(side_shapes, left, right), sentence)


def _activity(shown: WeekShown, review: WeekReview, do: Week) -> list[ft.Control]:
    """How alike the days were, only where all activity is logged."""
    tick = tick_row(ALL_LOGGED, shown.all_activity_logged, do.say_all_activity_logged, hint=WHY_ALL_LOGGED)
    said = next(iter(say.sameness(review)), None)
    lines = [words(f"{said[0].upper()}{said[1:]}.")] if said else []
    if shown.all_activity_logged and not said:
        why = "an effort was not said" if review.sessions_without_effort else "every day is the same"
        lines.append(words(f"{NO_SAMENESS} {why}.", colour=Role.INK_SOFT))
    return [group(section_title("All of the week"), tick, *lines)]


def _coach_page(choice: PageChoice, do: Week) -> list[ft.Control]:
    """What goes on the page is chosen here; the rest is not in the file at all."""
    ticks = [
        tick_row(name, getattr(choice, part), partial(do.choose_part, part)) for part, name in PARTS.items()
    ]
    save = ft.Row([quiet_button("Save the page", bound(do.save_page), tall=True, expand=True)])
    detail = "one file of these five weeks, for any browser or for paper"
    return [group(section_title("A page for your coach", detail=detail), *ticks, save)]
