"""The fitted session: the strip to scale, what was given up for it, and other ways to spend the minutes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import flet as ft

from companion.style.strip import strip_of
from companion.style.words import session_words
from companion.views.controls.buttons import bound, folded, quiet_button
from companion.views.controls.parts import notice, section, words
from companion.views.controls.theme import Role, Type
from companion.views.drawings.strip import strip_key, time_strip
from companion.words.saying import said, say
from engine.base.units import format_duration
from engine.fit.offer import Offer
from engine.session.fitted import FittedSession
from engine.session.reason import ReasonGroup, grouped

if TYPE_CHECKING:
    from companion.actions.session.setup import Setup
    from companion.state.session import Fit


def nothing_fits(found: Offer) -> ft.Control:
    shortest = format_duration(found.shortest_ms)
    needed = say(
        "This plan needs at least {shortest}. Give it more minutes, or choose another plan.",
        shortest=shortest,
    )
    return notice("note", needed)


def fitted(session: FittedSession, found: Offer, fit: Fit, do: Setup) -> list[ft.Control]:
    shown = strip_of(session.segments)
    return [
        words(session_words(session), size=Type.LEAD, strong=True),
        time_strip(shown),
        strip_key(shown),
        *([notice("note", _below(session, found))] if session.below_minimum else []),
        *_changed(session, fit, do),
        *_alternatives(session, found, do),
        *_more_minutes(found),
    ]


def _below(session: FittedSession, found: Offer) -> str:
    more = found.a_round_more if session == found.session else None
    below = say("Fewer rounds than the coach's minimum; the plan permits it.")
    return f"{below}\n{said(more)}" if more else below


def _changed(session: FittedSession, fit: Fit, do: Setup) -> list[ft.Control]:
    """What was changed, by what it is about, each folded to one line until it is pressed."""
    return section(say("To fit, this changed"), [_group(one, fit, do) for one in grouped(session.reasons)])


def _group(of: ReasonGroup, fit: Fit, do: Setup) -> ft.Control:
    lines = [words(said(one.with_seconds)) for one in of.reasons]
    return folded(said(of.title), lines, fit.unfolded == of.about, bound(do.unfold, of.about))


def _alternatives(session: FittedSession, found: Offer, do: Setup) -> list[ft.Control]:
    others: list[tuple[str, FittedSession | None]] = [
        (said(a.label), a.session) for a in found.alternatives if a.session != session
    ]
    if found.session is not None and session != found.session:
        others.insert(0, (say("Back to the best fit"), None))
    buttons = (quiet_button(label, bound(do.pick, other), expand=True) for label, other in others)
    return section(say("Or"), [ft.Row([button]) for button in buttons])


def _more_minutes(found: Offer) -> list[ft.Control]:
    lines = [
        words(
            say("{minutes} min more: {gives}", minutes=more.minutes, gives=said(more.buys)),
            colour=Role.INK_SOFT,
        )
        for more in found.more_minutes
        if more.buys
    ]
    return section(say("With more time"), lines)
