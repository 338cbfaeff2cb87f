"""A page in Debian's WebKitGTK, with the names of Playwright's that the tests use of a page.

WebKit's own driver speaks the WebDriver protocol (W3C) through Selenium; Playwright drives no WebKit but its
own. The page lies on a screen of its own (Xvfb), because WebKitGTK has no headless mode.
"""

from __future__ import annotations

import base64
import os
import re
import shutil
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from playwright.sync_api import Error
from selenium import webdriver
from selenium.common.exceptions import WebDriverException
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

DRIVER = "WebKitWebDriver"
SCREEN = "1280x1024x24"
ARGUMENTS = ("--enable-webgl=0",)
"""Without a graphics card WebGL loses letters once something large was drawn; the client does without it."""
LIMIT_MS = 60_000  # only so that a hang ends
LOOK_S = 0.1

BY_ROLE = """(role, pattern) => {
  const roles = { button: "[role=button],button", textbox: "input,textarea,[role=textbox]" };
  const named = (one) => (one.getAttribute("aria-label") || one.textContent || "").trim();
  const found = document.querySelectorAll(roles[role] ?? `[role=${role}]`);
  return [...found].filter((one) => RegExp(pattern).test(named(one)));
}"""
BY_TEXT = """(pattern) => {
  const says = (text) => RegExp(pattern).test((text || "").trim());
  const inside = (one) => [...one.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE);
  return [...document.querySelectorAll("flt-semantics-host *")].filter((one) =>
    says(one.getAttribute("aria-label")) || inside(one).some((node) => says(node.textContent)));
}"""
BY_SELECTOR = """(selector, text) =>
  [...document.querySelectorAll(selector)].filter((one) => !text || one.textContent.includes(text))"""
BOX = "(one) => JSON.parse(JSON.stringify(one.getBoundingClientRect()))"
SAID = "() => [...document.querySelectorAll('flt-semantics')].map((one) => one.ariaLabel || one.innerText)"
STILL = """async (one) => {
  const MOST_FRAMES = 300, STILL_FRAMES = 12;
  const place = () => {
    one.scrollIntoView({ block: "nearest" });
    const { x, y } = one.getBoundingClientRect();
    return `${x} ${y}`;
  };
  let before = place(), still = 0;
  for (let frames = 0; frames < MOST_FRAMES && still < STILL_FRAMES; frames += 1) {
    await new Promise(requestAnimationFrame);
    const now = place();
    still = now === before ? still + 1 : 0;
    before = now;
  }
}"""
"""Waits until an element stands still: the client lays its screen out again after it has scrolled. Frames are
counted, because a busy machine draws few of them in a second."""
AWAITED = """const back = arguments[arguments.length - 1];
const asked = async () => (SCRIPT)(...[...arguments].slice(0, -1));
asked().then((it) => back([it]), (why) => back(`${why} ${why?.stack}`));"""
"""Gives the answer of a function, awaited, in a list; a text says why there is none."""


class Found:
    """The elements a script finds. Each call looks for them again."""

    def __init__(self, page: WebKitPage, script: str, *arguments: str) -> None:
        self._page, self._script, self._arguments = page, script, arguments
        self.first = self

    def get_by_role(self, role: str, *, name: str) -> Found:
        """One on the whole page, which is enough where a name is nowhere else."""
        return self._page.get_by_role(role, name=name)

    def all(self) -> list[WebElement]:
        try:
            found: list[WebElement] = self._page.script(self._script, *self._arguments)
        except WebDriverException:  # the page is being exchanged
            return []
        return found

    def count(self) -> int:
        return len(self.all())

    def wait_for(self, *, state: str = "visible", timeout: float = LIMIT_MS) -> None:
        """Waits until there is one, or none where the state is ``detached``."""
        self._page.until(lambda: bool(self.all()) is (state != "detached"), timeout_ms=timeout)

    def bounding_box(self, *, timeout: float = LIMIT_MS) -> dict[str, float]:
        with _gone_as_in_playwright():
            self.wait_for(timeout=timeout)
            box: dict[str, float] = self._page.script(BOX, self.all()[0])
        return box

    def click(self, *, force: bool = False) -> None:
        with _gone_as_in_playwright():
            self._click(self.all()[0])

    def _click(self, chosen: WebElement) -> None:
        self._page.evaluate(STILL, chosen)
        ActionChains(self._page.driver, duration=30).move_to_element(chosen).click().perform()

    def scroll_into_view_if_needed(self, *, timeout: float = LIMIT_MS) -> None:
        with _gone_as_in_playwright():
            self.wait_for(timeout=timeout)
            self._page.evaluate(STILL, self.all()[0])

    def evaluate(self, script: str) -> Any:
        return self._page.script(script, self.all()[0])


@contextmanager
def _gone_as_in_playwright() -> Iterator[None]:
    """Tells of an element that has gone as Playwright does."""
    try:
        yield
    except (WebDriverException, IndexError, AssertionError) as gone:
        raise Error(str(gone)) from gone


class Mouse:
    def __init__(self, driver: webdriver.WebKitGTK) -> None:
        self._driver = driver

    def click(self, x: float, y: float) -> None:
        chain = ActionChains(self._driver, duration=30)
        chain.w3c_actions.pointer_action.move_to_location(int(x), int(y)).click()
        chain.perform()


