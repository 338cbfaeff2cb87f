"""What a window may do with what is kept."""

from __future__ import annotations

from enum import StrEnum


class Standing(StrEnum):
    """What a window may do with what is kept, and why not more."""

    owner = "owner"
    another_window = "another_window"
    another_program = "another_program"
    taken_over = "taken_over"
    released = "released"
