"""A disk in memory that loses what was not synced, tears it, reorders names, refuses and dies.

It counts every step that changes something. A file's content and a folder's names are durable only once they
are synced; a cut of the power keeps an arbitrary part of the rest. A step can be refused with any errno, and
a sync that fails once takes the content for written from then on, as some systems do.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from dataclasses import dataclass, field
from random import Random

SECTOR = 512


class Death(BaseException):
    """The process has died; nothing of it runs any more."""


@dataclass
class Fault:
    """What happens from the step ``at`` on, for ``steps`` of them: an errno, or the death of the process.

    ``power`` cuts the power too. ``reads`` counts the opening of a file to read as a step.
    """

    at: int
    code: int = 0
    steps: int = 1
    power: bool = False
    reads: bool = False
    hit: bool = False


@dataclass
class Node:
    """A file or a folder: as every process sees it, and as the medium has it."""

    number: int
    is_folder: bool
    content: bytearray = field(default_factory=bytearray)
    kept: bytes = b""
    names: dict[str, Node] = field(default_factory=dict)
    kept_names: dict[str, Node] = field(default_factory=dict)
    waiting: list[dict[str, Node | None]] = field(default_factory=list)
    """Changes of names that are not synced yet, each of one step."""
    dirty: bool = False
    links: int = 0
    at_ns: int = 0
    locked_by: int = 0


class SimulatedDisk:
    """One disk. ``now_ns`` is the time that it puts on what changes."""

    def __init__(self, draw: Random, now_ns: Callable[[], int]) -> None:
        self._draw, self._now_ns = draw, now_ns
        self._numbers = 1
        self.root = Node(1, is_folder=True)
        self.steps = self.changes = 0
        self.fault: Fault | None = None
        self.dead = False
        self.refused = 0

    # Steps

    def step(self, *, reading: bool = False) -> None:
        """Counts a step, and lets the fault happen that is due."""
        if self.dead:
            raise Death
        fault = self.fault
        if fault is None or (reading and not fault.reads):
            return
        self.steps += 1
        if not fault.at <= self.steps < fault.at + fault.steps:
            return
        fault.hit = True
        if not fault.code:
            self.dead = True
            raise Death
        self.refused += 1
        raise OSError(fault.code, os.strerror(fault.code))

    def plant(self, fault: Fault | None) -> None:
        self.fault, self.steps = fault, 0

    def new(self, *, is_folder: bool) -> Node:
        self._numbers += 1
        node = Node(self._numbers, is_folder)
        self.touch(node)
        return node

    def touch(self, node: Node) -> None:
        self.changes += 1
        node.at_ns = self._now_ns() + self.changes

    # Names

    def find(self, parts: tuple[str, ...]) -> Node | None:
        node: Node | None = self.root
        for part in parts:
            node = node.names.get(part) if node is not None else None
        return node

    def found(self, parts: tuple[str, ...]) -> Node:
        node = self.find(parts)
        if node is None:
            raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), "/".join(parts))
        return node

    def name(self, folder: Node, changes: dict[str, Node | None]) -> None:
        """Changes names of one folder in one step."""
        for name, node in changes.items():
            before = folder.names.pop(name, None)
            if before is not None:
                before.links -= 1
            if node is not None:
                folder.names[name] = node
                node.links += 1
        folder.waiting.append(changes)
        self.touch(folder)

    def write(self, node: Node, at: int, content: bytes) -> int:
        """Writes as much as there is room for; a disk that dies here has written any part of it."""
        try:
            self.step()
        except (Death, OSError):
            self._put(node, at, content[: self._draw.randrange(len(content) + 1)])
            raise
        self._put(node, at, content)
        return len(content)

    def _put(self, node: Node, at: int, content: bytes) -> None:
        node.content[at : at + len(content)] = content
        node.dirty = True
        self.touch(node)

    def cut(self, node: Node, size: int) -> None:
        self.step()
        del node.content[size:]
        node.dirty = True
        self.touch(node)

    def sync(self, node: Node) -> None:
        """Makes a file's content or a folder's names durable."""
        try:
            self.step()
        except OSError:
            node.dirty = False  # it is not tried again
            raise
        if node.is_folder:
            node.kept_names, node.waiting = dict(node.names), []
        elif node.dirty:
            node.kept, node.dirty = bytes(node.content), False

    def sync_all(self, node: Node | None = None) -> None:
        """Makes all that there is durable."""
        node = node or self.root
        node.kept, node.dirty = bytes(node.content), False
        node.kept_names, node.waiting = dict(node.names), []
        for one in node.names.values():
            self.sync_all(one)

    # Crashes

    def cut_power(self) -> None:
        """Leaves of each file and folder what was synced and any part of the rest."""
        self._settle(self.root, set())

    def _settle(self, node: Node, seen: set[int]) -> None:
        if node.number in seen:
            return
        seen.add(node.number)
        node.locked_by = 0
        if not node.is_folder:
            if bytes(node.content) != node.kept:
                node.content = bytearray(self._torn(bytes(node.content), node.kept))
                node.kept, node.dirty = bytes(node.content), False
            return
        names = dict(node.kept_names)
        for changes in self._lasting(node.waiting):
            for name, one in changes.items():
                names.pop(name, None)
                if one is not None:
                    names[name] = one
        if node.waiting:
            self.touch(node)
        node.names, node.kept_names, node.waiting = names, dict(names), []
        for one in names.values():
            self._settle(one, seen)

    def _lasting(self, waiting: list[dict[str, Node | None]]) -> list[dict[str, Node | None]]:
        """The changes of names that reached the medium: the first ones, or any that need no lost one."""
        if not waiting:
            return []
        if self._draw.random() < 0.6:
            return waiting[: self._draw.randrange(len(waiting) + 1)]
        lost: set[str] = set()
        lasting = []
        for changes in waiting:
            if lost & changes.keys() or self._draw.random() < 0.4:
                lost |= changes.keys()
            else:
                lasting.append(changes)
        return lasting

    def _torn(self, content: bytes, kept: bytes) -> bytes:
        """Some sectors as they were written, the others as they were before."""
        how = self._draw.random()
        if how < 0.25:
            return kept
        if how < 0.5:
            return content
        if how < 0.75:
            same = len(os.path.commonprefix([content, kept]))  # noqa: RUF071 - bytes, not paths
            return content[: self._draw.randint(same, len(content))]
        size = len(content) if self._draw.random() < 0.5 else len(kept)
        torn = bytearray(size)
        for start in range(0, size, SECTOR):
            source = content if self._draw.random() < 0.5 else kept
            part = source[start : min(start + SECTOR, size)]
            torn[start : start + len(part)] = part
        return bytes(torn)

    def flip_a_bit(self, path: tuple[str, ...]) -> bool:
        """Lets one bit of a file go wrong; False where there is no such file."""
        node = self.find(path)
        if node is None or not node.content:
            return False
        at = self._draw.randrange(len(node.content))
        node.content[at] ^= 1 << self._draw.randrange(8)
        node.kept = bytes(node.content)
        self.touch(node)
        return True

    def everything(self) -> dict[str, bytes]:
        """The content of every file by its path."""
        found: dict[str, bytes] = {}

        def look(node: Node, path: str) -> None:
            for name, one in sorted(node.names.items()):
                if one.is_folder:
                    look(one, f"{path}/{name}")
                else:
                    found[f"{path}/{name}"] = bytes(one.content)

        look(self.root, "")
        return found
