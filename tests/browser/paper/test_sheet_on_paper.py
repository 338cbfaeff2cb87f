"""The sheet of every sample takes one page of A4 and one of Letter, and its code is read from the paper."""

from __future__ import annotations

import io
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from places import SAMPLES
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from companion.paper.sheet import sheet_html
from companion.style.safety import CAUTIONS, URGENT
from engine.base.reading import read
from engine.plan.link import read_link
from engine.plan.plan import SessionPlan, movements_named_in

pytestmark = pytest.mark.browser

BASE = "https://saltmarrow-rowing.example.org/companion/"
SHEETS = sorted(SAMPLES.glob("*.json"))
PAPER_PT = {"A4": (595.3, 841.9), "Letter": (612, 792)}
"""ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch."""


@pytest.fixture
def sheet(browser: Browser) -> Iterator[Page]:
    """A page as wide as the text on paper."""
    page = browser.new_page(viewport={"width": 703, "height": 1000}, device_scale_factor=2)
    yield page
    page.close()


def opened(page: Page, plan: SessionPlan, folder: Path) -> list[str]:
    """Opens the sheet as a file; what it asked for besides itself, and what the browser complained of."""
    path = folder / "sheet.html"
    path.write_text(sheet_html(plan, base_address=BASE), "utf-8")
    noted: list[str] = []
    page.on("request", lambda request: noted.append(request.url))
    page.on("console", lambda message: noted.append(message.text))
    page.goto(path.as_uri())
    return [one for one in noted if one != path.as_uri()]


def words(text: str) -> str:
    """The text without blanks and ligatures: lines end where the paper does."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@pytest.mark.parametrize("paper", PAPER_PT)
@pytest.mark.parametrize("sample", SHEETS, ids=lambda path: path.stem)
def test_a_sheet_is_one_page_with_all_its_words(
    sample: Path, paper: str, sheet: Page, tmp_path: Path
) -> None:
    plan = read(SessionPlan, sample.read_bytes())
    assert opened(sheet, plan, tmp_path) == []
    printed = PdfReader(io.BytesIO(sheet.pdf(format=paper)))
    assert len(printed.pages) == 1
    size = (float(printed.pages[0].mediabox.width), float(printed.pages[0].mediabox.height))
    assert size == pytest.approx(PAPER_PT[paper], abs=1)
    text, known = words(printed.pages[0].extract_text()), plan.known_movements()
    named = {known[slug].name for block in plan.blocks for slug in movements_named_in(block)}
    for sentence in (plan.name, plan.author, plan.note, *plan.stop_rules, *CAUTIONS, URGENT, *named):
        assert words(sentence or "").removesuffix(".") in text
    for block in plan.work_blocks():
        for item in block.movements:
            movement = known[item.movement]
            for sentence in (item.end_point or movement.end_point, *(item.cues or movement.cues)):
                assert words(sentence) in text


@pytest.mark.parametrize("sample", SHEETS, ids=lambda path: path.stem)
def test_the_code_is_read_from_the_page_and_nothing_sticks_out(
    sample: Path, sheet: Page, tmp_path: Path
) -> None:
    plan = read(SessionPlan, sample.read_bytes())
    opened(sheet, plan, tmp_path)
    sheet.emulate_media(media="print")
    assert sheet.evaluate("document.documentElement.scrollWidth <= innerWidth")
    image = Image.open(io.BytesIO(sheet.screenshot(full_page=True))).convert("L")
    (found,) = zxingcpp.read_barcodes(image, formats=zxingcpp.BarcodeFormat.QRCode)
    assert read_link(found.text) == plan
