"""How loads grow for twelve invented people is frozen; a change is seen and justified."""

from __future__ import annotations

from growth_table import PEOPLE, SESSIONS, TABLE, table


def test_every_line_of_the_table_of_growth_is_as_it_was() -> None:
    assert table().splitlines() == TABLE.read_text("utf-8").splitlines()


def test_there_are_twelve_people_with_twelve_sessions_each() -> None:
    sessions = [line for line in table().splitlines() if line[:2].strip().isdigit()]
    assert (len(PEOPLE), len(sessions)) == (12, 12 * SESSIONS)
