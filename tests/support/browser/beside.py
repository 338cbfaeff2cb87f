"""What has to be awaited beside Playwright."""

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def done(work: Coroutine[Any, Any, Any]) -> Any:
    """Awaits something in a thread of its own: the browser's interface keeps this thread's loop running."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()
