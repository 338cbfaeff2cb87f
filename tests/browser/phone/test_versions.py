"""Versions on the device: brought whole, checked, and served from one only.

The service worker alone: the application is not started, a picture of the build is the window.
"""

import json
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext
from version_host import BEGIN, FIND, HEARD, KEEP, STATE, Host, cache_of

pytestmark = [pytest.mark.browser, pytest.mark.phone]

FAULTS = {
    "damaged": "(new Uint8Array(held)[777] ^= 1, [held, kept.headers])",
    "cut off": "[held.slice(0, 4096), kept.headers]",
    "of another browser": "[held, { ...Object.fromEntries(kept.headers), 'made-in': 'another' }]",
}
SPOIL = """async () => {
  const cache = await caches.open((await caches.keys()).find((key) => !key.startsWith("companion-versions")));
  const kept = await cache.match("python-memory");
  const held = await kept.arrayBuffer();
  const [body, headers] = FAULT;
  await cache.put("python-memory", new Response(body, { headers }));
}"""


KEPT_NAMES = """async () => {
  const caches_ = await Promise.all((await caches.keys()).map((key) => caches.open(key)));
  const kept = await Promise.all(caches_.map((cache) => cache.keys()));
  return kept.flat().map(({ url }) => url.split("/").pop());
}"""

RUNNING = """(whose) => new Promise((resolve) => {
  const opening = indexedDB.open(`session-companion /app/${whose}`, 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore("run", { keyPath: "key" });
  opening.onsuccess = () => {
    const step = opening.result.transaction("run", "readwrite");
    step.objectStore("run").put({ key: "00000000" });
    step.oncomplete = () => { opening.result.close(); resolve(); };
  };
})"""
"""Leaves a session in progress in the database of one of those who train here."""
BOTH = """async () => {
  window.heard.length = 0;
  const tell = (kind) => navigator.serviceWorker.controller.postMessage({ kind });
  const came = async (kind) => {
    while (!window.heard.some((one) => one.kind === kind)) await new Promise((next) => setTimeout(next));
  };
  tell("keep");
  await came("kept");    // what is served is whole; the host is asked next
  tell("take");
  await Promise.all(["looked", "take"].map(came));
}"""
WAITS = """async () => {
  const waits = () => caches.match(new URL("waiting", location.href));
  while (!await waits()) await new Promise((next) => setTimeout(next, 20));
}"""
WORKS = """async () => {
  navigator.serviceWorker.controller.postMessage({ kind: "works" });
  const told = () => caches.match(new URL("works", location.href));
  while (!await told()) await new Promise((next) => setTimeout(next, 20));
}"""


def test_a_version_is_kept_whole_and_answers_when_the_host_is_gone(host: Host, small: Path) -> None:
    shutil.rmtree(host.app)
    names = json.loads((small / "files.json").read_text(encoding="utf-8"))["files"]
    statuses = "names => Promise.all(names.map(async (name) => (await fetch(name)).status))"
    assert host.page.evaluate(statuses, list(names)) == [200] * len(names)
    assert host.page.evaluate("async () => (await fetch('./')).status") == 200
    policy = "async () => (await fetch('./')).headers.get('content-security-policy')"
    assert "connect-src 'self'" in host.page.evaluate(policy)


def test_replies_are_kept_as_the_host_gave_them_so_that_compiled_code_is_kept_with_them(host: Host) -> None:
    address = "async () => (await caches.match('window.js')).url"
    assert host.page.evaluate(address) == f"{host.origin}/app/window.js"


def test_a_new_version_waits_until_it_is_taken_and_then_nothing_of_the_old_one_is_left(
    host: Host, small: Path
) -> None:
    second = small.with_name("second")
    host.put(second)
    assert host.look() == sorted([STATE, cache_of(small), cache_of(second)])
    assert host.title() == "Session companion"
    assert host.take() == "taken"
    assert host.title() == "The second"
    assert host.look() == sorted([STATE, cache_of(second)])


