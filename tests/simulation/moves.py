"""What happens in a run, drawn by its seed: evenings with a session, and what comes between and amid them.

A move that makes no sense where it comes does nothing. So any part of a run's moves is a run, too, and a
failing one can be shrunk.
"""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from random import Random
from typing import NamedTuple

from simulation import coach, exchange, training, windows
from simulation.hand import Hand

MOVES: dict[str, Callable[[Hand], Awaitable[None]]] = {
    one.__name__: one
    for one in (
        training.choose,
        training.start,
        training.train,
        training.pause,
        training.on_the_way,
        training.hurts,
        training.end_early,
        training.finish,
        training.log,
        training.late_answers,
        training.correct,
        training.note_pain,
        windows.open_window,
        windows.be_there,
        windows.close_window,
        windows.take_over,
        windows.kill,
        windows.plant_death,
        windows.plant_refusal,
        windows.mend_disk,
        windows.rot,
        windows.sleep,
        windows.set_clock,
        windows.travel,
        windows.hours,
        windows.days,
        windows.spring,
        exchange.save_backup,
        exchange.bring_in,
        exchange.merge,
        exchange.restore,
        exchange.erase_one,
        exchange.erase_everything,
        exchange.write_plan,
        exchange.take_plan,
        exchange.remove_plan,
        exchange.take_adjustment,
        coach.save_page,
        coach.read_pages,
        coach.answer,
        coach.set_clock_at_desk,
    )
}
BETWEEN = {
    "days": 14,
    "hours": 4,
    "late_answers": 4,
    "correct": 3,
    "note_pain": 3,
    "kill": 2,
    "plant_death": 2,
    "plant_refusal": 2,
    "mend_disk": 3,
    "open_window": 2,
    "close_window": 2,
    "take_over": 1,
    "travel": 1,
    "set_clock": 1,
    "spring": 1,
    "save_backup": 3,
    "bring_in": 3,
    "merge": 4,
    "restore": 1,
    "erase_one": 2,
    "erase_everything": 1,
    "write_plan": 2,
    "take_plan": 2,
    "remove_plan": 1,
    "take_adjustment": 3,
    "save_page": 4,
    "read_pages": 3,
    "answer": 3,
    "set_clock_at_desk": 1,
}
AMID = {
    "train": 20,
    "on_the_way": 12,
    "pause": 4,
    "hurts": 5,
    "end_early": 2,
    "sleep": 2,
    "set_clock": 1,
    "travel": 1,
    "kill": 2,
    "plant_death": 2,
    "plant_refusal": 4,
    "mend_disk": 2,
    "open_window": 2,
    "close_window": 2,
    "take_over": 2,
    "rot": 2,
}
HERE, THERE = 0, 1
ERRANDS: tuple[tuple[tuple[str, int], ...], ...] = (
    (("save_backup", HERE), ("be_there", THERE), ("bring_in", THERE)),
    (
        *(("save_backup", HERE), ("be_there", THERE), ("bring_in", THERE), ("erase_one", HERE)),
        *(("be_there", HERE), ("save_backup", HERE), ("be_there", THERE), ("bring_in", THERE)),
    ),
    (("take_plan", HERE), ("write_plan", HERE), ("write_plan", HERE), ("take_plan", HERE)),
    (("write_plan", HERE), ("take_plan", THERE), ("save_backup", HERE), ("bring_in", THERE)),
    (("merge", HERE), ("be_there", THERE), ("remove_plan", THERE), ("merge", THERE), ("be_there", THERE)),
    (("save_page", HERE), ("read_pages", HERE), ("answer", HERE), ("take_adjustment", HERE)),
    (("set_clock_at_desk", HERE), ("read_pages", HERE), ("answer", HERE), ("take_adjustment", HERE)),
    (("note_pain", HERE), ("save_page", HERE), ("save_page", HERE), ("read_pages", HERE)),
    (("correct", HERE), ("set_clock", HERE), ("correct", HERE)),
)
"""What belongs together: a file is handed over on one device and taken up on the other, or at the desk."""
A_BIT_GOES_WRONG = ("hurts", "train", "hurts", "rot", "be_there", "finish", "log", "erase_one")
"""An evening on which something was said, damage was set aside, and all of it is erased afterwards."""
FEWEST_EVENINGS, MOST_EVENINGS = 5, 12


class Move(NamedTuple):
    """A move by name, on a device, with the number that its own chance comes from."""

    name: str
    device: int
    number: int


def drawn(seed: int) -> tuple[Move, ...]:
    """The moves of a seed."""
    draw, found = Random(seed), list[Move]()

    def add(name: str, device: int) -> None:
        found.append(Move(name, device, len(found)))

    def some(weights: dict[str, int], most: int, device: int) -> None:
        for _ in range(draw.randrange(most + 1)):
            (name,) = draw.choices(list(weights), list(weights.values()))
            add(name, device)

    for _ in range(draw.randint(FEWEST_EVENINGS, MOST_EVENINGS)):
        device = 0 if draw.random() < 0.75 else 1
        add("be_there", device)
        some(BETWEEN, 2, device)
        if draw.random() < 0.3:
            for name, where in draw.choice(ERRANDS):
                add(name, device ^ where)
            add("be_there", device)
        add("choose", device)
        add("start", device)
        some(AMID, draw.choice((1, 3, 6)), device)
        if draw.random() < 0.05:
            for name in A_BIT_GOES_WRONG:
                add(name, device)
        add("be_there", device)
        add("finish", device)
        add("log", device)
    for device in (0, 1):
        add("mend_disk", device)
    return tuple(found)