class Keyboard:
    """Keys by the names that Playwright has for them."""

    def __init__(self, driver: webdriver.WebKitGTK) -> None:
        self._driver = driver

    def press(self, key: str) -> None:
        *held, last = [_key(one) for one in key.split("+")]
        chain = ActionChains(self._driver, duration=0)
        for one in held:
            chain.key_down(one)
        chain.send_keys(last)
        for one in reversed(held):
            chain.key_up(one)
        chain.perform()

    def type(self, text: str) -> None:
        ActionChains(self._driver, duration=0).send_keys(text).perform()


def _key(name: str) -> str:
    spelled = re.sub(r"(?<=[a-z])(?=[A-Z])", "_", name).upper()
    return str(getattr(Keys, spelled, " " if name == "Space" else name))


class Profile:
    """What a browser keeps for the pages of one test."""

    def __init__(self, driver: webdriver.WebKitGTK) -> None:
        self._driver = driver

    def cookies(self, _: str) -> list[dict[str, Any]]:
        return list(self._driver.get_cookies()) if self._driver.current_url.startswith("http") else []


class WebKitPage:
    """One window of WebKitGTK's small browser, with a profile that ends with it."""

    def __init__(self, driver: webdriver.WebKitGTK) -> None:
        self.driver, self.context = driver, Profile(driver)
        self.keyboard, self.mouse = Keyboard(driver), Mouse(driver)
        driver.set_script_timeout(LIMIT_MS / 1000)

    def goto(self, url: str) -> None:
        self.driver.get(url)

    def reload(self) -> None:
        self.driver.refresh()

    @property
    def url(self) -> str:
        return str(self.driver.current_url)

    def script(self, function: str, *arguments: Any) -> Any:
        """What a function of the page returns at once."""
        return self.driver.execute_script(f"return ({function})(...arguments)", *arguments)

    def evaluate(self, script: str, argument: Any = None) -> Any:
        """What a function of the page returns, awaited, or the value of an expression."""
        function = script if "=>" in script.partition("\n")[0] else f"() => ({script})"
        answer = self.driver.execute_async_script(AWAITED.replace("SCRIPT", function), argument)
        assert isinstance(answer, list), answer
        return answer[0]

    def wait_for_function(self, script: str, *, arg: Any = None, timeout: float = LIMIT_MS) -> None:
        self.until(lambda: bool(self.evaluate(script, arg)), timeout_ms=timeout)

    def wait_for_timeout(self, ms: float) -> None:
        time.sleep(ms / 1000)

    def until(self, holds: Callable[[], bool], *, timeout_ms: float) -> None:
        end = time.monotonic() + timeout_ms / 1000
        while time.monotonic() < end:
            with suppress(WebDriverException):  # the page is being exchanged
                if holds():
                    return
            time.sleep(LOOK_S)
        raise AssertionError(f"it never came; the page says {self.words()}")

    def words(self) -> list[str]:
        """What the page says, for who asks why a test failed."""
        with suppress(WebDriverException):
            return [one[:60] for one in self.script(SAID) if one][:60]
        return []

    def get_by_role(self, role: str, *, name: str | re.Pattern[str]) -> Found:
        return Found(self, BY_ROLE, role, _pattern(name))

    def get_by_text(self, text: str | re.Pattern[str]) -> Found:
        return Found(self, BY_TEXT, _pattern(text))

    def locator(self, selector: str, *, has_text: str = "") -> Found:
        return Found(self, BY_SELECTOR, selector, has_text)

    def screenshot(self, *, path: Path | None = None) -> bytes:
        png = base64.b64decode(self.driver.get_screenshot_as_base64())
        if path is not None:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(png)
        return png


def _pattern(text: str | re.Pattern[str]) -> str:
    return text.pattern if isinstance(text, re.Pattern) else re.escape(text)


@contextmanager
def webkit_page(
    width: int, height: int, *, language: str = "en_GB.UTF-8", downloads: Path | None = None
) -> Iterator[WebKitPage]:
    """A window of this size in a browser of its own, which saves into ``downloads``."""
    with screen_in_memory() as display, TemporaryDirectory(ignore_cleanup_errors=True) as home:
        options = Options()
        options.binary_location = str(mini_browser())
        for argument in ("--automation", *ARGUMENTS):
            options.add_argument(argument)
        service = Service(shutil.which(DRIVER), env=variables(display, Path(home), language, downloads))
        driver = webdriver.WebKitGTK(options=options, service=service)
        try:
            driver.set_window_size(width, height)
            yield WebKitPage(driver)
        finally:
            driver.quit()


def mini_browser() -> Path:
    """The small browser that Debian has beside WebKitGTK."""
    return next(Path("/usr/lib").glob("*/webkit2gtk-4.1/MiniBrowser"))


def variables(
    display: str, home: Path, language: str = "en_GB.UTF-8", downloads: Path | None = None
) -> dict[str, str]:
    """The environment of a browser on a screen, whose files lie in ``home``."""
    (home / "user-dirs.dirs").write_text(f'XDG_DOWNLOAD_DIR="{downloads or home}"\n', encoding="utf-8")
    folders = {f"XDG_{name}_HOME": str(home) for name in ("CONFIG", "DATA", "CACHE")}
    return os.environ | folders | {"DISPLAY": display, "LANG": language, "LC_ALL": language}


@contextmanager
def screen_in_memory() -> Iterator[str]:
    """A screen in memory; Xvfb chooses a free number and writes it."""
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", SCREEN, "-nolisten", "tcp"]
    screen = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    try:
        with os.fdopen(read) as number:
            yield f":{number.readline().strip()}"
    finally:
        screen.terminate()
        screen.wait()
