"""The last faults that nobody expected: only of what kind they were, and where in the code.

A message may hold a name or a note, so it is never kept.
"""

from __future__ import annotations

import logging
import traceback
from collections import deque
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

KEPT = 3
PLACES = 6
"""How many calls of a fault are kept, the innermost last."""
OURS = ("companion", "engine", "storage")


class Fault(NamedTuple):
    """``kind`` names the exception, ``places`` are like “companion/app.py:12 root”, the innermost last."""

    at: datetime
    kind: str
    places: tuple[str, ...]


class FaultKeeper(logging.Handler):
    """Keeps the last faults that were logged with their traceback."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.faults: deque[Fault] = deque(maxlen=KEPT)

    def emit(self, record: logging.LogRecord) -> None:
        kind, _, trace = record.exc_info or (None, None, None)
        if kind is not None:
            places = tuple(map(_place, traceback.extract_tb(trace)[-PLACES:]))
            self.faults.append(Fault(datetime.fromtimestamp(record.created, UTC), kind.__name__, places))


def _place(frame: traceback.FrameSummary) -> str:
    """A call by its file inside its package: a whole path would name the person's folders."""
    parts = Path(frame.filename).parts
    starts = [index for index, part in enumerate(parts) if part in OURS or part == "site-packages"]
    inside = "/".join(parts[starts[-1] :]) if starts else parts[-1]
    return f"{inside}:{frame.lineno} {frame.name}"


KEEPER = FaultKeeper()


def keep_faults() -> None:
    """Keeps the faults of this process from now on."""
    if KEEPER not in logging.getLogger().handlers:
        logging.getLogger().addHandler(KEEPER)
