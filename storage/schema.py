"""The version of what is stored, and the steps that migrate older versions to it. Pure.

A step takes all tables of one file as one version wrote them and returns them as the next version would write
them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

VERSION = 1
"""Of stored files, backups and documents in the browser. Raise it with a step when one of them changes."""

DERIVED_VERSION = 14
"""Raise it when the same records come to another history, other last loads or other weekly figures: whatever
was derived under another number is then derived again, on disk and in the browser."""

Tables = dict[str, dict[str, Any]]
"""Documents by table and key."""
Migration = Callable[[Tables], Tables]
Migrations = Mapping[tuple[str, int], Migration]
"""Steps by the format of the file and the version they start from."""

STEPS: Migrations = {}
"""None yet: every file that was ever written has the first version."""


def migrate(
    tables: Tables, format: str, found: int, *, steps: Migrations = STEPS, version: int = VERSION
) -> Tables:
    """The tables of a file as this version writes them. A format without a step did not change."""
    for start in range(found, version):
        step = steps.get((format, start))
        tables = step(tables) if step else tables
    return tables
