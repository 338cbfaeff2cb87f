"""The fitted session, complete in itself."""

from __future__ import annotations

from builders import session


def test_the_finish_is_promised_for_the_minutes_asked_or_later_where_the_session_is_longer() -> None:
    made = session(minutes=30)
    assert made.total_ms < made.promised_ms == 30 * 60_000
    assert made.model_copy(update={"minutes": 1.5}).promised_ms == made.total_ms
