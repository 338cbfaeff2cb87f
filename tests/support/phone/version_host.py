"""A small build on a host of its own, and a window that talks to its service worker: no application."""

import json
import shutil
from pathlib import Path

from phone_visits import hosted, renewed, version_of
from playwright.sync_api import Page

BEGIN = """async () => {
  window.heard = [];
  navigator.serviceWorker.addEventListener("message", ({ data }) => window.heard.push(data));
  const controlled = new Promise((resolve) => navigator.serviceWorker.controller ? resolve()
    : navigator.serviceWorker.addEventListener("controllerchange", resolve, { once: true }));
  await navigator.serviceWorker.register("sw.js", { updateViaCache: "none" });
  await controlled;
}"""
ASK = """kind => {
  window.heard.length = 0;
  navigator.serviceWorker.controller.postMessage({ kind });
}"""
HEARD = "kind => window.heard.find((one) => one.kind === kind)"
SMALL = ("index.html", "sw.js", "icon.svg", "manifest.json", "window.js", "python-memory.js", "files.json")
STATE = "companion-versions /app/"
ALL_THERE = "names => Promise.all(names.map(async (name) => (await fetch(name)).status))"

KEEP = """async () => {
  const { keep, place, remembered, trying } = await import("./python-memory.js");
  const gap = (at) => at > 100000 && at < 400000;
  const made = Uint8Array.from({ length: 640000 }, (_, at) => gap(at) ? 0 : at);
  await keep(made, await place());
  const { size, fill } = await remembered();
  const found = new Uint8Array(size);
  await fill(found);
  await trying(false);
  return found.length === made.length && found.every((byte, at) => byte === made[at]);
}"""
FIND = """async () => {
  const { remembered } = await import("./python-memory.js");
  try {
    const memory = await remembered();
    await memory?.fill(new Uint8Array(memory.size));
    return memory ? memory.size : "none";
  } catch (fault) {
    return String(fault);
  }
}"""
"""Finds the size of the memory that is kept, or why there is none."""


class Host:
    """A host whose folder can be exchanged, and one window on it."""

    def __init__(self, root: Path, page: Page, origin: str) -> None:
        self.root, self.app, self.page, self.origin = root, root / "app", page, origin

    def put(self, build: Path) -> None:
        hosted(self.root, build)

    def visit(self) -> None:
        self.page.goto(f"{self.origin}/app/icon.svg")
        self.page.evaluate(BEGIN)

    def look(self) -> list[str]:
        """Lets the worker look at the host for a new version; the names of the caches afterwards."""
        self._ask("keep", "looked")
        names: list[str] = self.page.evaluate("async () => (await caches.keys()).sort()")
        return names

    def take(self) -> str:
        """Asks for the version that waits; what the worker says to that."""
        return str(self._ask("take", "take")["taken"])

    def _ask(self, kind: str, answer: str) -> dict[str, str]:
        self.page.evaluate(ASK, kind)
        self.page.wait_for_function(HEARD, arg=answer)
        found: dict[str, str] = self.page.evaluate(HEARD, answer)
        return found

    def title(self) -> str:
        """The title of the page that is served now."""
        text: str = self.page.evaluate("async () => (await fetch('index.html')).text()")
        return text.partition("<title>")[2].partition("</title>")[0]


def small_build(source: Path, target: Path) -> None:
    """A build of few files, so that a version is brought at once; “second” beside it is another version."""
    staged = target.with_name("staged")
    staged.mkdir()
    for name in SMALL:
        shutil.copyfile(source / name, staged / name)
    renewed(staged, target.with_name("second"), "The second")
    renewed(staged, target, "Session companion")


def cache_of(build: Path) -> str:
    return f"companion /app/ {version_of(build)}"


def files_of(build: Path) -> list[str]:
    return list(json.loads((build / "files.json").read_text("utf-8"))["files"])
