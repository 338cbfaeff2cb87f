"""What happens to windows, processes, disks and clocks: opened, closed, killed, asleep, elsewhere."""

from __future__ import annotations

import errno

from simulation.checks import kept_as_told, run_as_told
from simulation.disk import Fault
from simulation.facts import seen_in
from simulation.hand import Hand, Violation
from simulation.shelves import RUNNING
from simulation.training import STEP_MS, let_pass
from simulation.world import ZONES, FolderDevice

from companion.state.screen import Screen
from engine.record.profile import ProfileFlag
from storage.problem import StorageProblem

CODES = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EACCES, errno.EIO)
A_DAY_MS = 86_400_000
AN_HOUR_MS = 3_600_000
MOST_WINDOWS = 3


async def open_window(hand: Hand) -> None:
    """Opens a window, now and then the page of one that is open; accepts the cautions."""
    device = hand.device
    if len(device.windows) >= MOST_WINDOWS:
        return
    same = hand.draw.choice(device.windows).token if device.windows and hand.often(0.3) else ""
    fault, refused = device.medium.fault, device.medium.refused
    try:
        await device.open_window(token=same)
    except StorageProblem as problem:
        del device.windows[-1]
        reads = fault is not None and fault.reads
        if not reads or device.medium.refused == refused:
            raise Violation(f"a window did not open: {problem}") from problem
        return
    await accept(hand)


async def accept(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.state.screen is not Screen.cautions:
        return
    flags = (hand.draw.choice((ProfileFlag.novice, ProfileFlag.older)),) if hand.often(0.15) else ()
    await hand.press(one.do.opening.accept_cautions(flags))


async def be_there(hand: Hand) -> None:
    """Sees to it that a window is open that may write."""
    if not hand.device.windows:
        await open_window(hand)
    one = hand.owner
    if one is None and hand.device.windows:
        await hand.press(hand.device.windows[0].window.watch())
    one = hand.owner
    if one is None and hand.device.windows and hand.often(0.7):
        await take_over(hand)
    await accept(hand)


async def close_window(hand: Hand) -> None:
    """Closes a page: it is gone for good, or comes back after a moment."""
    if not hand.device.windows:
        return
    one = hand.draw.choice(hand.device.windows)
    await one.window.let_go()
    if one.cues.pending:
        raise Violation("a window that let go has cues to come")
    if hand.often(0.4) and isinstance(hand.device, FolderDevice):  # a browser's window ends with its page
        others = [other for other in hand.device.windows if other is not one]
        await hand.world.pass_ms(hand.draw.choice((1_500, 60_000, AN_HOUR_MS)))
        for other in others if hand.often(0.5) else ():
            await hand.press(other.window.watch())
        await hand.press(one.window.come_back())
        return
    one.window.close()
    hand.device.windows.remove(one)


async def take_over(hand: Hand) -> None:
    """A person goes on in a window that only reads; the other one lets go."""
    readers = [one for one in hand.device.windows if one.is_open and not one.is_owner]
    if not readers:
        return
    one = hand.draw.choice(readers)
    refused = hand.device.medium.refused
    await hand.press(one.window.take_over())
    for other in tuple(hand.device.windows):
        await hand.press(other.window.watch())
    may = hand.device.medium.refused == refused
    if may and not one.is_owner:
        raise Violation(f"a window that took over only reads: {one.state.read_only}")


async def kill(hand: Hand) -> None:
    """The process dies, with or without the power of the whole device."""
    await after_death(hand, power=hand.often(0.5))


async def after_death(hand: Hand, *, power: bool) -> None:
    """What is there after a death is what was acknowledged; then somebody opens a window again."""
    hand.device.die(power=power)
    await kept_as_told(hand.device)
    if power:
        store = hand.device.look()
        hand.device.facts.settle(await seen_in(store), await store.run.read())


async def plant_death(hand: Hand) -> None:
    """The process will die some steps from now."""
    hand.device.plant(Fault(at=hand.draw.randrange(1, 40), power=hand.often(0.5)))


async def plant_refusal(hand: Hand) -> None:
    """The disk will refuse some steps from now: once, for a while, or for long."""
    steps = hand.draw.choice((1, 1, 2, 8, 1_000))
    code, reads = hand.draw.choice(CODES), hand.often(0.2)
    hand.device.plant(Fault(at=hand.draw.choice((1, 1, 2, 3, 5, 9)), code=code, steps=steps, reads=reads))


async def rot(hand: Hand) -> None:
    """A bit of the running record goes wrong while nobody has it open; then somebody opens it again."""
    await after_death(hand, power=True)
    if hand.device.medium.flip_a_bit(RUNNING) and hand.device.facts.run is not None:
        hand.device.facts.run.rotten = True
        run = await hand.device.look().run.read()
        if run is not None:
            await run_as_told(hand.device.look(), hand.device.facts)
        await open_window(hand)
        hand.device.facts.lose_the_rest(await hand.device.look().run.read())


async def mend_disk(hand: Hand) -> None:
    """The disk works again, and windows write what waited."""
    hand.device.plant(None)
    for _ in range(2):
        await let_pass(hand, 2_500)


async def sleep(hand: Hand) -> None:
    """The computer sleeps: the wall clock goes on, the other one may stop."""
    away_ms = hand.draw.choice((5_000, 60_000, 20 * 60_000, 9 * AN_HOUR_MS))
    if hand.often(0.5):
        hand.device.clock.off_ms += away_ms
        await let_pass(hand, 500)
    else:
        await let_pass(hand, away_ms)


async def set_clock(hand: Hand) -> None:
    """Somebody sets the wall clock, forward or back."""
    hand.device.clock.off_ms += hand.draw.choice((-2 * A_DAY_MS, -AN_HOUR_MS, -5_000, 3_000, AN_HOUR_MS))
    await let_pass(hand, 500)


async def travel(hand: Hand) -> None:
    """The device is in another time zone, or the season has changed the clocks."""
    hand.device.zone = hand.draw.choice(ZONES)
    for one in tuple(hand.device.windows):
        one.window.move_to(hand.device.zone, ())
    await let_pass(hand, 500)


async def hours(hand: Hand) -> None:
    await _wait(hand, hand.draw.choice((AN_HOUR_MS, 3 * AN_HOUR_MS, 14 * AN_HOUR_MS)))


async def days(hand: Hand) -> None:
    await _wait(hand, hand.draw.choice((1, 2, 2, 3, 7, 16)) * A_DAY_MS - hand.draw.randrange(3) * AN_HOUR_MS)


async def _wait(hand: Hand, ms: int) -> None:
    """Hours go by in every window; a session in progress takes them for a sleep."""
    await hand.world.pass_ms(ms - STEP_MS)
    await let_pass(hand, STEP_MS)


async def spring(hand: Hand) -> None:
    """Goes to the night in which daylight saving time begins or ends in Europe."""
    now = hand.device.clock.now()
    month, day = hand.draw.choice(((3, 28), (10, 24)))
    night = now.replace(month=month, day=day, hour=23, minute=30)
    ahead_ms = round((night - now).total_seconds() * 1_000)
    if 0 < ahead_ms < 300 * A_DAY_MS:
        await _wait(hand, max(ahead_ms, STEP_MS + 1))
