"""A folder for copies in the browser's own file system, where no dialog is needed to choose it."""

from __future__ import annotations

from typing import Any

from playwright.sync_api import Page

# Stands in for the dialog. As the browser's own picker it refuses without a recent tap (File System Access,
# WICG: showDirectoryPicker asks for transient activation). The page's own file system grants everything, so
# the permission is played too.
PICKER = """
window.__taps = [];
window.WebSocket = class extends WebSocket {
  constructor(...given) {
    super(...given);
    if (!/cues/.test(given[0])) return;
    window.__cues = this;
    this.addEventListener("message", ({ data }) => { window.__key = JSON.parse(data).key ?? window.__key; });
  }
};
window.__granted = "granted";
addEventListener("pointerup", () => { window.__tapped = performance.now(); }, { capture: true });
window.showDirectoryPicker = async () => {
  window.__taps.push({ active: navigator.userActivation.isActive, ms: performance.now() - window.__tapped });
  if (!navigator.userActivation.isActive) throw new DOMException("no tap", "SecurityError");
  window.__granted = "granted";
  return (await navigator.storage.getDirectory()).getDirectoryHandle("Training", { create: true });
};
FileSystemHandle.prototype.queryPermission = async () => window.__granted;
FileSystemHandle.prototype.requestPermission = async function () {
  window.__taps.push({ active: navigator.userActivation.isActive, ms: performance.now() - window.__tapped });
  if (!navigator.userActivation.isActive) throw new DOMException("no tap", "SecurityError");
  return window.__granted = window.__answer ?? "granted";
};
"""

# A device whose disk fails when half of a file is written.
FAILS_MIDWAY = """() => {
  const write = FileSystemWritableFileStream.prototype.write;
  FileSystemWritableFileStream.prototype.write = async function (text) {
    await write.call(this, text.slice(0, text.length / 2));
    throw new DOMException("no room", "QuotaExceededError");
  };
}"""

FILES = """async () => {
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle("Training", { create: true });
  const files = {};
  for await (const [name, entry] of folder.entries()) files[name] = await (await entry.getFile()).text();
  return files;
}"""

GONE = """async () => (await navigator.storage.getDirectory()).removeEntry("Training", { recursive: true })"""

PUT = """async ([name, text]) => {
  const root = await navigator.storage.getDirectory();
  const folder = await root.getDirectoryHandle("Training", { create: true });
  const stream = await (await folder.getFileHandle(name, { create: true })).createWritable();
  await stream.write(text);
  await stream.close();
}"""


def files_in(page: Page) -> dict[str, bytes]:
    """What is in the folder, by name."""
    found: dict[str, str] = page.evaluate(FILES)
    return {name: text.encode() for name, text in found.items()}


def taps(page: Page) -> list[dict[str, Any]]:
    """Each time that the browser's own dialog would have been asked for: after how long, and whether the tap
    still counted."""
    found: list[dict[str, Any]] = page.evaluate("window.__taps")
    return found


ASK = """(asked) => new Promise((resolve) => {
  const send = WebSocket.prototype.send;
  WebSocket.prototype.send = function (text) {
    if (typeof text !== "string" || !text.includes('"folder"')) return send.call(this, text);
    WebSocket.prototype.send = send;
    resolve(JSON.parse(text));
  };
  const question = { kind: "folder", ask: 1, key: window.__key, ...asked };
  window.__cues.onmessage({ data: JSON.stringify(question) });
})"""


def answer_to(page: Page, **asked: str) -> dict[str, Any]:
    """What the page answers to whoever speaks for its Python, with the right key unless another is given."""
    answer: dict[str, Any] = page.evaluate(ASK, asked)
    return answer
