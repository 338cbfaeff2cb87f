"""Everyone who trains on this device: each has records of their own."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection
from typing import Protocol

from storage.store import Store

Fill = Callable[[Store], Awaitable[None]]


class Household(Protocol):
    """Everyone who trains on this device."""

    async def ask_who(self, said: str = "") -> None:
        """Lets go of these records, and asks who trains now; ``said`` tells them what was done before."""
        ...

    async def name_of(self, ids: Collection[str]) -> str:
        """The name of whoever trains here under one of these ids, empty for nobody."""
        ...

    async def ids_of_others(self) -> frozenset[str]:
        """Every id of those who train here besides this person."""
        ...

    async def names(self) -> tuple[str, ...]:
        """The names of all of them."""
        ...

    async def add(self, name: str, fill: Fill) -> None:
        """Opens records for somebody else who trains here; ``fill`` first puts in what there is of theirs."""
        ...


class OnePerson:
    """The household of a device on which nobody else can train."""

    async def ask_who(self, said: str = "") -> None:
        """There is nobody to ask about."""

    async def name_of(self, ids: Collection[str]) -> str:  # noqa: ARG002
        return ""

    async def ids_of_others(self) -> frozenset[str]:
        return frozenset()

    async def names(self) -> tuple[str, ...]:
        return ()

    async def add(self, name: str, fill: Fill) -> None:
        """There is no room for anybody else."""
