"""Picking files, and writing into fields."""

from playwright.sync_api import FilePayload, Page, expect
from walk import LIMIT_MS, tap


def write(page: Page, label: str, text: str) -> None:
    box = page.get_by_label(label).first
    expect(box).to_be_visible(timeout=LIMIT_MS)
    box.click(force=True)
    page.keyboard.type(text)


def pick(page: Page, name: str, content: str, *, by: str = "Open a file") -> None:
    with page.expect_file_chooser() as chooser:
        tap(page, by)
    file = FilePayload(name=name, mimeType="application/json", buffer=content.encode())
    chooser.value.set_files(files=[file])
