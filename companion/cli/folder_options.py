"""What the commands that keep a data folder can be asked.

    companion backup FOLDER --out FILE [--replace]
    companion restore FILE FOLDER [--replace]
    companion merge FOLDER --with SHARED [--keep ours|theirs|both] [--same-person]
    companion erase FOLDER RECORD_ID | --all

FOLDER is a data folder, which no other program may have open but for a backup. Exit 1: merged, and two
versions of something wait for an answer; ours stays until then.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any


def add_keep_commands(commands: argparse._SubParsersAction[Any]) -> None:
    _add_backup(commands.add_parser("backup", help="write everything into one file", allow_abbrev=False))
    _add_restore(commands.add_parser("restore", help="bring a backup back", allow_abbrev=False))
    _add_merge(commands.add_parser("merge", help="bring several devices together", allow_abbrev=False))
    erasing = commands.add_parser("erase", help="erase a session for good, or all", allow_abbrev=False)
    erasing.set_defaults(command=_later("erase"))
    _add_folder(erasing)
    which = erasing.add_mutually_exclusive_group(required=True)
    which.add_argument("record_id", metavar="RECORD_ID", nargs="?", help="the id of a session's record")
    which.add_argument("--all", action="store_true", help="everything but the ids of what was erased")


def _add_backup(keeping: argparse.ArgumentParser) -> None:
    keeping.set_defaults(command=_later("back_up"))
    _add_folder(keeping)
    keeping.add_argument("--out", required=True, metavar="FILE", help="where the backup goes")
    keeping.add_argument("--replace", action="store_true", help="in the place of a file that is there")


def _add_restore(restoring: argparse.ArgumentParser) -> None:
    restoring.set_defaults(command=_later("restore"))
    restoring.add_argument("file", metavar="FILE", type=Path, help="a backup")
    _add_folder(restoring)
    restoring.add_argument("--replace", action="store_true", help="in the place of everything that is there")


def _add_merge(merging: argparse.ArgumentParser) -> None:
    merging.set_defaults(command=_later("merge"))
    _add_folder(merging)
    merging.add_argument(
        "--with", dest="shared", required=True, metavar="SHARED", type=Path, help="a folder all devices reach"
    )
    merging.add_argument("--keep", choices=("ours", "theirs", "both"), help="what becomes of two versions")
    merging.add_argument(
        "--same-person", action="store_true", help="also what a device keeps under another profile"
    )


def _add_folder(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", metavar="FOLDER", type=Path, help="a data folder")


def _later(name: str) -> Callable[[argparse.Namespace], int]:
    """A command of keep_commands.py, which only who asks for it loads."""

    def command(options: argparse.Namespace) -> int:
        from companion.cli import folder_commands as keep_commands

        code: int = getattr(keep_commands, name)(options)
        return code

    return command
