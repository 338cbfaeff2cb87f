"""What the commands that keep a data folder can be asked; folder_commands.py does it.

    companion backup FOLDER --out FILE [--replace]
    companion restore FILE FOLDER [--keep ours|theirs|both] [--erase] | --replace [--yes]
    companion merge FOLDER --with SHARED [--keep ours|theirs|both] [--same-person]
    companion erase FOLDER RECORD_ID | --all

FOLDER is a data folder. Except for a backup, no other program may have it open. Exit 1: merged, but two
versions of something, or what was erased elsewhere, wait for an answer; ours stays until then.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from companion.cli.options import add_replace, later
from companion.words.saying import say

if TYPE_CHECKING:
    from companion.cli.options import Commands


def add_folder_commands(commands: Commands) -> None:
    _add_backup(commands.add_parser("backup", help=say("save everything to one file"), allow_abbrev=False))
    _add_restore(commands.add_parser("restore", help=say("bring a backup back"), allow_abbrev=False))
    _add_merge(commands.add_parser("merge", help=say("bring several devices together"), allow_abbrev=False))
    erasing = commands.add_parser("erase", help=say("erase a session for good, or all"), allow_abbrev=False)
    erasing.set_defaults(command=later("folder_commands", "erase"))
    _add_folder(erasing)
    which = erasing.add_mutually_exclusive_group(required=True)
    which.add_argument(
        "record_id", metavar="RECORD_ID", nargs="?", help=say("the id of a session or a pain note")
    )
    which.add_argument(
        "--all", action="store_true", help=say("everything; only the ids of what was erased stay")
    )


def _add_backup(keeping: argparse.ArgumentParser) -> None:
    keeping.set_defaults(command=later("folder_commands", "back_up"))
    _add_folder(keeping)
    keeping.add_argument("--out", required=True, metavar="FILE", help=say("the file to save to"))
    add_replace(keeping)


def _add_restore(restoring: argparse.ArgumentParser) -> None:
    restoring.set_defaults(command=later("folder_commands", "restore"))
    restoring.add_argument("file", metavar="FILE", type=Path, help=say("a backup"))
    _add_folder(restoring)
    _add_keep(restoring)
    restoring.add_argument(
        "--erase", action="store_true", help=say("also erase here what was erased where the backup was made")
    )
    restoring.add_argument("--replace", action="store_true", help=say("replace everything that is there"))
    restoring.add_argument(
        "--yes",
        action="store_true",
        help=say("with {option}: lose what the backup does not hold", option="--replace"),
    )


def _add_merge(merging: argparse.ArgumentParser) -> None:
    merging.set_defaults(command=later("folder_commands", "merge"))
    _add_folder(merging)
    merging.add_argument(
        "--with",
        dest="shared_folder",
        required=True,
        metavar="SHARED",
        type=Path,
        help=say("a folder that all devices reach"),
    )
    _add_keep(merging)
    merging.add_argument(
        "--same-person", action="store_true", help=say("also what a device holds under another profile")
    )


def _add_keep(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--keep", choices=("ours", "theirs", "both"), help=say("which of two versions stays")
    )


def _add_folder(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", metavar="FOLDER", type=Path, help=say("a data folder"))
