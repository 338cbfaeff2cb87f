"""The rules that every store follows."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from storage.rules import BACKUP_LASTS_AT_RISK, backup_is_due

NOW = datetime(2026, 5, 1, 8, tzinfo=UTC)


@pytest.mark.parametrize(
    "backed_up, sessions, due",
    [
        (None, [], False),
        (None, [27], False),
        (None, [29, 1], True),
        (29, [], False),
        (29, [40], False),
        (29, [40, 2], True),
        (27, [40, 2], False),
    ],
)
def test_a_backup_is_due_once_sessions_wait_for_it_for_four_weeks(
    backed_up: int | None, sessions: list[int], due: bool
) -> None:
    """In days ago. † Our judgement, no source."""
    started = [NOW - timedelta(days=days) for days in sessions]
    saved_at = None if backed_up is None else NOW - timedelta(days=backed_up)
    assert backup_is_due(saved_at, started, NOW) is due


@pytest.mark.parametrize("days, due", [(1, False), (4, True)])
def test_where_a_browser_clears_the_records_after_seven_days_a_backup_is_due_well_before(
    days: int, due: bool
) -> None:
    started = [NOW - timedelta(days=days)]
    assert timedelta(days=7) > BACKUP_LASTS_AT_RISK
    assert backup_is_due(None, started, NOW, lasts=BACKUP_LASTS_AT_RISK) is due
