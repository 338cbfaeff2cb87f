"""What axe finds on a page, and what a finger cannot reach."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

OPTIONS = {"rules": {"meta-viewport": {"enabled": False}}, "resultTypes": ["violations"]}
"""The client forbids zooming by two fingers (test_every_screen.py). Only what is amiss comes back."""
IS_THERE = "() => 'axe' in window"


OUT_OF_REACH = """() => [...document.querySelectorAll("flt-semantics:is([role=button], [role=checkbox])")]
  .filter((one) => {
    const box = one.getBoundingClientRect();
    return box.width && (box.left < 0 || box.right > innerWidth + 0.5 || box.width < 47.5);
  }).map((one) => `out of reach: ${one.getAttribute("aria-label") || one.innerText}`)"""
"""Controls that lie beyond a side of the page or are narrower than a finger (48 px)."""


def violations(page: Page) -> list[str]:
    axe = Axe("") if page.evaluate(IS_THERE) else Axe()
    found = axe.run(page, options=OPTIONS).response["violations"]
    return [f"{one['id']}: {node['html'][:200]}" for one in found for node in one["nodes"]]
