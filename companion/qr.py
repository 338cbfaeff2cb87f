"""The QR code of a link: one drawing for the page, its size in modules for whoever has to know.

The text of a link holds only what a code packs at 5.5 bits a character; the address before it takes 8.
"""

from __future__ import annotations

from io import BytesIO
from typing import Any

import segno

from engine.links import link
from engine.plan import SessionPlan

QUIET_MODULES = 4
"""The empty border: ISO/IEC 18004, 6.3.8 (from memory)."""
LARGEST_ON_PAPER_MODULES = 85
"""A larger code is not printed: at 40 mm a module would be under 0.45 mm, too small for a phone held by a
tired hand. † Our judgement, no source."""


def qr_code(link_written: str) -> segno.QRCode:
    """The smallest code that holds the link, with the most error correction that its size has room for.

    Raises ValueError where no code is large enough.
    """
    address, equals, text = link_written.partition("=")
    segments: Any = [
        address + equals,
        *([text] if text else []),
    ]  # packed one by one; segno's types know of one
    return segno.make(segments, error="L", boost_error=True, micro=False)


def modules_a_side(code: segno.QRCode) -> int:
    """Without the quiet border."""
    return int(code.symbol_size(border=0)[0])


def qr_modules(plan: SessionPlan, base_address: str) -> int:
    """The modules a side of the code of a plan's link."""
    return modules_a_side(qr_code(str(link(base_address, plan))))


def qr_svg(link_written: str) -> str:
    """The code as an ``svg`` element for a page, black on white with its quiet border; the place it stands in
    sets its size."""
    return qr_code(link_written).svg_inline(
        border=QUIET_MODULES, dark="#000", light="#fff", omitsize=True, svgclass=None, lineclass=None
    )


def qr_file(link_written: str) -> bytes:
    """The code as an SVG file."""
    out = BytesIO()
    qr_code(link_written).save(out, kind="svg", border=QUIET_MODULES, scale=4, light="#fff")
    return out.getvalue()
