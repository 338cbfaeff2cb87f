"""Cues where there is no page: pulses on Python's own timers."""

import asyncio

from companion.services.clock import SystemClock
from companion.services.device_cues import DeviceCuePlayer
from engine.cues import PATTERNS_MS, CueKind, cue


class Device:
    """Counts its pulses; a refusing one raises as Flet does."""

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
        return DeviceCuePlayer(SystemClock(), pulse=self.pulse, keep_awake=self.keep_awake)


def pulses_of(kind: CueKind) -> int:
    return len(PATTERNS_MS[kind][::2])


async def settled() -> None:
    """Until every task but this one has ended, also those that were begun meanwhile."""
    while others := asyncio.all_tasks() - {asyncio.current_task()}:
        await asyncio.wait(others)


async def test_each_pulse_of_a_pattern_is_felt_in_its_order() -> None:
    device = Device()
    player = device.player()
    await player.schedule((cue(CueKind.work, 20, ""), cue(CueKind.rest, 40, "")), session_ms=0)
    await settled()
    assert device.pulses == pulses_of(CueKind.work) + pulses_of(CueKind.rest)


async def test_a_cue_that_is_too_late_is_dropped() -> None:
    device = Device()
    await device.player().schedule((cue(CueKind.work, 0, ""), cue(CueKind.rest, 2_000, "")), session_ms=1_990)
    await settled()
    assert device.pulses == pulses_of(CueKind.rest)


async def test_a_new_list_replaces_the_old_one_and_a_stop_drops_all() -> None:
    device = Device()
    player = device.player()
    await player.schedule((cue(CueKind.work, 60_000, ""),), session_ms=0)
    await player.schedule((cue(CueKind.rest, 60_000, ""),), session_ms=0)
    await player.cancel()
    await settled()
    assert device.pulses == 0


async def test_what_the_device_refuses_stops_nothing() -> None:
    device = Device(refuses=True)
    player = device.player()
    await player.awake(True)
    await player.play(cue(CueKind.stop, 0, ""))
    await settled()
    assert device.pulses == pulses_of(CueKind.stop)


async def test_vibration_can_be_switched_off_and_a_window_without_any_is_silent() -> None:
    device = Device()
    player = device.player()
    await player.set_mix(haptic=False, tone=True, voice=True, volume=1)
    await player.play(cue(CueKind.work, 0, ""))
    await player.awake(True)
    silent = DeviceCuePlayer(SystemClock(), pulse=None, keep_awake=device.keep_awake)
    await silent.schedule((cue(CueKind.work, 0, ""),), session_ms=0)
    await settled()
    assert device.pulses == 0
    assert device.awake
