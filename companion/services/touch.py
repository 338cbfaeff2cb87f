"""Touch on a packaged phone: whole patterns by Android's vibrator, or single pulses by Flet."""

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
"""Plays a pattern of milliseconds on and off in turn, on first. Cancelling it stops the device at once."""
Pulse = Callable[[], Awaitable[None]]

HOST = "MAIN_ACTIVITY_HOST_CLASS_NAME"
"""The variable in which an application packaged by Flet names the class of its activity."""
PLYER_LOOKS_FOR = "PythonActivity"
NO_REPEAT = -1
CALL_LIMIT_S = 1.0


class Vibrator(Protocol):
    """Android's vibrator as plyer offers it. Times are seconds, and the first of a pattern is a wait."""

    def pattern(self, pattern: Sequence[float], repeat: int) -> None: ...

    def cancel(self) -> None: ...


async def attempt(call: Awaitable[None]) -> None:
    """Waits up to a second for a call to the device, and lets a refusal pass."""
    with contextlib.suppress(RuntimeError, OSError, TimeoutError):
        async with asyncio.timeout(CALL_LIMIT_S):
            await call


def by_pulses(pulse: Pulse) -> Shake:
    """A short pulse where each pulse of the pattern begins, which is all that Flet offers."""

    async def shake(pattern_ms: Sequence[int]) -> None:
        for at, length_ms in enumerate(pattern_ms):
            if at % 2 == 0:
                await attempt(pulse())
            await asyncio.sleep(length_ms / 1000)

    return shake


def by_patterns(vibrator: Vibrator, *, refusals: tuple[type[Exception], ...] = (RuntimeError,)) -> Shake:
    """The pattern itself, timed by the phone. What the phone refuses is dropped."""

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

    Asking Java for a missing class can end the process. So plyer is used only where the activity has the name
    that plyer looks for, and is told the package of the activity first.
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
