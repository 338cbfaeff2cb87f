"""Fever, a chest infection or vomiting: no session until a day after, and two easy ones then."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from pydantic import AwareDatetime

from engine.base.message import Clock, Count, Day, Message, message
from engine.base.model import Model
from engine.load.rules import EASY_EFFORT

CLEAR_FOR = timedelta(hours=24)
EASY_SESSIONS = 2
"""No session until 24 hours clear, then two easy ones. † Our judgement, no source."""
ILL = message("ill_no_session", hours=Count(count=CLEAR_FOR / timedelta(hours=1)))


class Illness(Model):
    """When somebody said to be ill, and when it was said to be gone; both carry the local offset."""

    said_at: AwareDatetime
    gone_at: AwareDatetime | None = None


def with_illness(known: Illness | None, ill: bool, now: datetime) -> Illness | None:
    """What is known after the answer to “Fever, chest infection, vomiting?”."""
    if ill:
        return known if known is not None and known.gone_at is None else Illness(said_at=now)
    return known if known is None or known.gone_at else known.model_copy(update={"gone_at": now})


def is_ill(known: Illness | None) -> bool:
    """Whether it was said and has not been said to be gone."""
    return known is not None and known.gone_at is None


def why_no_session_yet(known: Illness | None, now: datetime) -> Message | None:
    """Why there is no session; None where there may be one. ``now`` has the local offset."""
    if known is None:
        return None
    if known.gone_at is None:
        return ILL
    begins = known.gone_at + CLEAR_FOR
    if now >= begins:
        return None
    again = begins.astimezone(now.tzinfo)
    return message(
        "no_session_before",
        day=Day(day=again.date()),
        time=Clock(clock=again.time()),
        hours=Count(count=CLEAR_FOR / timedelta(hours=1)),
    )


def easy_session(known: Illness | None, started: Iterable[datetime], now: datetime) -> int:
    """Which of the easy sessions today's would be, 1 or 2; 0 where there is none.

    ``started`` are the starts of the sessions that were saved.
    """
    if known is None or known.gone_at is None or now < known.gone_at + CLEAR_FOR:
        return 0
    since = sum(known.gone_at < at for at in started)
    return since + 1 if since < EASY_SESSIONS else 0


def still_known(known: Illness | None, started: Iterable[datetime], now: datetime) -> Illness | None:
    """What is known, without an illness that is over."""
    waits = why_no_session_yet(known, now) is not None
    return known if waits or easy_session(known, started, now) else None


def easy_message(session: int) -> Message:
    """What an easy session is."""
    return message(
        "easy_session_after_illness",
        session=Count(count=session),
        of=Count(count=EASY_SESSIONS),
        effort=Count(count=EASY_EFFORT),
    )
