"""What a coach reads for every sample, kit and minute is frozen; a change is seen and justified."""

from __future__ import annotations

from coach_table import TABLE, table


def test_every_line_of_the_coachs_table_is_as_it_was() -> None:
    assert table().splitlines() == TABLE.read_text("utf-8").splitlines()
