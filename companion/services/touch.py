"""Touch on a packaged phone: whole patterns by Android's vibrator, or Flet's pulses one by one."""

from __future__ import annotations

import asyncio
import contextlib
import importlib
import importlib.util
import os
import sys
from collections.abc import Awaitable, Callable, Coroutine, Mapping, Sequence
from types import ModuleType, SimpleNamespace
from typing import Any, Protocol

Shake = Callable[[Sequence[int]], Coroutine[Any, Any, None]]
"""Plays a pattern in ms, on and off in turn, on first; where it is cancelled, the device is still at once."""
Pulse = Callable[[], Awaitable[None]]

HOST = "MAIN_ACTIVITY_HOST_CLASS_NAME"
"""Names the class that holds the activity in an application packaged by Flet."""
PLYER_LOOKS_FOR = "PythonActivity"
NO_REPEAT = -1
CALL_LIMIT_S = 1.0


class Vibrator(Protocol):
    """Android's vibrator as plyer has it; times are in s, and the first of a pattern is a wait."""

    def pattern(self, pattern: Sequence[float], repeat: int) -> None: ...

    def cancel(self) -> None: ...


async def attempt(call: Awaitable[None]) -> None:
    """Waits for a call to the device, not long, and does without where it is refused."""
    with contextlib.suppress(RuntimeError, OSError, TimeoutError):
        async with asyncio.timeout(CALL_LIMIT_S):
            await call


def by_pulses(pulse: Pulse) -> Shake:
    """A short pulse where each of the pattern begins: all that Flet offers."""

    async def shake(pattern_ms: Sequence[int]) -> None:
        for at, length_ms in enumerate(pattern_ms):
            if at % 2 == 0:
                await attempt(pulse())
            await asyncio.sleep(length_ms / 1000)

    return shake


def by_patterns(vibrator: Vibrator, *, refusals: tuple[type[Exception], ...] = (RuntimeError,)) -> Shake:
    """The pattern itself, timed by the phone; what it refuses is dropped."""

    async def shake(pattern_ms: Sequence[int]) -> None:
        with contextlib.suppress(*refusals):
            vibrator.pattern([0, *(length_ms / 1000 for length_ms in pattern_ms)], NO_REPEAT)
            try:
                await asyncio.sleep(sum(pattern_ms) / 1000)
            except asyncio.CancelledError:
                vibrator.cancel()
                raise

    return shake


def android_touch(variables: Mapping[str, str] = os.environ) -> Shake | None:
    """Whole patterns by Android's vibrator; None elsewhere, and where plyer would not find the activity.

    Asking Java for a class that is not there can end the whole process, so nothing is asked unless the class
    that plyer looks for is the one that is there; its package is told to plyer first.
    """
    package, _, name = variables.get(HOST, "").rpartition(".")
    if name != PLYER_LOOKS_FOR or not all(map(importlib.util.find_spec, ("plyer", "jnius"))):
        return None
    android = ModuleType("android")
    vars(android)["config"] = SimpleNamespace(JAVA_NAMESPACE=package)
    sys.modules["android"] = android
    refusals = RuntimeError, importlib.import_module("jnius").JavaException
    try:
        vibrator = importlib.import_module("plyer").vibrator
        return by_patterns(vibrator, refusals=refusals) if vibrator.exists() else None
    except refusals:
        return None
