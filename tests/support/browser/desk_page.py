"""The coach's desk in the browser: writing, and dropping files."""

import re

from playwright.sync_api import Page, expect
from walk import LIMIT_MS

INTO = """box => {
  box.blur();
  box.setAttribute("autocorrect", "off");
  box.focus();
}"""
"""Flet's client takes over a field some frames later, sets this attribute, and writes its own text there:
what was typed before is lost."""


def write(page: Page, label: str, text: str) -> None:
    """Clicks into the first field whose label begins with ``label``, and replaces its text."""
    box = page.get_by_role("textbox", name=re.compile(f"^{re.escape(label)}")).first
    expect(box).to_be_visible(timeout=LIMIT_MS)
    box.evaluate(INTO)
    expect(box).to_have_attribute("autocorrect", "on", timeout=LIMIT_MS)
    page.keyboard.press("Control+A")
    page.keyboard.type(text, delay=20)


def named(page: Page, button: str) -> None:
    expect(page.get_by_role("button", name=button).first).to_be_visible(timeout=LIMIT_MS)
