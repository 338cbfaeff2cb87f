"""Devices with windows over simulated disks and browsers, and one seeded clock over all of them."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any

from recording_cues import RecordingCuePlayer
from simulation.disk import Fault, SimulatedDisk
from simulation.facts import Facts, Held, seen_in
from simulation.mounted import close_all, mount
from simulation.noting import NotingStore
from simulation.shelves import LockHold, SimulatedLock, SimulatedShelves

from companion.services.files import FilesInHand, PickedFile
from companion.window.folder_records import FolderRecords
from companion.window.records import READ_ONLY
from companion.window.window import Window
from engine.plan.plan import SessionPlan
from storage.browser.store import BrowserStore
from storage.files.computer import Computer
from storage.folder.owner import Owners
from storage.folder.store import FolderStore
from storage.store import Store
from storage.trainees import TraineeHere

BEGAN = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)
ZONES = ("Europe/Berlin", "Europe/London", "America/New_York", "Asia/Kolkata", "Pacific/Auckland", "UTC")


class DeviceClock:
    """The two clocks of a device: the world's time since its start, and a wall clock that may be off."""

    def __init__(self) -> None:
        self.ms = 0
        self.off_ms = 0

    def monotonic_ms(self) -> int:
        return self.ms

    def now(self) -> datetime:
        return BEGAN + timedelta(milliseconds=self.ms + self.off_ms)


async def _no_filling(_: Store) -> None:
    """No demo is put into a new folder."""


class NotedFolder(FolderRecords):
    """A data folder whose acknowledged changes are noted."""

    def __init__(self, device: FolderDevice, token: str) -> None:
        super().__init__(device.owners, device.folder, token, fill=_no_filling)
        self._facts = device.facts

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Any, str]:
        store, reason = await super().open(take_over=take_over, on_lost=on_lost)
        return NotingStore(store, self._facts), reason

    async def only_read(self) -> Any:
        return NotingStore(await super().only_read(), self._facts)

    def holds(self) -> bool:
        return self._ownership is not None and self._ownership.holds()


class NotedShelves:
    """A browser's records as one window has them, in the way of ``BrowserRecords``."""

    def __init__(self, device: BrowserDevice) -> None:
        self._device = device
        self._hold: LockHold | None = None

    async def trainees(self) -> tuple[TraineeHere, ...]:
        return ()

    async def add(self) -> str:
        raise NotImplementedError

    def choose(self, key: str) -> None:
        self.close()
        self._hold = None

    async def open(self, *, take_over: bool, on_lost: Callable[[], None]) -> tuple[Any, str]:
        if self._hold is None:
            self._hold = LockHold(self._device.lock, on_lost)
            self._hold.take(take_over=take_over)
        elif take_over:
            self._hold.take(take_over=True)
        return self._store(self._hold.holds), READ_ONLY.get(self._hold.access, "")

    def _store(self, may_write: Callable[[], bool]) -> Any:
        return NotingStore(BrowserStore(self._device.medium, may_write=may_write), self._device.facts)

    async def only_read(self) -> Any:
        self.close()
        return self._store(lambda: False)

    async def gain(self, _: Callable[[], None]) -> bool:
        return self._hold is not None and self._hold.holds()

    def take_again(self) -> bool:
        return False

    def close(self) -> None:
        if self._hold is not None:
            self._hold.release()

    def holds(self) -> bool:
        return self._hold is not None and self._hold.holds()


class OpenWindow:
    """A window with its cues and the token of its page."""

    def __init__(self, device: Device, records: Any, token: str) -> None:
        self.device, self.records, self.token = device, records, token
        self.cues, self.files = RecordingCuePlayer(), FilesInHand()
        self.window = Window(records, clock=device.clock, cues=self.cues, zone=device.zone)
        self.window.files = self.files
        self.is_open = False

    @property
    def state(self) -> Any:
        return self.window.state

    @property
    def do(self) -> Any:
        return self.window.do

    @property
    def live(self) -> Any:
        return self.window.state.run.live

    @property
    def is_owner(self) -> bool:
        return bool(self.is_open and not self.window.lost and not self.state.read_only)


FOREIGN = ("letter.txt", "sessions/notes.txt", ".draft.json.new", "kit.json.damaged-9.txt", ".git/config")
"""Files of other programs that lie in a data folder."""


