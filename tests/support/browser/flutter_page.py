"""What a browser test asks of a page: its accessible names, what it vibrated, its picture."""

from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from playwright.sync_api import Error as BrowserFault
from playwright.sync_api import Page

PHONE = {"width": 412, "height": 915}

# Records every vibration that the page asks for, and passes it on where the browser can vibrate.
RECORD_VIBRATIONS = """
window.__vibrations = [];
const vibrate = Navigator.prototype.vibrate;
Navigator.prototype.vibrate = function (pattern) {
  window.__vibrations.push({ pattern: [pattern].flat(), at_ms: performance.now() });
  return vibrate ? vibrate.call(this, pattern) : true;
};
"""

# A device whose only local voice is English; records what it says.
VOICES = """
window.__spoken = [];
const voices = [
  { name: "far", lang: "en-GB", localService: false, default: true },
  { name: "foreign", lang: "fr-FR", localService: true, default: false },
  { name: "near", lang: "en-GB", localService: true, default: false },
];
speechSynthesis.getVoices = () => voices;
speechSynthesis.speak = (said) => {
  if (said.text) window.__spoken.push(said.text + " / " + said.chosen.name);
};
window.SpeechSynthesisUtterance = class {
  constructor(text) { this.text = text; }
  set voice(voice) { this.chosen = voice; }
};
"""

# A device that keeps its screen on when asked, records each time, and can be hidden.
WAKE_LOCKS = """
window.__locks = [];
navigator.wakeLock.request = async () => {
  const lock = new EventTarget();
  lock.held = true;
  lock.release = async () => { lock.held = false; lock.dispatchEvent(new Event("release")); };
  window.__locks.push(lock);
  return lock;
};
window.__show = (state) => {
  Object.defineProperty(document, "visibilityState", { configurable: true, get: () => state });
  document.dispatchEvent(new Event("visibilitychange"));
};
"""

# Drops pages on the window, each as name and text.
DROP = """(files) => {
  const held = new DataTransfer();
  for (const [name, text] of files) held.items.add(new File([text], name, { type: "text/html" }));
  for (const kind of ["dragover", "drop"])
    window.dispatchEvent(new DragEvent(kind, { dataTransfer: held, cancelable: true, bubbles: true }));
}"""

LAID_OUT = """() => {
  const host = document.createElement("flt-semantics-host"), field = document.createElement("input");
  host.style.position = "absolute";
  field.style = "font-size: 10px";
  host.append(field);
  document.body.append(host);
  const { left, top } = getComputedStyle(host), { fontSize } = getComputedStyle(field);
  host.remove();
  return [left, top, fontSize];
}"""
IN_PLACE = ["0px", "0px", "16px"]
"""Safari lays the names of what is drawn elsewhere, and zooms into smaller fields (flutter issues 190483
and 192327)."""
SEEN = """() => {
  const all = (selector) => [...document.querySelectorAll(selector)];
  const inner = (one) => one.querySelector("flt-semantics") ? "" : one.textContent;
  const names = all("flt-semantics").map((one) => one.ariaLabel || inner(one)).filter(Boolean);
  const lines = all("#word, #starting").map((one) => one.textContent);
  return [JSON.stringify({ ...document.documentElement.dataset }), ...lines, ...names].join("\\n");
}"""
FIRST_FRAME_LIMIT_MS = 60_000  # only so that a hang ends


class Vibration(NamedTuple):
    pattern_ms: tuple[int, ...]
    at_ms: float


def vibrations(page: Page) -> list[Vibration]:
    """The calls of navigator.vibrate since the page was loaded, in order, on the page's clock."""
    return [Vibration(tuple(call["pattern"]), call["at_ms"]) for call in page.evaluate("window.__vibrations")]


def await_vibrations(page: Page, count: int, *, limit_ms: int = 30_000) -> list[Vibration]:
    page.wait_for_function("count => window.__vibrations.length >= count", arg=count, timeout=limit_ms)
    return vibrations(page)


def enable_semantics(page: Page) -> None:
    """Makes the client build its tree of accessible names; afterwards get_by_role works."""
    placeholder = page.locator("flt-semantics-placeholder")
    placeholder.wait_for(state="attached", timeout=FIRST_FRAME_LIMIT_MS)
    placeholder.evaluate("element => element.click()")
    page.locator("flt-semantics").first.wait_for(state="attached", timeout=FIRST_FRAME_LIMIT_MS)


def seen(page: Page) -> str:
    """What a window shows, in words: its address, the page's own line, and the accessible names."""
    try:
        return f"{page.url}\n{page.evaluate(SEEN)}"
    except BrowserFault as fault:
        return f"{page.url} does not answer: {fault}"


def crash(page: Page) -> None:
    """Kills the process of the window, its worker with it."""
    with suppress(BrowserFault):  # it does not live to answer
        page.goto("chrome://crash", timeout=10_000)
    page.close()


def screenshot(page: Page, path: Path) -> Path:
    """Saves a picture of the page once it has painted everything it was sent."""
    page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    path.parent.mkdir(parents=True, exist_ok=True)
    page.screenshot(path=path)
    return path


def foreign(urls: Sequence[str], own: str) -> list[str]:
    """The addresses among `urls` that are not below the page's own."""
    return [url for url in urls if not url.startswith((own, "data:", "blob:"))]
