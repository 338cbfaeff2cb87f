"""The size of the QR code of a plan's link."""

from __future__ import annotations

from companion.paper.qr import modules_a_side, qr_code
from engine.plan.link import link
from engine.plan.plan import SessionPlan


def qr_modules(plan: SessionPlan, base_address: str) -> int:
    """The modules along one side of the code."""
    code = qr_code(str(link(base_address, plan)))
    assert code is not None, "no QR code is large enough for this plan's link"
    return modules_a_side(code)
