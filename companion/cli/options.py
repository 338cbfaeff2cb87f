"""Options that several commands have, and commands that are imported only when they are called."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable
from importlib import import_module
from typing import TYPE_CHECKING, Any

from companion.words.saying import say

Command = Callable[[argparse.Namespace], int]
"""Does what was asked and returns the exit code. Raises Refused."""

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[Any]


def add_plan(command: argparse.ArgumentParser) -> None:
    command.add_argument("plan", metavar="PLAN", help=say("a file, or the name of a sample"))


def none_of(written: str, known: Iterable[str]) -> str:
    """That a word is none of those that an option knows."""
    return say("“{written}” is none of these: {known}.", written=written, known=", ".join(known))


def later(module: str, name: str) -> Command:
    """A function of a module in this folder that is imported when the command is called.

    Commands that open a data folder need the store and an event loop; the others start faster without.
    """

    def command(options: argparse.Namespace) -> int:
        found: Command = getattr(import_module(f"companion.cli.{module}"), name)
        return found(options)

    return command
