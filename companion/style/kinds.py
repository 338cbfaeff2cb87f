"""What each kind of segment is called, and the colour and the pattern that it is drawn with."""

from __future__ import annotations

from enum import StrEnum, auto

from companion.style.palette import Role
from companion.words.saying import msgid
from engine.session.segment import Kind


class Pattern(StrEnum):
    """What fills a stretch of the strip. Each can be told from the others without colour."""

    solid = auto()
    rising = auto()  # lines that rise to the right
    falling = auto()  # lines that fall to the right
    dots = auto()
    wedges = auto()  # two that meet in the middle: over to the other side
    blank = auto()  # empty between two lines: nothing to do
    thread = auto()  # one line along the middle: on the way to something


KIND_PATTERN = {
    Kind.get_ready: Pattern.thread,
    Kind.warm_up: Pattern.rising,
    Kind.practice: Pattern.dots,
    Kind.work: Pattern.solid,
    Kind.side_change: Pattern.wedges,
    Kind.rest: Pattern.blank,
    Kind.transition: Pattern.thread,
    Kind.cool_down: Pattern.falling,
}

KIND_ROLE = {
    Kind.get_ready: Role.GET_READY,
    Kind.warm_up: Role.WARM_UP,
    Kind.practice: Role.PRACTICE,
    Kind.work: Role.WORK,
    Kind.side_change: Role.CHANGE,
    Kind.rest: Role.REST,
    Kind.transition: Role.GET_READY,
    Kind.cool_down: Role.COOL_DOWN,
}

KIND_WORD = {
    Kind.get_ready: msgid("Get ready"),
    Kind.warm_up: msgid("Warm-up"),
    Kind.practice: msgid("Practice"),
    Kind.work: msgid("Work"),
    Kind.side_change: msgid("Change sides"),
    Kind.rest: msgid("Rest"),
    Kind.transition: msgid("Changeover"),
    Kind.cool_down: msgid("Cool-down"),
}
"""The title of a segment while it runs, and what the key to the strip calls its kind."""

PRINTED_KINDS = tuple(kind for kind in KIND_WORD if kind is not Kind.get_ready)
"""The kinds in the key on paper and in a terminal, in its order: to get ready is drawn as a changeover is."""
