"""Starts from the memory of a started Python, made on the device; and anew where that memory is damaged."""

from pathlib import Path

import pytest
from phone_server import serve_folder
from phone_visits import await_kept, await_memory, reloaded, visited
from playwright.sync_api import BrowserContext, Page
from walk import shown, tap

pytestmark = [pytest.mark.browser, pytest.mark.phone]

DAMAGE = """async () => {
  const kept = await caches.match("python-memory");
  const held = await kept.arrayBuffer();
  new Uint8Array(held).fill(255, 5000000, 5001000);
  const version = (await caches.keys()).find((key) => !key.startsWith("companion-versions"));
  await (await caches.open(version)).put("python-memory", new Response(held, { headers: kept.headers }));
}"""


def how_python_started(page: Page) -> str:
    return str(page.evaluate("document.documentElement.dataset.python"))


def test_python_starts_from_its_memory_without_network_and_anew_where_that_is_damaged(
    phone_host: Path, context: BrowserContext
) -> None:
    with serve_folder(phone_host) as origin:
        page = visited(context, f"{origin}/app/")
        shown(page, "I have read this")
        assert how_python_started(page) == "anew"
        await_kept(page)
        await_memory(page)
    context.set_offline(True)

    reloaded(page)
    tap(page, "I have read this")
    assert how_python_started(page) == "from memory"
    tap(page, "Start")
    shown(page, "Pause")

    page.evaluate(DAMAGE)
    reloaded(page)
    shown(page, "You were away for")
    assert how_python_started(page) == "anew"
