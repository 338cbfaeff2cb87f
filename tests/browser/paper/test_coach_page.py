"""The page for the coach in a browser: on any screen, in the dark, without scripts, and on either paper."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from page_sentences import sentences
from playwright.sync_api import Browser, Page
from pypdf import PdfReader
from wcag_contrast_ratio import rgb

from companion.paper.coach_page import page_html
from companion.samples import sample_plans
from companion.samples.demo import WEEKS, demo_records, story_until
from engine.base.message import Own
from engine.base.periods import iso_week, weeks_until
from engine.coach.page import CoachPage, PageAsked, page_from
from engine.record.profile import Profile

pytestmark = pytest.mark.browser

LAST = date(2026, 3, 1)
"""A Sunday."""
SHEETS = 3
"""Four weeks of three sessions: as many sheets as two people read in a few minutes. † Our judgement, no
source."""
PAPER_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}
"""ISO 216; ANSI/ASME Y14.1."""
POINTS_PER_MM = 72 / 25.4
PICTURES = os.environ.get("COACH_PAGE_PICTURES")
"""A folder for pictures to look at; none are kept without it."""


@pytest.fixture(scope="module")
def made() -> CoachPage:
    """Four weeks of the demo, with a sore knee and a week off."""
    person = Profile(trainee_id="ilka", name="Ilka", zone="Europe/Lisbon")
    plans = sample_plans()
    records = list(demo_records(story_until(LAST), plans, person))
    asked = PageAsked(
        weeks=weeks_until(iso_week(LAST), WEEKS)[2:6],
        questions=(
            Own(own="Is the knee ready for the side lunge?"),
            Own(own="Shall I press more than I row?"),
        ),
    )
    return page_from(
        records, (), profile=person, asked=asked, made_at=datetime(2026, 2, 16, 8, 5, tzinfo=UTC)
    )


@pytest.fixture(scope="module")
def file(made: CoachPage, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("page") / "coach-page.html"
    path.write_text(page_html(made), "utf-8")
    return path


@pytest.fixture
def opened(browser: Browser, file: Path) -> Iterator[Page]:
    """The file as a coach opens it from a folder, with scripts switched off."""
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(file.as_uri())
    yield page
    context.close()


def letters(text: str) -> str:
    """Without what line breaks and joined letters of a typeface change."""
    return "".join(unicodedata.normalize("NFKC", text).split())


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 412, 1280])
def test_the_page_fits_any_width_in_light_and_dark(
    browser: Browser, file: Path, width: int, scheme: str
) -> None:
    context = browser.new_context(viewport={"width": width, "height": 800}, color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    complaints: list[str] = []
    asked: list[str] = []
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(file.as_uri())
    if PICTURES:
        page.screenshot(path=Path(PICTURES) / f"coach-page-{width}-{scheme}.png", full_page=True)
    right = "[...document.querySelectorAll('body *')].map(e => e.getBoundingClientRect().right)"
    assert page.evaluate(f"Math.max(...{right})") <= width
    assert page.evaluate("document.documentElement.scrollWidth") == width
    assert (complaints, asked) == ([], [file.as_uri()])
    context.close()


def test_without_scripts_every_sentence_is_there_to_be_read(opened: Page, made: CoachPage) -> None:
    shown = letters(opened.locator("body").inner_text())
    assert [sentence for sentence in sentences(made) if letters(sentence) not in shown] == []


@pytest.mark.parametrize("selector", ["p.soft", "li b", ".urgent", "h2"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_stands_out_from_its_ground(browser: Browser, file: Path, selector: str, scheme: str) -> None:
    """WCAG 2.2, 1.4.6: 7:1."""
    context = browser.new_context(color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(file.as_uri())
    colour = page.locator(selector).first.evaluate("e => getComputedStyle(e).color")
    ground = page.evaluate("getComputedStyle(document.documentElement).backgroundColor")
    text, behind = ([int(part) / 255 for part in one[4:-1].split(",")] for one in (colour, ground))
    assert rgb(text, behind) >= 7
    context.close()


@pytest.mark.parametrize("paper", PAPER_MM)
def test_on_paper_every_sentence_is_there_on_few_sheets(
    opened: Page, made: CoachPage, paper: str, tmp_path: Path
) -> None:
    printed = tmp_path / f"{paper}.pdf"
    opened.pdf(path=printed, format=paper)
    sheets = PdfReader(printed).pages
    assert len(sheets) <= SHEETS
    width_mm, height_mm = PAPER_MM[paper]
    for sheet in sheets:
        assert float(sheet.mediabox.width) == pytest.approx(width_mm * POINTS_PER_MM, abs=1)
        assert float(sheet.mediabox.height) == pytest.approx(height_mm * POINTS_PER_MM, abs=1)
    shown = letters("".join(sheet.extract_text() for sheet in sheets))
    assert [sentence for sentence in sentences(made) if letters(sentence) not in shown] == []


def test_on_paper_nothing_needs_colour_whatever_the_screen_shows(browser: Browser, file: Path) -> None:
    context = browser.new_context(color_scheme="dark", viewport={"width": 688, "height": 1000})
    page = context.new_page()
    page.goto(file.as_uri())
    page.emulate_media(media="print", color_scheme="dark")
    if PICTURES:
        page.screenshot(path=Path(PICTURES) / "coach-page-paper.png", full_page=True)
    colours = "getComputedStyle(document.querySelector('{}')).{}"
    assert page.evaluate(colours.format("body", "color")) == "rgb(0, 0, 0)"
    assert page.evaluate(colours.format("html", "backgroundColor")) == "rgb(255, 255, 255)"
    assert page.evaluate(colours.format(".part", "fill")) == "rgb(0, 0, 0)"
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_to_complain_of(browser: Browser, file: Path, scheme: str) -> None:
    """axe-core: WCAG 2.2, levels A to AAA, and its best practices."""
    context = browser.new_context(color_scheme=scheme)  # type: ignore[arg-type]
    page = context.new_page()
    page.goto(file.as_uri())
    rules = ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21aa", "wcag22aa", "best-practice"]
    found = Axe().run(page, options={"runOnly": {"type": "tag", "values": rules}})
    assert found.violations_count == 0, found.generate_report()
    assert found.response["passes"]
    context.close()
