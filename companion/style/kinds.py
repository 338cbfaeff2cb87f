"""What each kind of segment is called, and the colour and the pattern that it is drawn with."""

from __future__ import annotations

from enum import StrEnum, auto

from companion.style.palette import Role
from engine.plan.words import BLOCK_KIND_WORDS
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
    Kind.get_ready: "Get ready",
    Kind.warm_up: BLOCK_KIND_WORDS["warm_up"],
    Kind.practice: BLOCK_KIND_WORDS["practice"],
    Kind.work: BLOCK_KIND_WORDS["work"],
    Kind.side_change: "Change sides",
    Kind.rest: "Rest",
    Kind.transition: "Next block",
    Kind.cool_down: BLOCK_KIND_WORDS["cool_down"],
}
"""The title of a segment while it runs."""

KEY_WORD = KIND_WORD | {Kind.transition: "Get to the next"}
"""What the key to the strip on a screen calls a kind."""

PRINTED_KEY_WORD = {kind: word.lower() for kind, word in KIND_WORD.items() if kind is not Kind.get_ready} | {
    Kind.side_change: "change of sides",
    Kind.transition: "change of block",
}
"""What the key on paper and in a terminal calls a kind, in the order of the key."""
