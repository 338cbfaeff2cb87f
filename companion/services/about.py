"""What runs here."""

from __future__ import annotations

import sys

VERSION = "0.1.0"


def engine_words() -> str:
    """What runs this: “Python 3.14 in the browser”."""
    where = "in the browser" if sys.platform == "emscripten" else f"on {sys.platform}"
    return f"Python {sys.version_info.major}.{sys.version_info.minor} {where}"
