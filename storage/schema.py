"""The version of the stored files, and the steps that bring older files up to it. Pure.

A step takes all tables of one file as one version wrote them and gives them as the next version would.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

VERSION = 2

DERIVED_VERSION = 1
"""Raise it when the same records come to another history, other last loads or other weekly figures: whatever
was derived under another number is then derived again, on disk and in the browser."""

Tables = dict[str, dict[str, Any]]
"""Documents by table and key."""
Migration = Callable[[Tables], Tables]
Migrations = Mapping[tuple[str, int], Migration]
"""Steps by the format of the file and the version they start from."""


def _segments_by_id(tables: Tables) -> Tables:
    """Version 1 wrote whole segments into what became of them; since then their ids, the segments once."""
    records = {key: _with_segment_ids(record) for key, record in tables.get("records", {}).items()}
    return {**tables, "records": records}


def _with_segment_ids(record: Any) -> Any:
    known = {segment["id"] for segment in record["session"]["segments"]}
    gone: dict[str, Any] = {segment["id"]: segment for segment in record.get("taken_out", ())}
    done = []
    for one in record["done"]:
        if "segment" in one:
            segment = one["segment"]
            if segment["id"] not in known:
                gone.setdefault(segment["id"], segment)
            one = {"segment_id": segment["id"], **{key: one[key] for key in one if key != "segment"}}
        done.append(one)
    return {**record, "done": done, "taken_out": list(gone.values())}


def _weights_on_a_rack(tables: Tables) -> Tables:
    """Version 1 listed the weights that can be had, and whether they are settings of the same dumbbell: by
    what plates was not asked, so each stays a weight of its own."""
    return {name: {key: _with_rack(kit) for key, kit in table.items()} for name, table in tables.items()}


def _with_rack(kit: Any) -> Any:
    if "loads_g" not in kit:
        return kit
    count = 2 if kit.get("dumbbells") == "pair" else 1
    fixed = [{"load_g": load_g, "count": count} for load_g in kit["loads_g"] if load_g > 0]
    rest = {key: one for key, one in kit.items() if key not in ("loads_g", "adjustable")}
    return {**rest, "rack": {"fixed": fixed, "adjustable": []}}


STEPS: Migrations = {("month-of-records", 1): _segments_by_id, ("kit-file", 1): _weights_on_a_rack}


def migrate(
    tables: Tables, format: str, found: int, *, steps: Migrations = STEPS, version: int = VERSION
) -> Tables:
    """The tables of a file as this version knows them. Without a step, a format did not change."""
    for older in range(found, version):
        step = steps.get((format, older))
        tables = step(tables) if step else tables
    return tables
