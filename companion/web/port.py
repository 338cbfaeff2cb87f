"""The usual port of a data folder.

A browser keeps what it knows of a page by its address and port: at another port it would no longer know the
folder for copies. So a data folder has the same port at each start, where nobody else has taken it.
"""

from __future__ import annotations

import socket
from pathlib import Path
from zlib import crc32

FIRST, LAST = 61_000, 65_535
"""Ports that nobody registers (RFC 6335, section 6), above those that Linux gives out by itself."""


def usual_port(folder: Path) -> int:
    """The port of a data folder, or 0, which takes a free one, where another program has it."""
    port = FIRST + crc32(str(folder.resolve()).encode()) % (LAST - FIRST + 1)
    try:
        with socket.create_server(("127.0.0.1", port)):
            return port
    except OSError:
        return 0
