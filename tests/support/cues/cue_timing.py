"""When a page vibrated and sounded, and when its cues were due, on one clock."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import NamedTuple

from playwright.sync_api import Page

# Records what is handed over, how often the page draws, and each call of navigator.vibrate with its distance
# to the nearest tone by the audio clock's own timestamp.
RECORD_FELT = """
window.__felt = [];
window.__drawn = 0;
const draw = window.requestAnimationFrame;
window.requestAnimationFrame = (frame) => draw.call(window, (at) => { window.__drawn += 1; frame(at); });
window.__handed = [];
for (const name of ["WebSocket", "BroadcastChannel"]) {
  window[name] = class extends window[name] {
    constructor(...given) {
      super(...given);
      if (!/cues/.test(given[0])) return;
      this.addEventListener("message", (event) => window.__handed.push(event.data));
    }
  };
}
const tones = new Set();
const start = OscillatorNode.prototype.start;
OscillatorNode.prototype.start = function (at) {
  const tone = { at, context: this.context };
  const stop = this.stop;
  this.stop = function (until) {
    if (until === undefined) tones.delete(tone);
    return stop.apply(this, arguments);
  };
  tones.add(tone);
  return start.apply(this, arguments);
};
const heardAt = (tone, stamp) => stamp.performanceTime + (tone.at - stamp.contextTime) * 1000;
const vibrate = Navigator.prototype.vibrate;
Navigator.prototype.vibrate = function (pattern) {
  const at_ms = performance.now();
  const context = tones.values().next().value?.context;
  const stamp = context?.getOutputTimestamp();
  const apart = Array.from(tones, (tone) => heardAt(tone, stamp) - at_ms);
  const nearest = apart.sort((one, other) => Math.abs(one) - Math.abs(other))[0] ?? null;
  window.__felt.push({ at_ms, pattern: [pattern].flat(), tone_ms: nearest });
  return vibrate.call(this, pattern);
};
"""
NEAR_MS = 250
"""A call belongs to a cue that is due within this time of it."""


class Felt(NamedTuple):
    """One call of vibrate on the page's clock, and the time from it to the nearest tone, None without one."""

    at_ms: float
    pattern_ms: tuple[int, ...]
    tone_ms: float | None


class Due(NamedTuple):
    """A cue as it was handed over, on Python's clock."""

    clock_ms: int
    pattern_ms: tuple[int, ...]


class Told(NamedTuple):
    """A cue and the call it led to, None if it led to none."""

    due: Due
    late_ms: float | None
    tone_ms: float | None


def felt(page: Page) -> list[Felt]:
    calls = page.evaluate("window.__felt")
    return [Felt(one["at_ms"], tuple(one["pattern"]), one["tone_ms"]) for one in calls]


def dues(page: Page) -> list[Due]:
    """The cues of every schedule handed to a page, each once."""
    handed = map(json.loads, page.evaluate("window.__handed"))
    schedules = [one for one in handed if one["kind"] == "schedule"]
    found = {
        Due(one["zero_ms"] + cue["at_ms"], tuple(cue["pattern_ms"]))
        for one in schedules
        for cue in one["cues"]
    }
    return sorted(found)


def told(due: Sequence[Due], calls: Sequence[Felt], *, page_to_clock_ms: float) -> list[Told]:
    """Each cue with the nearest call of its pattern; the last argument is Python's clock less the page's."""
    return [_told(one, calls, page_to_clock_ms) for one in due]


def _told(due: Due, calls: Sequence[Felt], page_to_clock_ms: float) -> Told:
    near = [
        (call.at_ms + page_to_clock_ms - due.clock_ms, call.tone_ms)
        for call in calls
        if call.pattern_ms == due.pattern_ms and abs(call.at_ms + page_to_clock_ms - due.clock_ms) < NEAR_MS
    ]
    late_ms, tone_ms = min(near, key=lambda one: abs(one[0]), default=(None, None))
    return Told(due, late_ms, tone_ms)
