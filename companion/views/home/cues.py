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
from companion.words.saying import msgid, say
from engine.live.cues import PATTERNS_MS, CueKind

if TYPE_CHECKING:
    from companion.actions.go import Go
    from companion.actions.home.cues import Cues
    from companion.services.page_messages import Capabilities
    from companion.state.app import State


TITLE = msgid("Cues")
CUES = {
    CueKind.get_ready: (msgid("Get ready again"), msgid("short, long")),
    CueKind.work: (msgid("Work begins"), msgid("one long")),
    CueKind.change_side: (msgid("Change sides"), msgid("two short")),
    CueKind.rest: (msgid("Rest"), msgid("four quick")),
    CueKind.get_down: (msgid("Get down to the floor"), msgid("long, short")),
    CueKind.countdown: (msgid("Three, two, one"), msgid("one each second")),
    CueKind.block_done: (msgid("Block done"), msgid("three even")),
    CueKind.session_done: (msgid("Session done"), msgid("three even, one long")),
    CueKind.stop: (msgid("Stop"), msgid("two very long")),
}
VOLUMES_PERCENT = (25, 50, 75, 100)
SPOKEN_VOLUMES = msgid("volume")
NO_ANSWER = msgid("This page has not heard yet what your device can do. Load it again.")
NO_TOUCH = msgid("This device does not vibrate here. Use tones or words.")
MAYBE_TOUCH = msgid("Try one: most computers say that they vibrate, but cannot.")
NO_TONE = msgid("This device plays no tones here.")
TONE_LATER = msgid("Sound starts with your first tap. If you hear nothing, try once more.")
SPOKEN_BY = {
    "device": msgid("An English voice of this device speaks the words."),
    "prepared": msgid(
        "This device has no English voice: recorded words are played. Names that a coach made up stay silent."
    ),
    "none": msgid("This device has no English voice: words stay silent."),
}
NO_LIGHT = msgid("This page cannot keep the screen on. Set your device to keep it on while you train.")
ALWAYS = msgid("Keep this page in view: with the screen off or another app in front, nothing vibrates.")
ALL_OFF = msgid("You will feel and hear nothing: keep the clock in view.")
PX_PER_MS = 0.06
BAR_PX = 16


@safe_component
def cues_screen(state: State, do: Cues, go: Go) -> ft.Control:
    return page_frame(
        [
            columns(
                [_mix(state, do), _volume(state, do), _limits(do)],
                [group(section_title(say("Try each")), *(_cue(kind, do) for kind in CUES))],
            )
        ],
        title=say(TITLE),
        on_back=bound(go.setup),
        wide=True,
    )


def _mix(state: State, do: Cues) -> ft.Control:
    mix = state.device.settings
    rows: list[ft.Control] = []
    for name, label, on in (
        ("haptic", say("Touch"), mix.haptic),
        ("tone", say("Tones"), mix.tone),
        ("voice", say("Words"), mix.voice),
    ):

        async def change(now: bool, name: str = name) -> None:
            await do.set_device(**{name: now})

        rows.append(tick_row(label, on, change))
    silent = not (mix.haptic or mix.tone or mix.voice)
    return group(
        section_title(say("What tells you"), detail=say("any mix")),
        ft.Column(rows, spacing=0),
        *([notice("caution", say(ALL_OFF), announce=True)] if silent else []),
    )


def _volume(state: State, do: Cues) -> ft.Control:
    async def choose(value: str) -> None:
        await do.set_device(volume=float(value))

    chosen = str(float(state.device.settings.volume))
    volumes = [(str(one / 100), say("{percent} %", percent=one)) for one in VOLUMES_PERCENT]
    row = choice_row(volumes, chosen, choose, name=say("Volume"), said_before=say(SPOKEN_VOLUMES))
    return group(section_title(say("Volume"), detail=say("tones and words")), row)


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
    lines: list[ft.Control] = [words(say(sentence)) for sentence in on_this_device(do.capabilities())]
    return group(section_title(say("On this device")), *lines)


def _cue(kind: CueKind, do: Cues) -> ft.Control:
    label, pattern = map(say, CUES[kind])
    text = ft.Column(
        [
            words(label, size=Type.LEAD, strong=True),
            words(pattern, size=Type.CAPTION, colour=Role.INK_SOFT),
            _pulses(kind),
        ],
        spacing=Space.XS,
        expand=True,
    )
    button = quiet_button(say("Try"), bound(do.try_out, kind), name=say("Try {cue}", cue=label))
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
