"""The QR code of a link, for paper, for a file and for a screen.

The text of a link uses only characters that a code packs at 5.5 bits each. The address before it takes 8.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from itertools import groupby
from typing import Any

import segno

QUIET_MODULES = 4
"""The empty border around the code: ISO/IEC 18004, 6.3.8 (from memory)."""
LARGEST_ON_PAPER_MODULES = 85
"""Modules a side, above which no code is printed: at 40 mm a module would be under 0.43 mm, too fine for a
phone in a tired hand. † Our judgement, no source."""


def qr_code(link_written: str) -> segno.QRCode | None:
    """The smallest code that holds the link, with as much error correction as fits its size; None where no
    code is large enough."""
    address, equals, text = link_written.partition("=")
    segments: Any = [address + equals, *([text] if text else [])]  # each is packed in its own mode
    try:
        return segno.make(segments, error="L", boost_error=True, micro=False)
    except segno.DataOverflowError:
        return None


def modules_a_side(code: segno.QRCode) -> int:
    """How many modules a side of the code has, without the border."""
    return int(code.symbol_size(border=0)[0])


def qr_for_paper(link_written: str) -> str | None:
    """The code as an ``svg`` element in black on white, as large as its place; None if too fine for paper."""
    code = qr_code(link_written)
    if code is None or modules_a_side(code) > LARGEST_ON_PAPER_MODULES:
        return None
    return code.svg_inline(border=QUIET_MODULES, light="#fff", omitsize=True, svgclass=None, lineclass=None)


def qr_file(link_written: str) -> bytes | None:
    """The code as an SVG file; None where no code is large enough."""
    code, out = qr_code(link_written), BytesIO()
    if code is None:
        return None
    code.save(out, kind="svg", border=QUIET_MODULES, scale=4, light="#fff")
    return out.getvalue()


def dark_runs(code: segno.QRCode) -> Iterator[tuple[int, int, int]]:
    """The dark modules of the code with its border, in runs along each row: column, row and length."""
    for row, modules in enumerate(code.matrix_iter(border=QUIET_MODULES)):
        column = 0
        for dark, run in groupby(modules, key=bool):
            length = len(tuple(run))
            if dark:
                yield column, row, length
            column += length
