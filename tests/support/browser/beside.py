"""Awaiting something while Playwright runs."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def done(work: Coroutine[Any, Any, Any]) -> Any:
    """Awaits something in another thread, because Playwright keeps this thread's loop running."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()