def test_a_version_that_is_taken_while_the_host_is_asked_does_not_wait_again(host: Host, small: Path) -> None:
    host.put(small.with_name("second"))
    host.look()
    host.page.evaluate(BOTH)
    assert not host.page.evaluate("async () => Boolean(await caches.match('waiting'))")


def test_a_new_version_is_not_taken_while_another_window_is_open(
    host: Host, small: Path, context: BrowserContext
) -> None:
    host.page.evaluate(WORKS)
    host.put(small.with_name("second"))
    host.look()
    other = context.new_page()
    other.goto(f"{host.origin}/app/icon.svg")
    assert host.take() == "another window"
    assert host.title() == "Session companion"
    other.close()
    assert host.take() == "taken"


def test_a_new_version_is_taken_by_the_first_window_after_all_were_closed(
    host: Host, small: Path, context: BrowserContext
) -> None:
    host.put(small.with_name("second"))
    host.look()
    host.page.goto("about:blank")
    host.page = context.new_page()
    host.page.goto(f"{host.origin}/app/icon.svg")
    assert host.title() == "The second"


@pytest.mark.parametrize("whose", ["", f" {'0' * 32}"])
def test_a_new_version_is_not_taken_while_a_session_runs(host: Host, small: Path, whose: str) -> None:
    host.page.evaluate(WORKS)
    host.page.evaluate(RUNNING, whose)
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "a session runs"
    host.page.goto("about:blank")
    host.visit()
    assert host.title() == "Session companion"


@pytest.mark.parametrize("fault", ["a file is missing", "a file is not what the list says", "no list"])
def test_a_broken_or_half_version_leaves_the_old_one_working(host: Host, small: Path, fault: str) -> None:
    host.put(small.with_name("second"))
    match fault:
        case "a file is missing":
            (host.app / "index.html").unlink()
        case "a file is not what the list says":
            (host.app / "index.html").write_text("<title>Half a page", encoding="utf-8")
        case "no list":
            (host.app / "files.json").write_text('{"version": "half', encoding="utf-8")
    host.look()
    assert host.take() == "nothing waits"
    assert host.title() == "Session companion"
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "taken"
    assert host.title() == "The second"


def test_the_memory_of_a_started_python_is_kept_with_its_version_and_goes_with_it(
    host: Host, small: Path
) -> None:
    assert host.page.evaluate(KEEP)
    assert host.page.evaluate(FIND) == 640000
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "taken"
    assert host.page.evaluate(FIND) == "none"


def test_a_memory_that_is_made_while_another_version_is_taken_is_not_kept_with_that(
    host: Host, small: Path
) -> None:
    host.page.evaluate("async () => { window.began = await (await import('./python-memory.js')).place(); }")
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "taken"
    host.page.evaluate(
        "async () => (await import('./python-memory.js')).keep(new Uint8Array(65536).fill(1), window.began)"
    )
    assert host.page.evaluate(FIND) == "none"


@pytest.mark.parametrize("fault", FAULTS)
def test_a_memory_is_not_used_that_is_not_what_was_kept_here(host: Host, fault: str) -> None:
    assert host.page.evaluate(KEEP)
    host.page.evaluate(SPOIL.replace("FAULT", FAULTS[fault]))
    assert host.page.evaluate(FIND) in ("none", "Error: the memory that was kept is damaged")


def test_a_memory_is_not_used_again_where_a_start_from_it_never_came_to_its_end(host: Host) -> None:
    assert host.page.evaluate(KEEP)
    assert host.page.evaluate(FIND) == 640000
    assert host.page.evaluate(FIND) == "none"
    assert "python-memory" not in host.page.evaluate(KEPT_NAMES)


# A new version that nobody asks for, other pages of the origin, and what is missing or hangs


