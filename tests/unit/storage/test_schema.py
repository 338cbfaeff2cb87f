"""Steps from older versions. There are none yet, so these tests use invented versions of a file."""

from __future__ import annotations

import json

from storage.files.layout import decode, encode
from storage.schema import Migrations, Tables, migrate


def in_grams(tables: Tables) -> Tables:
    return {"weights": {key: {"load_g": one["kg"] * 1000} for key, one in tables["weights"].items()}}


def with_sides(tables: Tables) -> Tables:
    return {"weights": {key: one | {"side": key} for key, one in tables["weights"].items()}}


STEPS: Migrations = {("shelf-file", 1): in_grams, ("shelf-file", 3): with_sides}


def test_the_steps_are_taken_one_after_the_other_and_a_version_without_one_is_passed() -> None:
    old: Tables = {"weights": {"left": {"kg": 8}}}
    new = migrate(old, "shelf-file", 1, steps=STEPS, version=4)
    assert new == {"weights": {"left": {"load_g": 8_000, "side": "left"}}}
    assert old == {"weights": {"left": {"kg": 8}}}, "a step does not change its argument"


def test_a_file_of_a_later_version_takes_only_the_later_steps() -> None:
    tables: Tables = {"weights": {"left": {"load_g": 8_000}}}
    assert migrate(tables, "shelf-file", 2, steps=STEPS, version=3) == tables


def test_another_format_has_other_steps() -> None:
    tables: Tables = {"weights": {"left": {"kg": 8}}}
    assert migrate(tables, "box-file", 1, steps=STEPS, version=4) == tables


def test_what_is_encoded_is_decoded_and_is_plain_json() -> None:
    tables: Tables = {
        "words": {"a": {"text": "“é” \u2028 \n 🪨", "list": [1, 2.5, None, True, {}]}},
        "empty": {},
    }
    content = encode(tables, "shelf-file")
    assert decode(content, "shelf-file", "shelf.json") == tables
    assert json.loads(content)["tables"] == tables
