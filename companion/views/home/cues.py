"""Cues: the mix of touch, tones and words, what this device cannot do, and each cue to try."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import flet as ft
import flet.canvas as cv

from companion.views.controls.buttons import bound, quiet_button
from companion.views.controls.choice import choice_row
from companion.views.controls.frame import columns, page_frame
from companion.views.controls.parts import group, notice, section_title, words
from companion.views.controls.safe import safe_component
from companion.views.controls.theme import Role, Space, Type
from companion.views.controls.tick import tick_row
from engine.live.cues import PATTERNS_MS, CueKind

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.cues import Cues
    from companion.services.page_messages import Capabilities
    from companion.state.app import State


TITLE = "Cues"
CUES = {
    CueKind.get_ready: ("Get ready again", "short, long"),
    CueKind.work: ("Work begins", "one long"),
    CueKind.change_side: ("Change sides", "two short"),
    CueKind.rest: ("Rest", "four quick"),
    CueKind.get_down: ("Get down to the floor", "long, short"),
    CueKind.countdown: ("Three, two, one", "one each second"),
    CueKind.block_done: ("Block done", "three even"),
    CueKind.session_done: ("Session done", "three even, one long"),
    CueKind.stop: ("Stop", "two very long"),
}
VOLUMES = (("0.25", "25 %"), ("0.5", "50 %"), ("0.75", "75 %"), ("1.0", "100 %"))
SPOKEN_VOLUMES = "volume"
NO_ANSWER = "The page has not said what this device can do. Load it again."
NO_TOUCH = "This device gives no vibration here. Use tones or words."
MAYBE_TOUCH = "Most computers say that they vibrate and have nothing that does: try one."
NO_TONE = "This device gives no tones here."
TONE_LATER = "Sound is let in by your first tap: where a try stays silent, try once more."
SPOKEN_BY = {
    "device": "Words are spoken by an English voice of this device.",
    "prepared": (
        "This device has no English voice: words come from prepared clips. Names that a coach made up stay "
        "silent."
    ),
    "none": "There is no English voice on this device: words stay silent.",
}
NO_LIGHT = "The screen cannot be kept on from here. Set the device so that it stays on while you train."
ALWAYS = "With the screen off, or another app in front, nothing vibrates: leave this page in view."
ALL_OFF = "Nothing will be felt or heard: keep the clock in view."
PX_PER_MS = 0.06
BAR_PX = 16


@safe_component
def cues_screen(state: State, do: Cues, go: Go) -> ft.Control:
    return page_frame(
        [
            columns(
                [_mix(state, do), _volume(state, do), _limits(do)],
                [group(section_title("Try each"), *(_cue(kind, do) for kind in CUES))],
            )
        ],
        title=TITLE,
        on_back=bound(go.setup),
        wide=True,
    )


def _mix(state: State, do: Cues) -> ft.Control:
    mix = state.device.settings
    rows: list[ft.Control] = []
    for name, label, on in (
        ("haptic", "Touch", mix.haptic),
        ("tone", "Tones", mix.tone),
        ("voice", "Words", mix.voice),
    ):

        async def change(now: bool, name: str = name) -> None:
            await do.set_device(**{name: now})

        rows.append(tick_row(label, on, change))
    silent = not (mix.haptic or mix.tone or mix.voice)
    return group(
        section_title("What tells you", detail="any mix"),
        ft.Column(rows, spacing=0),
        *([notice("caution", ALL_OFF, announce=True)] if silent else []),
    )


def _volume(state: State, do: Cues) -> ft.Control:
    async def choose(value: str) -> None:
        await do.set_device(volume=float(value))

    chosen = str(float(state.device.settings.volume))
    row = choice_row(VOLUMES, chosen, choose, name="Volume", said_before=SPOKEN_VOLUMES)
    return group(section_title("Volume", detail="tones and words"), row)


def on_this_device(able: Capabilities | None) -> Iterator[str]:
    """What this device cannot or may not do, and who speaks, in plain sentences."""
    if able is None:
        yield NO_ANSWER
        return
    yield MAYBE_TOUCH if able.vibrate else NO_TOUCH
    if able.audio != "running":
        yield NO_TONE if able.audio == "none" else TONE_LATER
    yield SPOKEN_BY[able.voice]
    if not able.wake_lock:
        yield NO_LIGHT
    if able.vibrate:
        yield ALWAYS


def _limits(do: Cues) -> ft.Control:
    lines: list[ft.Control] = [words(sentence) for sentence in on_this_device(do.capabilities())]
    return group(section_title("On this device"), *lines)


def _cue(kind: CueKind, do: Cues) -> ft.Control:
    label, pattern = CUES[kind]
    text = ft.Column(
        [
            words(label, size=Type.LEAD, strong=True),
            words(pattern, size=Type.CAPTION, colour=Role.INK_SOFT),
            _pulses(kind),
        ],
        spacing=Space.XS,
        expand=True,
    )
    button = quiet_button("Try", bound(do.try_out, kind), name=f"Try {label}")
    return ft.Row([text, button], spacing=Space.M, vertical_alignment=ft.CrossAxisAlignment.START)


def _pulses(kind: CueKind) -> ft.Control:
    """The pulses to scale, for the eye; a screen reader reads them in words."""
    at, bars = 0.0, []
    for index, length_ms in enumerate(PATTERNS_MS[kind]):
        width = length_ms * PX_PER_MS
        if index % 2 == 0:
            bars.append(cv.Rect(at, 0, max(width, 3), BAR_PX, paint=ft.Paint(color=Role.WORK)))
        at += width
    drawn = cv.Canvas(shapes=list(bars), width=at, height=BAR_PX)
    return ft.Semantics(exclude_semantics=True, content=drawn)
