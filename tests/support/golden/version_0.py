"""An invented older version of the stored files. Nobody has such files, because version 1 is the first.

Tests try migrations on it until a real older version exists. Version 0 wrote the note of a record as its
remark, the loads of its sets in kilograms, and a kit as a list of weights without a rack. A data folder and a
backup of it are frozen in tests/golden/old/.
"""

from __future__ import annotations

from typing import Any

from places import GOLDEN

from storage.schema import Tables

FOLDER = GOLDEN / "old" / "version-0"
BACKUP = GOLDEN / "old" / "backup-0.json"


def note_and_grams(tables: Tables) -> Tables:
    return {**tables, "records": {key: _record(one) for key, one in tables.get("records", {}).items()}}


def _record(record: Any) -> Any:
    if "remark" not in record:
        return record
    rest = {key: one for key, one in record.items() if key != "remark"}
    return {**rest, "note": record["remark"], "sets": [_in_grams(one) for one in record["sets"]]}


def _in_grams(done: Any) -> Any:
    rest = {key: one for key, one in done.items() if key != "load_kg"}
    load_kg = done["load_kg"]
    return {**rest, "load_g": None if load_kg is None else round(load_kg * 1_000)}


def rack_of_weights(tables: Tables) -> Tables:
    return {name: {key: _kit(kit) for key, kit in table.items()} for name, table in tables.items()}


def _kit(kit: Any) -> Any:
    if "weights_kg" not in kit:
        return kit
    count = 2 if kit["dumbbells"] == "pair" else 1
    fixed = [{"load_g": round(load_kg * 1_000), "count": count} for load_kg in kit["weights_kg"]]
    rest = {key: one for key, one in kit.items() if key != "weights_kg"}
    return {**rest, "rack": {"fixed": fixed, "adjustable": []}}


def every_part(tables: Tables) -> Tables:
    kits = rack_of_weights({"kits": tables.get("kits", {})})
    return {**note_and_grams(tables), **kits}


STEPS = {
    ("session-file", 0): note_and_grams,
    ("kit-file", 0): rack_of_weights,
    ("backup", 0): every_part,
}
