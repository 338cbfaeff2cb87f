"""A hand at one device: does what the screen offers there, and tells a fault that nobody may see."""

from __future__ import annotations

from collections.abc import Awaitable
from random import Random
from typing import Any

from simulation.world import Device, OpenWindow, World

from storage.problem import Cause, StorageProblem


class Violation(AssertionError):
    """Something that must hold does not."""


class Hand:
    """What a person has before them at a device, and the chance that decides what they do."""

    def __init__(self, world: World, device: Device, draw: Random) -> None:
        self.world, self.device, self.draw = world, device, draw

    @property
    def at(self) -> OpenWindow | None:
        """The window in use: the one that may write, else the first."""
        return self.device.owner or next(iter(self.device.windows), None)

    @property
    def owner(self) -> OpenWindow | None:
        return self.device.owner

    def often(self, share: float) -> bool:
        return self.draw.random() < share

    async def press(self, action: Awaitable[Any], *, stops: bool = False) -> bool:
        """Does an action as a window does: a refusal of the disk is said, never one without cause.

        Returns whether it went through. What ``stops`` always does, whatever the disk says.
        """
        refused = self.device.medium.refused
        try:
            await action
        except StorageProblem as problem:
            if stops:
                raise Violation(f"stopping was refused: {problem}") from problem
            if self.device.medium.refused == refused and problem.cause is not Cause.not_owner:
                raise Violation(f"refused without a cause: {problem}") from problem
            return False
        return True
