"""A data folder in which a newer version wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from storage.files.layout import encode
from storage.files.newer import refuse_newer
from storage.problem import Cause, StorageProblem

NEWER = encode({}, "plans-file").replace(b'"version": 1', b'"version": 2', 1)


@pytest.mark.parametrize("place", ["plans.json", "sessions/record-1.json"])
def test_a_newer_file_is_named_and_the_folder_is_left_alone(tmp_path: Path, place: str) -> None:
    (tmp_path / "sessions").mkdir()
    (tmp_path / place).write_bytes(encode({}, "plans-file"))
    refuse_newer(tmp_path)
    (tmp_path / place).write_bytes(NEWER)
    with pytest.raises(StorageProblem, match=Path(place).name) as refused:
        refuse_newer(tmp_path)
    assert refused.value.cause is Cause.newer_records


def test_what_is_derived_and_what_is_no_file_refuses_nothing(tmp_path: Path) -> None:
    (tmp_path / "weeks.json").write_bytes(NEWER.replace(b'"plans-file"', b'"weeks-of-a-year"'))
    (tmp_path / "folder.json").mkdir()
    refuse_newer(tmp_path)