def _left_by_others(disk: SimulatedDisk) -> dict[str, bytes]:
    """Puts files of other programs into the data folder; returns what they hold by path."""
    found: dict[str, bytes] = {}
    for name in FOREIGN:
        path, folder = f"/records/{name}", disk.root
        *parts, last = path.strip("/").split("/")
        for part in parts:
            if part not in folder.names:
                disk.name(folder, {part: disk.new(is_folder=True)})
            folder = folder.names[part]
        file = disk.new(is_folder=False)
        found[path] = f"Not of the companion: {name}".encode()
        file.content, file.kept = bytearray(found[path]), found[path]
        disk.name(folder, {last: file})
    disk.sync_all()
    return found


class Device:
    """A phone or computer with one person's records."""

    medium: Any

    def __init__(self, name: str, draw: Random) -> None:
        self.name, self.draw = name, draw
        self.clock, self.facts = DeviceClock(), Facts()
        self.zone = "Europe/Berlin"
        self.foreign: dict[str, bytes] = {}
        self.windows: list[OpenWindow] = []
        self._tokens = 0

    def records(self, token: str) -> Any:
        raise NotImplementedError

    def look(self) -> Any:
        """A store that only reads, with nothing in its memory."""
        raise NotImplementedError

    async def seen(self) -> Held:
        """What it holds now; looking meets no fault, and is no step."""
        fault, self.medium.fault = self.medium.fault, None
        try:
            return await seen_in(self.look())
        finally:
            self.medium.fault = fault

    async def open_window(self, *, token: str = "") -> OpenWindow:
        self._tokens += 1
        token = token or f"page-{self._tokens}"
        one = OpenWindow(self, self.records(token), token)
        self.windows.append(one)
        await one.window.who.begin()
        one.is_open = True
        return one

    @property
    def owner(self) -> OpenWindow | None:
        """The window that may write, if there is one."""
        return next((one for one in self.windows if one.is_owner), None)

    def plant(self, fault: Fault | None) -> None:
        self.medium.plant(fault)

    def die(self, *, power: bool = False) -> None:
        """Ends the process of the device, however far it has come."""
        self.windows = []


class BrowserDevice(Device):
    """Records in a browser; each window is a process of its own."""

    def __init__(self, name: str, draw: Random) -> None:
        super().__init__(name, draw)
        self.medium, self.lock = SimulatedShelves(draw), SimulatedLock()

    def records(self, token: str) -> NotedShelves:
        return NotedShelves(self)

    def look(self) -> BrowserStore:
        return BrowserStore(self.medium, may_write=lambda: False)

    def die(self, *, power: bool = False) -> None:
        super().die(power=power)
        self.lock = SimulatedLock()
        self.medium.dead = False
        self.medium.plant(None)


class FolderDevice(Device):
    """Records in a data folder on a disk, behind one server process with any number of windows."""

    def __init__(self, name: str, draw: Random) -> None:
        super().__init__(name, draw)
        self.medium = SimulatedDisk(draw, self._now_ns)
        self.folder = Path(mount(name, self.medium)) / "records"
        self.foreign = _left_by_others(self.medium)
        self.computer = Computer(id=f"{name}-id", name=name)
        self.owners = Owners(self.computer)

    def _now_ns(self) -> int:
        return round(self.clock.now().timestamp() * 1_000) * 1_000_000

    def records(self, token: str) -> NotedFolder:
        return NotedFolder(self, token)

    def look(self) -> FolderStore:
        return FolderStore(self.folder, may_write=lambda: False)

    def die(self, *, power: bool = False) -> None:
        super().die(power=power)
        self.medium.dead = False
        self.medium.plant(None)
        close_all(self.medium)
        self.owners = Owners(self.computer)
        if power:
            self.medium.cut_power()


class World:
    """All devices, what travels between them, and the time.

    ``mail`` are the files that were handed over: backups, pages, plans and adjustments.
    """

    def __init__(self, draw: Random, samples: Sequence[SessionPlan]) -> None:
        self.draw, self.samples = draw, tuple(samples)
        kinds = (BrowserDevice, FolderDevice)
        self.devices = [draw.choice(kinds)(name, draw) for name in ("first", "second")]
        self.desk: Device = BrowserDevice("desk", draw)
        self.shared_disk = SimulatedDisk(draw, lambda: round(BEGAN.timestamp()) * 1_000_000_000)
        self.shared = Path(mount("shared", self.shared_disk))
        self.mail: list[PickedFile] = []
        self.sessions = 0
        self.marks = 0

    def mark(self) -> str:
        """A word that no other text holds."""
        self.marks += 1
        return f"mark-{self.marks:05}"

    async def pass_ms(self, ms: int) -> None:
        """Lets time pass for everybody, and every window look at its clock."""
        for device in (*self.devices, self.desk):
            device.clock.ms += ms

    async def close(self) -> None:
        for device in (*self.devices, self.desk):
            for one in device.windows:
                one.window.close()
        await asyncio.sleep(0)
