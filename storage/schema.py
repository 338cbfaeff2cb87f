"""The version of the stored files, and the steps that bring older files up to it. Pure.

A step takes all tables of one file as one version wrote them and gives them as the next version would.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

VERSION = 1

Tables = dict[str, dict[str, Any]]
"""Documents by table and key."""
Step = Callable[[Tables], Tables]
Steps = Mapping[tuple[str, int], Step]
"""Steps by the format of the file and the version they start from."""

STEPS: Steps = {}
"""None yet: version 1 is the first."""


def migrate(
    tables: Tables, format: str, found: int, *, steps: Steps = STEPS, version: int = VERSION
) -> Tables:
    """The tables of a file as this version knows them. Without a step, a format did not change."""
    for older in range(found, version):
        step = steps.get((format, older))
        tables = step(tables) if step else tables
    return tables
