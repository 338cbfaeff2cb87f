"""A browser without a driver, in a process of its own, with a profile that stays when the process ends.

The drivers give each process a fresh profile. So a page of the test has the application in a frame, presses
its buttons there by their accessible names, and tells a server of the test what it has done.
"""

from __future__ import annotations

import json
import os
import subprocess
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import unquote

from engines import need, path_of_firefox
from phone_server import OutsideRequests, refuse_outside
from webkit_page import ARGUMENTS, mini_browser, screen_in_memory, variables

LIMIT_S = 600  # only so that a hang ends
LOOK_S = 0.2

Step = tuple[str, str]
"""``open`` or ``reload`` an address, have Flutter ``name`` what it draws, ``press`` a button, ``see`` words.
Or wait until the ``host`` is gone; for what the page has ``kept``, its ``memory``, its ``python``, its
``title``; or for what its own line has ``said``."""

DRIVING = """<!DOCTYPE html><html lang="en"><body>
<iframe style="width: 412px; height: 800px"></iframe>
<script>
  const STUCK = 600, LOOK_MS = 100, STILL_LOOKS = 5;
  const frame = document.querySelector("iframe");
  const named = (one) => (one.getAttribute("aria-label") || one.textContent || "").trim();
  const all = (selector) => [...frame.contentDocument.querySelectorAll(selector)];
  const page = () => frame.contentDocument.documentElement.dataset;
  const host = () => fetch(location.href, { cache: "no-store" }).then(() => "there", () => "gone");
  const look = {
    open: (address) => { frame.src = address; return true; },
    reload: () => { frame.contentWindow.location.reload(); return true; },
    name: () => all("flt-semantics-placeholder")[0],
    press: (name) => all("[role=button],button").find((one) => named(one).startsWith(name)),
    see: (text) => all("flt-semantics-host *").find((one) => named(one).includes(text)),
    said: (text) => all("#word").find((one) => named(one).includes(text)),
    host: async (state) => await host() === state,
    kept: (what) => page().kept === what,
    memory: (address) => caches.match(address),
    python: (how) => page().python === how,
    title: (text) => frame.contentDocument.title === text,
  };
  const tell = (what) => fetch(`TELL/${encodeURIComponent(what)}`, { mode: "no-cors" }).catch(() => {});
  const shows = () => [JSON.stringify(page()), ...all("#word, flt-semantics").map(named)].join(" / ");
  const until = async (kind, what) => {
    for (let looks = 1; ; looks += 1) {
      try {
        const found = await look[kind](what);
        if (found) return found;
        if (looks % STUCK === 0) tell(`stuck at ${kind} ${what}: ${shows().slice(0, 2000)}`);
      } catch { /* the frame is being loaded */ }
      await new Promise((next) => setTimeout(next, LOOK_MS));
    }
  };
  // Nobody presses a button in the moment in which it is first drawn.
  const still = async (kind, what) => {
    const looks = [];
    while (looks.length < STILL_LOOKS || looks.slice(-STILL_LOOKS).some((one) => one !== looks.at(-1))) {
      looks.push(await until(kind, what));
      await new Promise((next) => setTimeout(next, LOOK_MS));
      await new Promise(requestAnimationFrame);
    }
    return looks.at(-1);
  };
  (async () => {
    await tell("loaded");
    for (const [kind, what] of STEPS) {
      const found = await (kind === "press" ? still : until)(kind, what);
      if (["press", "name"].includes(kind)) found.click();
      await tell(`${kind} ${what}`);
    }
  })();
</script></body></html>"""

PREFERENCES = {
    "browser.shell.checkDefaultBrowser": False,
    "browser.aboutwelcome.enabled": False,
    "browser.startup.homepage_override.mstone": "ignore",
    "datareporting.policy.dataSubmissionEnabled": False,
    "toolkit.telemetry.enabled": False,
    "app.normandy.enabled": False,
    "network.captive-portal-service.enabled": False,
    "network.connectivity-service.enabled": False,
}
"""What keeps Firefox from showing a page of its own, and from asking others."""


def go_through(
    engine: str,
    profile: Path,
    root: Path,
    origin: str,
    steps: Sequence[Step],
    *,
    once_loaded: Callable[[], None] = lambda: None,
) -> None:
    """Goes through these steps in a new process on a profile.

    ``root`` is the folder of the host at ``origin``; ``once_loaded`` is called when the page of the test has
    come from there. Raises AssertionError where the steps were not done in time, with what the page showed.
    """
    need(engine)
    told = OutsideRequests()
    with refuse_outside(told) as tell:
        page = DRIVING.replace("STEPS", json.dumps(list(steps))).replace("TELL", tell)
        (root / "driving.html").write_text(page, encoding="utf-8")
        with _process(engine, profile, f"{origin}/driving.html"):
            end = time.monotonic() + LIMIT_S
            while not told.seen and time.monotonic() < end:
                time.sleep(LOOK_S)
            once_loaded()
            while len(_done(told)) <= len(steps) and time.monotonic() < end:
                time.sleep(LOOK_S)
    assert _done(told) == ["loaded", *(" ".join(step) for step in steps)], told.seen


def _done(told: OutsideRequests) -> list[str]:
    asked = [unquote(one).removeprefix("GET /") for one in tuple(told.seen)]
    return [one for one in asked if not one.startswith("stuck")]


@contextmanager
def _process(engine: str, profile: Path, url: str) -> Iterator[None]:
    profile.mkdir(exist_ok=True)
    with screen_in_memory() as display:
        if engine == "firefox":
            lines = (
                f"user_pref({json.dumps(name)}, {json.dumps(as_)});" for name, as_ in PREFERENCES.items()
            )
            (profile / "user.js").write_text("\n".join(lines), encoding="utf-8")
            command = [str(path_of_firefox()), "--no-remote", "--profile", str(profile), url]
            environment = os.environ | {"DISPLAY": display, "HOME": str(profile)}
        else:
            command = [str(mini_browser()), *ARGUMENTS, url]
            environment = variables(display, profile)
        browser = subprocess.Popen(
            command, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        try:
            yield
        finally:
            browser.terminate()
            browser.wait()
