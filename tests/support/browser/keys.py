"""The keyboard on a page, and the pixels of the focus ring."""

import base64
import re

from playwright.sync_api import Page

SETTLE_MS = 80


MOST_TABS = 80  # only so that a missing button ends the test


def focused(page: Page) -> str:
    """What a screen reader says of the focused element."""
    said = page.evaluate(
        "() => { const on = document.activeElement;"
        " return on.getAttribute('aria-label') || on.innerText || ''; }"
    )
    return str(said)


def walk_to(page: Page, name: str, *, key: str = "Tab") -> None:
    """Presses Tab until the named element has the focus; a slow page moves it some time after the key."""
    for _ in range(MOST_TABS):
        rests = [re.match(name, focused(page)) is not None]
        page.wait_for_timeout(SETTLE_MS)
        rests.append(re.match(name, focused(page)) is not None)
        if all(rests):
            return
        if not any(rests):
            page.keyboard.press(key)
            page.wait_for_timeout(SETTLE_MS)
    raise AssertionError(f"the keyboard never came to “{name}”; it is on “{focused(page)}”")


def press(page: Page, name: str, *, with_key: str = "Enter", key: str = "Tab") -> None:
    walk_to(page, name, key=key)
    page.wait_for_timeout(SETTLE_MS)  # the client hears of the focus later than the page
    page.keyboard.press(with_key)


COUNT_PIXELS = """async ([png, red, green, blue]) => {
  const picture = await createImageBitmap(await (await fetch(`data:image/png;base64,${png}`)).blob());
  const canvas = new OffscreenCanvas(picture.width, picture.height).getContext("2d");
  canvas.drawImage(picture, 0, 0);
  const pixels = canvas.getImageData(0, 0, picture.width, picture.height).data;
  let count = 0;
  for (let at = 0; at < pixels.length; at += 4) {
    count += pixels[at] === red && pixels[at + 1] === green && pixels[at + 2] === blue;
  }
  return count;
}"""


def pixels_of(page: Page, colour: str) -> int:
    """The number of pixels of the page that have exactly this colour (#rrggbb)."""
    png = base64.b64encode(page.screenshot()).decode()
    return int(page.evaluate(COUNT_PIXELS, [png, *bytes.fromhex(colour[1:])]))
