"""Options that several commands have, commands that are imported only when they are called, and the words of
argparse."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from importlib import import_module
from typing import TYPE_CHECKING, Any

from companion.words.saying import msgid, say

Command = Callable[[argparse.Namespace], int]
"""Does what was asked and returns the exit code. Raises Refused."""

NONE_OF = msgid("“{written}” is none of these: {known}.")


def theirs(text: str) -> str:
    """Marks a text of argparse."""
    return text


WORDS = {
    theirs("usage: "): msgid("Usage: "),
    theirs("positional arguments"): msgid("What to name"),
    theirs("options"): msgid("Options"),
    theirs("show this help message and exit"): msgid("show this help"),
    theirs("argument %(argument_name)s: %(message)s"): msgid("{option}: {fault}"),
    theirs("the following arguments are required: %s"): msgid("This is missing: {named}"),
    theirs("one of the arguments %s is required"): msgid("Choose one of these: {named}"),
    theirs("not allowed with argument %s"): msgid("not together with {named}"),
    theirs("unrecognized arguments: %s"): msgid("This is not known here: {named}"),
    theirs("invalid choice: %(value)r (choose from %(choices)s)"): NONE_OF,
    theirs("expected one argument"): msgid("say what, after a space"),
    theirs("expected at least one argument"): msgid("name at least one"),
    theirs("ambiguous option: %(option)s could match %(matches)s"): msgid(
        "“{short}” may mean any of these: {meant}"
    ),
    theirs("ignored explicit argument %r"): msgid("this takes nothing after it: {shown}"),
}
"""What argparse says, and what is said instead: in the language, and plainer. What is not in the table, such
as a sentence of a later Python, stays as it is."""
FILLED_BY_ARGPARSE = {
    "option": "%(argument_name)s",
    "fault": "%(message)s",
    "named": "%s",
    "shown": "%r",
    "written": "%(value)s",
    "known": "%(choices)s",
    "short": "%(option)s",
    "meant": "%(matches)s",
}

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[Any]


def add_plan(command: argparse.ArgumentParser) -> None:
    command.add_argument("plan", metavar="PLAN", help=say("a file, or the name of a sample"))


def add_replace(command: argparse.ArgumentParser) -> None:
    command.add_argument("--replace", action="store_true", help=say("replace a file that is already there"))


def none_of(written: str, known: Iterable[str]) -> str:
    """That a word is none of those that an option knows."""
    return say(NONE_OF, written=written, known=", ".join(known))


def later(module: str, name: str) -> Command:
    """A function of a module in this folder that is imported when the command is called.

    Commands that open a data folder need the store and an event loop; the others start faster without.
    """

    def command(options: argparse.Namespace) -> int:
        found: Command = getattr(import_module(f"companion.cli.{module}"), name)
        return found(options)

    return command


@contextmanager
def argparse_speaking() -> Iterator[None]:
    """Within it, argparse speaks the language that is chosen there.

    It asks gettext by a name of its own module, and Python gives no other way to what it says.
    """
    before: Callable[[str], str] = getattr(argparse, "_")  # noqa: B009
    setattr(argparse, "_", _in_our_words)  # noqa: B010
    try:
        yield
    finally:
        setattr(argparse, "_", before)  # noqa: B010


def _in_our_words(text: str) -> str:
    return say(WORDS[text], **FILLED_BY_ARGPARSE) if text in WORDS else text
