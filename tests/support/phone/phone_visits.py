"""What a test does with the offline build in a browser: visits it, waits for its words, sees what is kept."""

import json
import shutil
from pathlib import Path
from typing import Any

from flutter_page import enable_semantics
from phone_version import write_list
from playwright.sync_api import BrowserContext, FilePayload, Page
from walk import tap

KEPT_LIMIT_MS = 90_000  # only so that a hang ends
START_LIMIT_MS = 300_000  # likewise


def visited(context: BrowserContext, url: str) -> Page:
    """Opens the build in a window and waits for its first screen."""
    page = context.new_page()
    page.goto(url)
    enable_semantics(page)
    return page


def reloaded(page: Page) -> None:
    page.reload()
    enable_semantics(page)


def await_kept(page: Page) -> None:
    """Waits until the page says that it no longer needs the network."""
    page.wait_for_function("() => document.documentElement.dataset.kept === 'whole'", timeout=KEPT_LIMIT_MS)


def await_python(page: Page) -> None:
    """Waits until Python has started; WebKit takes a minute for it on a busy machine."""
    page.wait_for_function("() => document.documentElement.dataset.python", timeout=START_LIMIT_MS)


def await_memory(page: Page) -> None:
    """Waits until the memory of a started Python is kept for the next start."""
    page.evaluate(MEMORY)


def said(page: Page, text: str) -> None:
    """Waits until the page's own line says something; good news disappears by itself."""
    page.locator("#word", has_text=text).wait_for(state="attached", timeout=KEPT_LIMIT_MS)


def press(page: Page, label: str) -> None:
    """Presses a button of the page's own line."""
    page.locator("#word").get_by_role("button", name=label).click(force=True)


MEMORY = """async () => {
  while (!await caches.match("python-memory")) await new Promise((resolve) => setTimeout(resolve, 100));
}"""

PUT = """([shelf, key, text]) => new Promise((resolve, reject) => {
  const opening = indexedDB.open(`session-companion ${new URL(".", location.href).pathname}`);
  opening.onsuccess = () => {
    const step = opening.result.transaction(shelf, "readwrite");
    step.objectStore(shelf).put({ key, text, at: "" });
    step.oncomplete = () => { opening.result.close(); resolve(); };
    step.onerror = () => reject(step.error);
  };
})"""

ALL = """shelf => new Promise((resolve) => {
  const opening = indexedDB.open(`session-companion ${new URL(".", location.href).pathname}`);
  opening.onsuccess = () => {
    const asking = opening.result.transaction(shelf).objectStore(shelf).getAll();
    asking.onsuccess = () => { opening.result.close(); resolve(asking.result.map((one) => one.text)); };
  };
})"""


DATABASE = """async () => {
  const opening = indexedDB.open(`session-companion ${new URL(".", location.href).pathname}`);
  await new Promise((resolve) => { opening.onsuccess = resolve; });
  const { result } = opening, shelves = {};
  for (const shelf of result.objectStoreNames) {
    const asking = result.transaction(shelf).objectStore(shelf).getAll();
    await new Promise((resolve) => { asking.onsuccess = resolve; });
    shelves[shelf] = Object.fromEntries(asking.result.map((one) => [one.key, one.text]));
  }
  result.close();
  return { number: result.version, shelves };
}"""


def database(page: Page) -> dict[str, Any]:
    """The number of the browser's database, and the text of each document by shelf and key."""
    found: dict[str, Any] = page.evaluate(DATABASE)
    return found


def picked(page: Page, by: str, name: str, content: bytes) -> None:
    """Presses the button that asks for a file, and picks this one."""
    with page.expect_file_chooser() as chooser:
        tap(page, by)
    chooser.value.set_files(files=[FilePayload(name=name, mimeType="application/json", buffer=content)])


def put_kept(page: Page, shelf: str, key: str, text: str) -> None:
    """Puts a document into the browser's database, where a coach's plan would go."""
    page.evaluate(PUT, [shelf, key, text])


def all_kept(page: Page, shelf: str) -> list[dict[str, Any]]:
    return [json.loads(text) for text in page.evaluate(ALL, shelf)]


def version_of(build: Path) -> str:
    return str(json.loads((build / "files.json").read_text(encoding="utf-8"))["version"])


def hosted(root: Path, build: Path) -> None:
    """Has the host of this folder serve a build at /app/, in place of what it served before."""
    shutil.rmtree(root / "app", ignore_errors=True)
    shutil.copytree(build, root / "app")


def renewed(build: Path, target: Path, title: str) -> None:
    """Makes a second version of a build at ``target``, with another title."""
    shutil.copytree(build, target)
    page = target / "index.html"
    page.write_text(
        page.read_text(encoding="utf-8").replace(
            "<title>Session companion</title>", f"<title>{title}</title>"
        ),
        encoding="utf-8",
    )
    write_list(target)
