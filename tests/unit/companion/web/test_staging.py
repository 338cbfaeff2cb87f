"""The client's files in the temporary folder go with their server, or at the start of the next one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from places import ROOT

from companion.web.staging import NEW_FOR_S, StagedFolder, remove_left

KILLED = """
import os, signal, sys
from pathlib import Path
from companion.web.staging import StagedFolder
staged = StagedFolder(Path(sys.argv[1]))
(staged.path / "client.wasm").write_bytes(b"x" * 9_000)
os.kill(os.getpid(), signal.SIGKILL)
"""


def test_what_a_killed_server_left_is_removed_at_the_next_start(tmp_path: Path) -> None:
    """Each killed server left 9 MB."""
    subprocess.run([sys.executable, "-c", KILLED, str(tmp_path)], cwd=ROOT, check=False)
    (left,) = tmp_path.iterdir()
    assert (left / "client.wasm").exists()
    staged = StagedFolder(tmp_path)
    assert list(tmp_path.iterdir()) == [staged.path]
    staged.cleanup()
    assert list(tmp_path.iterdir()) == []


def test_the_folder_of_a_server_that_runs_and_what_is_not_ours_stay(tmp_path: Path) -> None:
    running = StagedFolder(tmp_path)
    (tmp_path / "session-companion-notes.txt").write_bytes(b"mine")
    (tmp_path / "session-companion-linked").symlink_to(tmp_path)
    (tmp_path / "session-companion-starting").mkdir()
    (tmp_path / "elsewhere").mkdir()
    before = set(tmp_path.iterdir())
    remove_left(tmp_path)
    assert set(tmp_path.iterdir()) == before
    old = (tmp_path / "session-companion-starting").stat().st_mtime - NEW_FOR_S - 1
    os.utime(tmp_path / "session-companion-starting", (old, old))
    remove_left(tmp_path)
    assert set(tmp_path.iterdir()) == before - {tmp_path / "session-companion-starting"}
    running.cleanup()
