"""The service worker where things go wrong: ended at each step, on a full device, with a broken script.

The versions are small, and no application is started. What else may go wrong with versions is in
test_versions.py, and a database that hangs or has another shape too.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from phone_server import serve_folder
from phone_visits import said, version_of
from playwright.sync_api import Browser, BrowserContext, Page
from version_host import ALL_THERE, HEARD, STATE, Host, cache_of, files_of

pytestmark = [pytest.mark.browser, pytest.mark.phone]

MORTAL = """
// Once it is armed, it hangs for ever before or after one of its changes of what is kept, and says so.
{
  const { match, open } = CacheStorage.prototype, { put } = Cache.prototype;
  const noted = (name) => match.call(caches, `/${name}`, { cacheName: "death" });
  const hang = async () => {
    await put.call(await open.call(caches, "death"), "/died", new Response(""));
    await new Promise(() => {});
  };
  let step = 0;
  for (const [of, name] of [[CacheStorage, "delete"], [Cache, "put"], [Cache, "delete"]]) {
    const change = of.prototype[name];
    of.prototype[name] = async function (...given) {
      const armed = await noted("armed");
      if (!armed || await noted("died")) return change.apply(this, given);
      const [last, when] = (await armed.text()).split(" ");
      step += 1;
      const dies = String(step) === last;
      if (dies && when === "before") await hang();
      const changed = await change.apply(this, given);
      if (dies && when === "after") await hang();
      return changed;
    };
  }
}
"""
ARM = """async (plan) => {
  const cache = await caches.open("death");
  await cache.put("/armed", new Response(plan));
}"""
DIED = """async (kind) => {
  while (!window.heard.find((one) => one.kind === kind)) {
    if (await caches.match("/died", { cacheName: "death" })) return true;
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
  return false;
}"""
"""Waits for an answer; whether the worker died first."""
ASK = """kind => {
  window.heard.length = 0;
  navigator.serviceWorker.controller.postMessage({ kind });
}"""
REGISTER = """async () => {
  window.heard = [];
  navigator.serviceWorker.addEventListener("message", ({ data }) => window.heard.push(data));
  await navigator.serviceWorker.register("sw.js", { updateViaCache: "none" });
}"""
WHOLE = """async () => {
  const { version, files } = await (await fetch("files.json")).json();
  const wrong = await Promise.all(Object.entries(files).map(async ([name, { sha256 }]) => {
    const bytes = await (await fetch(name)).arrayBuffer();
    const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const found = Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return found === sha256 ? [] : [name];
  }));
  return [version, wrong.flat()];
}"""
"""The version of the list that is served, and the files that are not what it says."""
FEWEST_STEPS = 8
BROKEN = {
    "does not parse": "}{",
    "throws at once": "throw new Error('at once');",
    "is a page": "<!DOCTYPE html><title>Not found</title>",
    "is missing": None,
}


@pytest.fixture(scope="module")
def mortal(small: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The two versions with a service worker that can be told at which step it ends."""
    root = tmp_path_factory.mktemp("mortal")
    for name in ("first", "second"):
        shutil.copytree(small.with_name(name), root / name)
        script = root / name / "sw.js"
        script.write_text(MORTAL + script.read_text("utf-8"), "utf-8")
    return root / "first"


@pytest.fixture
def fresh(browser: Browser, tmp_path: Path) -> Iterator[Any]:
    """Makes a host and a window in a profile of its own."""
    contexts: list[BrowserContext] = []

    def make(origin: str) -> Host:
        for context in contexts:
            context.close()
        contexts[:] = [browser.new_context()]
        return Host(tmp_path, contexts[0].new_page(), origin)

    with serve_folder(tmp_path) as origin:
        yield lambda: make(origin)
        for context in contexts:
            context.close()


def end_workers(page: Page) -> None:
    devtools = page.context.new_cdp_session(page)
    devtools.send("ServiceWorker.enable")
    devtools.send("ServiceWorker.stopAllWorkers")


def asked_until_it_died(host: Host, *kinds: str) -> bool:
    """Asks for one thing after the other; whether the worker died over one of them."""
    for kind in kinds:
        host.page.evaluate(ASK, kind)
        if host.page.evaluate(DIED, "looked" if kind == "keep" else kind):
            return True
    return False


@pytest.mark.parametrize("when", ["before", "after"])
def test_a_worker_that_is_ended_at_any_step_of_a_new_version_serves_one_whole_version_and_then_the_new(
    fresh: Any, mortal: Path, when: str
) -> None:
    second, died, step = mortal.with_name("second"), 0, 0
    while died == step:
        step += 1
        host: Host = fresh()
        host.put(mortal)
        host.visit()
        host.look()
        host.page.evaluate(ARM, f"{step} {when}")
        host.put(second)
        died += asked_until_it_died(host, "keep", "take")
        end_workers(host.page)
        away = host.app.rename(host.app.with_name("away"))
        host.page.goto(f"{host.origin}/app/icon.svg")
        version, wrong = host.page.evaluate(WHOLE)
        assert version in (version_of(mortal), version_of(second)), step
        assert wrong == [], step
        away.rename(host.app)
        host.visit()
        host.look()
        host.page.goto(f"{host.origin}/app/icon.svg")
        host.visit()
        assert host.look() == sorted([STATE, cache_of(second), "death"]), step
        assert host.page.evaluate(WHOLE) == [version_of(second), []], step
    assert died >= FEWEST_STEPS


def test_a_worker_that_is_ended_at_any_step_of_the_first_visit_keeps_all_at_the_next(
    fresh: Any, mortal: Path
) -> None:
    died, step = 0, 0
    while died == step:
        step += 1
        host: Host = fresh()
        host.put(mortal)
        host.page.goto(f"{host.origin}/app/icon.svg")
        host.page.evaluate(ARM, f"{step} before")
        host.page.evaluate(REGISTER)
        died += host.page.evaluate(DIED, "kept")
        end_workers(host.page)
        host.visit()
        host.look()
        shutil.rmtree(host.app)
        assert host.page.evaluate(WHOLE) == [version_of(mortal), []], step
    assert died >= FEWEST_STEPS - 1


def room(page: Page, origin: str, **quota: int) -> None:
    """Sets how much the browser keeps for the origin; without a number as usual."""
    devtools = page.context.new_cdp_session(page)
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": origin, **quota})


def test_a_version_that_finds_no_room_leaves_the_old_one_working_and_comes_once_there_is_room(
    host: Host, small: Path
) -> None:
    second = small.with_name("second")
    room(host.page, host.origin, quotaSize=1)
    host.put(second)
    host.look()
    assert host.take() == "nothing waits"
    away = host.app.rename(host.app.with_name("away"))
    assert host.page.evaluate(WHOLE) == [version_of(small), []]
    away.rename(host.app)
    room(host.page, host.origin)
    host.look()
    assert host.take() == "taken"
    assert host.page.evaluate(WHOLE) == [version_of(second), []]


def test_on_a_full_device_the_host_answers_and_nothing_counts_as_kept_until_there_is_room(
    fresh: Any, small: Path
) -> None:
    host: Host = fresh()
    host.put(small)
    host.page.goto(f"{host.origin}/app/icon.svg")
    room(host.page, host.origin, quotaSize=1)
    host.visit()
    host.look()
    assert host.page.evaluate(HEARD, "kept") is None
    assert host.page.evaluate(ALL_THERE, files_of(small)) == [200] * len(files_of(small))
    room(host.page, host.origin)
    host.look()
    assert host.page.evaluate(HEARD, "kept")
    shutil.rmtree(host.app)
    assert host.page.evaluate(WHOLE) == [version_of(small), []]


def break_script(app: Path, content: str | None) -> None:
    script = app / "sw.js"
    script.unlink() if content is None else script.write_text(content, "utf-8")


@pytest.mark.parametrize("fault", BROKEN)
def test_a_new_script_that_is_broken_leaves_the_old_one_which_still_brings_new_versions(
    host: Host, small: Path, fault: str
) -> None:
    host.put(small.with_name("second"))
    break_script(host.app, BROKEN[fault])
    host.page.goto(f"{host.origin}/app/icon.svg")
    host.visit()
    host.look()
    host.page.goto(f"{host.origin}/app/icon.svg")
    assert host.title() == "The second"
    shutil.rmtree(host.app)
    end_workers(host.page)
    host.page.goto(f"{host.origin}/app/icon.svg")
    assert host.page.evaluate(WHOLE) == [version_of(small.with_name("second")), []]


@pytest.mark.parametrize("fault", BROKEN)
def test_a_first_script_that_is_broken_is_said_and_a_sound_one_keeps_the_page_at_the_next_visit(
    fresh: Any, small: Path, fault: str
) -> None:
    host: Host = fresh()
    host.put(small)
    break_script(host.app, BROKEN[fault])
    host.page.goto(f"{host.origin}/app/")
    said(host.page, "This browser cannot keep the page: it needs the network each time.")
    host.put(small)  # older than the broken one, which this host then calls current
    host.page.goto(f"{host.origin}/app/")
    host.page.evaluate("async () => { await navigator.serviceWorker.ready; }")
    host.visit()
    host.look()
    shutil.rmtree(host.app)
    assert host.page.evaluate(WHOLE) == [version_of(small), []]
