"""Cues without a page: touch on Python's own timers."""

import asyncio
import sys
from types import ModuleType

import pytest

from companion.services.clock import SystemClock
from companion.services.cue_player import spoken
from companion.services.device_cues import DeviceCuePlayer
from companion.services.page_messages import SpokenCue
from companion.services.touch import HOST, android_touch, by_patterns, by_pulses
from companion.words.words import ENGLISH
from engine.live.cues import PATTERNS_MS, CueKind, cue


class Device:
    """Counts its pulses. One that refuses raises what Flet raises."""

    def __init__(self, *, refuses: bool = False) -> None:
        self.pulses, self.awake, self.refuses = 0, False, refuses

    async def pulse(self) -> None:
        self.pulses += 1
        if self.refuses:
            raise RuntimeError("no such service")

    async def keep_awake(self, on: bool) -> None:
        if self.refuses:
            raise RuntimeError("no such service")
        self.awake = on

    def player(self) -> DeviceCuePlayer:
        return DeviceCuePlayer(SystemClock(), touch=by_pulses(self.pulse), keep_awake=self.keep_awake)


def silent_cue(kind: CueKind, at_ms: int) -> SpokenCue:
    return spoken(cue(kind, at_ms), ENGLISH)


def pulses_of(kind: CueKind) -> int:
    return len(PATTERNS_MS[kind][::2])


async def settled() -> None:
    """Waits until every other task has ended, including those that begin meanwhile."""
    while others := asyncio.all_tasks() - {asyncio.current_task()}:
        await asyncio.wait(others)


async def test_each_pulse_of_a_pattern_is_felt_in_its_order() -> None:
    device = Device()
    player = device.player()
    await player.schedule((silent_cue(CueKind.work, 20), silent_cue(CueKind.rest, 40)), session_ms=0)
    await settled()
    assert device.pulses == pulses_of(CueKind.work) + pulses_of(CueKind.rest)


async def test_a_cue_that_is_too_late_is_dropped() -> None:
    device = Device()
    await device.player().schedule(
        (silent_cue(CueKind.work, 0), silent_cue(CueKind.rest, 2_000)), session_ms=1_990
    )
    await settled()
    assert device.pulses == pulses_of(CueKind.rest)


async def test_a_new_list_replaces_the_old_one_and_a_stop_drops_all() -> None:
    device = Device()
    player = device.player()
    await player.schedule((silent_cue(CueKind.work, 60_000),), session_ms=0)
    await player.schedule((silent_cue(CueKind.rest, 60_000),), session_ms=0)
    await player.cancel()
    await settled()
    assert device.pulses == 0


async def test_what_the_device_refuses_stops_nothing() -> None:
    device = Device(refuses=True)
    player = device.player()
    await player.awake(True)
    await player.play(silent_cue(CueKind.stop, 0))
    await settled()
    assert device.pulses == pulses_of(CueKind.stop)


async def test_vibration_can_be_switched_off_and_a_window_without_any_is_silent() -> None:
    device = Device()
    player = device.player()
    await player.set_mix(haptic=False, tone=True, voice=True, volume=1)
    await player.play(silent_cue(CueKind.work, 0))
    await player.awake(True)
    silent = DeviceCuePlayer(SystemClock(), touch=None, keep_awake=device.keep_awake)
    await silent.schedule((silent_cue(CueKind.work, 0),), session_ms=0)
    await settled()
    assert device.pulses == 0
    assert device.awake


class JavaException(Exception):
    """As pyjnius raises it, a subclass of Exception alone."""


class Motor:
    """Stands for plyer's vibrator: times in s, a wait first."""

    def __init__(self, *, there: bool = True, refuses: bool = False) -> None:
        self.asked: list[tuple[list[float], int]] = []
        self.there, self.refuses, self.stopped = there, refuses, 0

    def exists(self) -> bool:
        return self.there

    def pattern(self, pattern: list[float], repeat: int) -> None:
        if self.refuses:
            raise JavaException
        self.asked.append((pattern, repeat))

    def cancel(self) -> None:
        self.stopped += 1


@pytest.fixture
def packaged(monkeypatch: pytest.MonkeyPatch) -> Motor:
    """plyer and pyjnius as in an application packaged for Android."""
    motor = Motor()
    for name, more in {"plyer": {"vibrator": motor}, "jnius": {"JavaException": JavaException}}.items():
        module = ModuleType(name)
        vars(module).update(more, __spec__=object())
        monkeypatch.setitem(sys.modules, name, module)
    monkeypatch.setitem(sys.modules, "android", ModuleType("android"))
    return motor


IN_A_PACKAGE = {HOST: "org.example.client.PythonActivity"}


async def test_a_packaged_phone_is_given_the_whole_pattern_and_plyer_the_package_of_the_activity(
    packaged: Motor,
) -> None:
    player = DeviceCuePlayer(SystemClock(), touch=android_touch(IN_A_PACKAGE), keep_awake=Device().keep_awake)
    await player.play(silent_cue(CueKind.rest, 0))
    await settled()
    assert packaged.asked == [([0, *(ms / 1000 for ms in PATTERNS_MS[CueKind.rest])], -1)]
    assert sys.modules["android"].config.JAVA_NAMESPACE == "org.example.client"
    assert packaged.stopped == 0


async def test_a_stop_stills_the_motor_in_the_middle_of_a_pattern(packaged: Motor) -> None:
    player = DeviceCuePlayer(SystemClock(), touch=by_patterns(packaged), keep_awake=Device().keep_awake)
    await player.play(silent_cue(CueKind.work, 0))
    await asyncio.sleep(0)
    await player.cancel()
    await settled()
    assert packaged.stopped == 1


async def test_what_the_motor_refuses_stops_nothing(packaged: Motor) -> None:
    packaged.refuses = True
    touch = android_touch(IN_A_PACKAGE)
    assert touch is not None
    await touch(PATTERNS_MS[CueKind.work])


@pytest.mark.parametrize("host", ["", "org.example.client.MainActivity"])
def test_java_is_asked_for_nothing_where_its_activity_is_another_one(packaged: Motor, host: str) -> None:
    """A failed look-up would end the process."""
    assert android_touch({HOST: host}) is None


def test_a_phone_without_a_motor_and_a_desk_have_no_patterns(packaged: Motor) -> None:
    packaged.there = False
    assert android_touch(IN_A_PACKAGE) is None
    assert android_touch({}) is None