def test_a_version_whose_page_does_nothing_is_replaced_by_the_next_visits(host: Host, small: Path) -> None:
    """Nothing but navigation: the page never asks for a new version, nor says that it works."""
    host.put(small.with_name("second"))
    host.page.goto(f"{host.origin}/app/icon.svg")
    host.page.evaluate(WAITS)
    host.page.goto(f"{host.origin}/app/icon.svg")
    assert host.title() == "The second"


def test_a_version_that_never_worked_is_replaced_although_a_session_waits(host: Host, small: Path) -> None:
    host.page.evaluate(RUNNING, "")
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "taken"


def test_two_builds_on_one_origin_leave_each_other_alone(host: Host, small: Path, tmp_path: Path) -> None:
    shutil.copytree(small.with_name("second"), tmp_path / "other")
    beside = Host(tmp_path, host.page.context.new_page(), host.origin)
    beside.app = tmp_path / "other"
    beside.page.goto(f"{host.origin}/other/icon.svg")
    beside.page.evaluate(BEGIN)
    for _ in range(2):
        assert len(beside.look()) == 4
        assert len(host.look()) == 4
    for one in (host, beside):
        shutil.rmtree(one.app)
    assert host.title() == "Session companion"
    assert beside.title() == "The second"
    names = json.loads((small / "files.json").read_text(encoding="utf-8"))["files"]
    statuses = "names => Promise.all(names.map(async (name) => (await fetch(name)).status))"
    for one in (host, beside):
        assert one.page.evaluate(statuses, list(names)) == [200] * len(names)


def test_another_page_of_the_origin_holds_no_new_version_up(
    host: Host, small: Path, context: BrowserContext, tmp_path: Path
) -> None:
    (tmp_path / "elsewhere.html").write_text("<title>Elsewhere</title>", encoding="utf-8")
    context.new_page().goto(f"{host.origin}/elsewhere.html")
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "taken"


def test_files_that_are_gone_from_what_was_kept_are_brought_again_before_it_counts_as_kept(
    host: Host, small: Path
) -> None:
    gone = """async name => (await caches.open(name)).delete(new URL("window.js", location.href))"""
    assert host.page.evaluate(gone, cache_of(small))
    away = host.app.rename(host.app.with_name("away"))
    host.look()
    assert host.page.evaluate(HEARD, "kept") is None, "without the host it is not whole"
    away.rename(host.app)
    host.look()
    assert host.page.evaluate(HEARD, "kept")
    shutil.rmtree(host.app)
    assert host.page.evaluate("async () => (await fetch('window.js')).status") == 200


def test_a_database_that_never_answers_holds_no_visit_up(
    host: Host, small: Path, context: BrowserContext
) -> None:
    """An upgrade that another page never ends keeps the database from opening."""
    host.page.evaluate(WORKS)
    holding = context.new_page()
    holding.goto(f"{host.origin}/elsewhere")
    holding.evaluate("""() => new Promise((resolve) => {
      const opening = indexedDB.open("session-companion /app/", 1);
      opening.onupgradeneeded = () => {
        const shelf = opening.result.createObjectStore("run");
        const again = () => { shelf.count().onsuccess = again; };
        again();
        resolve();
      };
    })""")
    host.put(small.with_name("second"))
    host.look()
    assert host.take() == "a session runs"
    host.page.goto(f"{host.origin}/app/icon.svg", timeout=20_000)
    assert host.title() == "Session companion"


def test_a_database_of_another_shape_holds_no_visit_up(host: Host, small: Path) -> None:
    host.page.evaluate(WORKS)
    host.page.evaluate("""() => new Promise((resolve) => {
      const opening = indexedDB.open("session-companion /app/", 1);
      opening.onsuccess = () => { opening.result.close(); resolve(); };
    })""")
    host.put(small.with_name("second"))
    host.look()
    host.page.goto("about:blank")
    host.page.goto(f"{host.origin}/app/icon.svg", timeout=20_000)
    assert host.title() == "The second"
