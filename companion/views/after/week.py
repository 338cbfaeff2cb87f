"""A week beside the four before it: pain first, then its figures, sessions and questions."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import TYPE_CHECKING

import flet as ft

from companion.style.proposals import free_line, load_line
from companion.views.after.week_pictures import (
    done_pictures,
    given_up_pictures,
    load_pictures,
    pattern_pictures,
    side_pictures,
)
from companion.views.controls.buttons import bound, primary_button, quiet_button
from companion.views.controls.field import field
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.tick import tick_row
from companion.words.lines import in_unit, line_text
from companion.words.saying import all_said, msgid, said, say
from engine.base.periods import iso_week
from engine.coach import figures, pain_lines
from engine.coach.page import CoachPage
from engine.coach.session_report import SessionReport, counted, easy_movements
from engine.coach.withheld import PageChoice
from engine.record.week import WeekReview

if TYPE_CHECKING:
    from companion.actions.after.week import Week
    from companion.actions.go import Go
    from companion.state.app import State
    from companion.state.week import WeekShown


NO_SESSION = msgid("No session in this week.")
WHO_DAYS = msgid("World Health Organization 2020: 2 or more days a week that strengthen muscles.")
ALL_LOGGED = msgid("All activity of this week is logged")
WHY_ALL_LOGGED = msgid(
    "Other sport and work, too. Without it, the monotony of the week cannot be worked out."
)
PARTS = {
    "pain": msgid("Pain"),
    "loads": msgid("Weights"),
    "effort": msgid("Effort"),
    "given_up": msgid("Cuts to save time"),
    "notes": msgid("Notes"),
}


@safe_component
def week_screen(state: State, do: Week, go: Go) -> ft.Control:
    shown, handed_over = state.week.in_view, state.week.handed_over
    page, (*_, review) = shown.page, shown.page.reviews
    own = tuple(one for one in page.sessions if iso_week(one.local_date) == state.week.name)
    return page_frame(
        [
            *([notice("note", state.said, announce=True)] if state.said else []),
            ft.Row(
                [
                    quiet_button(say("Week before"), bound(do.step, -1), expand=True),
                    quiet_button(say("Week after"), bound(do.step, 1), expand=True),
                ]
            ),
            *_pain(own, shown),
            columns(
                [*_figures(review, own), *done_pictures(page), *pattern_pictures(page)],
                [
                    *_sessions(say("Sessions"), counted(own), go),
                    *_sessions(say("Easy movement"), easy_movements(own), go),
                    *_next(shown, page),
                    *_questions(shown, do),
                    *given_up_pictures(own),
                    *load_pictures(page),
                    *side_pictures(page),
                    *(_activity(shown, review, do) if review.sessions else []),
                    *(_coach_page(state.week.choice, do) if _has_something(page) else []),
                ],
            ),
        ],
        wide=True,
        title=said(figures.week(state.week.name)),
        actions=[primary_button(say("Next session"), bound(go.setup), expand=True)],
        top_at=state.week.name,
        said=notice("note", handed_over, announce=True) if handed_over else None,
    )


def _has_something(page: CoachPage) -> bool:
    return bool(page.sessions or page.pain_notes or page.after_pain)


def _pain(own: Sequence[SessionReport], shown: WeekShown) -> list[ft.Control]:
    """What hurt in the week, and the movements that are left out at its end."""
    hurt = [told for session in own for told in pain_lines.pain(session)]
    notes = [one for one in shown.page.pain_notes if iso_week(one.local_date) == shown.page.weeks[-1]]
    hurt += pain_lines.noted_pains(notes, own)
    hurt += [pain_lines.after_pain(one, shown.page.made_at.date()) for one in shown.after_pain]
    return [notice("caution", "\n".join(map(line_text, hurt)), title=say("Pain"))] if hurt else []


def _figures(review: WeekReview, own: Sequence[SessionReport]) -> list[ft.Control]:
    easy = figures.easy_movement(review.easy_movements, review.easy_minutes)
    if not review.sessions:
        return [words(say(NO_SESSION), size=Type.LEAD), *(words(said(one), size=Type.LEAD) for one in easy)]
    own = counted(own)
    head = figures.sessions_done(review.sessions, review.minutes)
    rounds = figures.rounds_done([review.rounds_done], [review.rounds_planned])
    effort = figures.effort(one.effort for one in own)
    more = (rounds, figures.strength_days(review), *effort, *figures.form_slips(own), *easy)
    return [
        ft.Column(
            [
                words(said(head), size=Type.TITLE, strong=True),
                words(all_said(more), size=Type.LEAD),
                words(say(WHO_DAYS), size=Type.CAPTION, colour=Role.INK_SOFT),
            ],
            spacing=Space.XS,
        )
    ]


def _sessions(title: str, own: Sequence[SessionReport], go: Go) -> list[ft.Control]:
    rows: list[ft.Control] = []
    for session in own:
        name = say("Open {day}", day=session.local_date)
        opens = quiet_button(say("Open or correct"), bound(go.record, session.record_id), name=name)
        note = [words(say("“{note}”", note=session.note), colour=Role.INK_SOFT)] if session.note else []
        more = [words(said(one), colour=Role.INK_SOFT) for one in figures.session_more(session)]
        rows += [words(line_text(figures.session_line(session))), *more, *note, ft.Row([opens])]
    return section(title, rows)


def _next(shown: WeekShown, page: CoachPage) -> list[ft.Control]:
    """What is proposed for the next session, with the reasons."""
    read = in_unit(page.unit).sentences
    proposed = [(load_line(one, page.unit), read(one.reason)) for one in shown.loads]
    proposed += [(free_line(one), read(one.reason)) for one in shown.free]
    lines: list[ft.Control] = []
    for line, reason in proposed:
        lines += [words(line, strong=True), words(reason, colour=Role.INK_SOFT)]
    if shown.lighter:
        lines.append(words(read(shown.lighter)))
    return section(say("For the next session"), lines, detail=say("proposed"))


def _questions(shown: WeekShown, do: Week) -> list[ft.Control]:
    rows: list[ft.Control] = []
    read = in_unit(shown.page.unit).argument
    for number, (asks, _) in enumerate(shown.questions):
        key = f"{shown.page.weeks[-1]}-{len(shown.questions)}-{number}"
        drop = bound(do.drop_question, number)
        text, write = read(asks) if asks else "", partial(do.write_question, number)
        rows += [
            field(say("Question {number}", number=number + 1), text, write, lines=2, key=key),
            ft.Row(
                [
                    quiet_button(
                        say("Leave it out"), drop, name=say("Leave out question {number}", number=number + 1)
                    )
                ]
            ),
        ]
    detail = say("proposed from your records; change them as you like")
    add = ft.Row([quiet_button(say("Add a question"), bound(do.add_question))])
    return [group(section_title(say("Questions for the coach"), detail=detail), *rows, add)]


def _activity(shown: WeekShown, review: WeekReview, do: Week) -> list[ft.Control]:
    """How alike the days were, which only a week with all activity logged can say."""
    why = say(WHY_ALL_LOGGED)
    tick = tick_row(say(ALL_LOGGED), shown.all_activity_logged, do.say_all_activity_logged, hint=why)
    lines = [words(said(one)) for one in figures.monotony(review)]
    if shown.all_activity_logged and not lines:
        none = say(
            "No monotony can be worked out: an effort is missing."
            if review.sessions_without_effort
            else "No monotony can be worked out: every day was the same."
        )
        lines.append(words(none, colour=Role.INK_SOFT))
    return [group(section_title(say("All of the week")), tick, *lines)]


def _coach_page(choice: PageChoice, do: Week) -> list[ft.Control]:
    """The choice of what goes on the page; the rest is not in the file at all."""
    ticks = [
        tick_row(say(name), getattr(choice, part), partial(do.choose_part, part))
        for part, name in PARTS.items()
    ]
    save = ft.Row([quiet_button(say("Save the page"), bound(do.save_page), tall=True, expand=True)])
    detail = say("one file of these five weeks, for any browser or for paper")
    return [group(section_title(say("A page for your coach"), detail=detail), *ticks, save)]
