"""What must hold on every device: acknowledged is kept, erased is gone, what is derived equals a recount."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from simulation.facts import PARTS, Facts, seen_in
from simulation.hand import Violation
from simulation.promises import sides_are_equal
from simulation.world import Device, World
from stores.recounted import derived, recounted

from companion.state.screen import Screen
from engine.live.state import Status
from storage.store import Store

OF_A_SESSION = (Screen.running, Screen.hurt, Screen.log)


def holds_now(world: World) -> None:
    """What costs nothing to look at after each step."""
    for device in (*world.devices, world.desk):
        owners = [one for one in device.windows if one.records.holds()]
        if len(owners) > 1:
            raise Violation(f"{len(owners)} windows may write on {device.name}")
        for one in device.windows:
            live = one.live if one.is_open else None
            if one.is_owner and not one.records.holds():
                raise Violation("a window offers to change the records, and may not write")
            if one.is_owner and live is None and one.state.screen in OF_A_SESSION:
                raise Violation(f"the screen “{one.state.screen}” is shown, and no session is in progress")
            if live is not None and live.state.status is not Status.running and _to_come(one):
                raise Violation(f"cues are to come in a session that is {live.state.status}")
            if live is not None:
                sides_are_equal(live.state)
            if one.is_owner and one.state.screen is Screen.setup:
                _none_is_of_the_future(one)


def _none_is_of_the_future(one: Any) -> None:
    """No adjustment is in force that was made in the future, or whose last day is over."""
    today = one.do.setup.today()
    for asked in one.do.setup.asked_by_coach():
        if asked.made_at.date() - today > timedelta(days=1) or asked.until < today:
            raise Violation(f"an adjustment is in force on {today} that was made on {asked.made_at}")


def _to_come(one: Any) -> bool:
    """Whether a cue is to come; those of the time that has gone have been played."""
    return any(cue.at_ms > one.live.state.at_ms for cue in one.cues.pending)


async def kept_as_told(device: Device) -> None:
    """What a store that has just been opened reads is what was acknowledged."""
    store = device.look()
    await as_told(store, device.facts)
    await run_as_told(store, device.facts)


async def as_told(store: Store, facts: Facts) -> None:
    seen = await seen_in(store)
    for part in PARTS:
        for key in {**seen[part], **facts.kept[part]}:
            now = seen[part].get(key)
            if now not in facts.possible(part, key):
                raise Violation(
                    f"{part} {key}: {_short(facts.possible(part, key))} was told, {_short(now)} is kept"
                )


def _short(told: Any) -> str:
    return str(told)[:300]


async def run_as_told(store: Store, facts: Facts) -> None:
    """Every acknowledged event of the session in progress is there, and none that nobody tried."""
    run, fact = await store.run.read(), facts.run
    if run is None:
        done = fact is not None and _is_over(fact.opening.run_id, facts)
        if fact is not None and fact.sure and not fact.rotten and not done:
            raise Violation(f"the session in progress is gone, with {len(fact.events)} events")
        return
    if fact is not None and run.run_id in fact.refused and not run.events:
        return
    if fact is None or run.run_id != fact.opening.run_id:
        raise Violation("a session is in progress that nobody started")
    events = list(run.events)
    if events[: len(fact.events)] != fact.events and fact.sure and not fact.rotten:
        raise Violation(f"{len(fact.events)} events were acknowledged, {len(events)} are there")
    if run.session != fact.opening.session:
        raise Violation("the session in progress is not the one that was started")
    for event in events:
        if event not in fact.tried:
            raise Violation(f"an event that nobody wrote is there: {event}")


def _is_over(run_id: str, facts: Facts) -> bool:
    """Whether the session was saved or erased, or may have been."""
    return any(
        run_id in facts.kept[part] or (part, run_id) in facts.maybe for part in ("records", "tombstones")
    )


async def counts_are_recounted(device: Device) -> None:
    """Weeks, loads and history are those of a recount, for a fresh look and for the window in use."""
    stores: list[Any] = [device.look()]
    one = device.owner
    if one is not None:
        stores.append(one.do.opening._context.store.inner)
    for store in stores:
        for what, kept, counted in zip(
            ("weeks", "loads", "history"), await derived(store), await recounted(store), strict=True
        ):
            if kept != counted:
                raise Violation(
                    f"{what} of {device.name} are not those of a recount: {kept} for {counted}"[:600]
                )
    if one is not None and one.live is None:
        history = one.state.learned.history
        if history != (await derived(stores[-1]))[2]:
            raise Violation("the window's history is not that of the records")


async def shows_what_is_kept(device: Device) -> None:
    """What the window in use shows of a person is what is kept, unless it says that something waits."""
    one, store = device.owner, device.look()
    if one is None or one.live is not None or one.state.not_saved:
        return
    plans, kit = await store.plans.all(), await store.person.kit()
    shown = {
        "plans": (one.state.plans.all, plans or one.state.plans.all),
        "adjustments": (one.state.plans.adjustments, await store.person.adjustments()),
        "dumbbells": (one.state.home.kit, kit.dumbbells if kit else one.state.home.kit),
    }
    for what, (now, kept) in shown.items():
        if now != kept:
            raise Violation(f"the window shows other {what} than are kept: {now} for {kept}"[:600])


def erased_is_gone(device: Device) -> None:
    """No text that was erased is in any file or on any shelf of the device."""
    for place, content in device.medium.everything().items():
        for mark in device.facts.erased:
            if mark.encode() in content:
                raise Violation(f"erased text {mark} is still in {place}")


def others_files_are_left(device: Device) -> None:
    """What other programs keep in the data folder is as it was."""
    held = device.medium.everything()
    for path, content in device.foreign.items():
        if held.get(path) != content:
            raise Violation(f"the file {path} of another program is not as it was")


async def holds_at_the_end(world: World) -> None:
    for device in world.devices:
        device.plant(None)
        await kept_as_told(device)
        await counts_are_recounted(device)
        await shows_what_is_kept(device)
        erased_is_gone(device)
        others_files_are_left(device)
