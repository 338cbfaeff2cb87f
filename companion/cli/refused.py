"""The one way in which a command says no."""

from companion.words.saying import say


class Refused(Exception):
    """What was asked cannot be done. The message is one sentence for the person."""


def is_there_already(file: str) -> str:
    return say(
        "“{file}” is there already: name another file, or add {option}.", file=file, option="--replace"
    )
