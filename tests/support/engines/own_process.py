"""A browser without a driver, in a process of its own, with a profile that stays when the process ends.

The drivers give each process a fresh profile. So a page of the test has the application in a frame, presses
its buttons there by their accessible names, and tells a server of the test what it has done.
"""

from __future__ import annotations

import json
import os
import subprocess
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import unquote

from engines import need, path_of_firefox
from phone_server import OutsideRequests, refuse_outside
from webkit_page import ARGUMENTS, mini_browser, screen_in_memory, variables

LIMIT_S = 300  # only so that a hang ends
LOOK_S = 0.2

Step = tuple[str, str]
"""``press`` a button, ``see`` words, or await ``kept``, which says what the page has kept."""

DRIVING = """<!DOCTYPE html><html lang="en"><body>
<iframe src="/app/" style="width: 412px; height: 800px"></iframe>
<script>
  const frame = document.querySelector("iframe");
  const named = (one) => (one.getAttribute("aria-label") || one.textContent || "").trim();
  const all = (selector) => [...frame.contentDocument.querySelectorAll(selector)];
  const look = {
    press: (name) => all("[role=button],button").find((one) => named(one).startsWith(name)),
    see: (text) => all("flt-semantics-host *").find((one) => named(one).includes(text)),
    kept: (what) => frame.contentDocument.documentElement.dataset.kept === what,
    names: () => all("flt-semantics-placeholder")[0],
  };
  const until = async (kind, what) => {
    for (;;) {
      try {
        const found = look[kind](what);
        if (found) return found;
      } catch { /* the frame is being loaded */ }
      await new Promise((next) => setTimeout(next, 100));
    }
  };
  (async () => {
    (await until("names")).click();
    for (const [kind, what] of STEPS) {
      const found = await until(kind, what);
      if (kind === "press") found.click();
      await fetch(`TELL/${kind} ${what}`, { mode: "no-cors" }).catch(() => {});
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


def go_through(engine: str, profile: Path, root: Path, origin: str, steps: Sequence[Step]) -> None:
    """Goes through these steps in a new process on a profile.

    ``root`` is the folder of the host at ``origin``. Raises AssertionError where they were not done in time.
    """
    need(engine)
    told = OutsideRequests()
    with refuse_outside(told) as tell:
        page = DRIVING.replace("STEPS", json.dumps(list(steps))).replace("TELL", tell)
        (root / "driving.html").write_text(page, encoding="utf-8")
        with _process(engine, profile, f"{origin}/driving.html"):
            end = time.monotonic() + LIMIT_S
            while time.monotonic() < end and len(told.seen) < len(steps):
                time.sleep(LOOK_S)
    asked = [unquote(one).removeprefix("GET /") for one in told.seen]
    assert asked == [" ".join(step) for step in steps], asked


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
