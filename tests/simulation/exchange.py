"""What travels between devices and from the coach: backups, merges, plans and adjustments; and erasing."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable
from typing import Any

from simulation.facts import Facts
from simulation.hand import Hand, Violation
from simulation.noting import NotingStore
from simulation.small_plans import POOL, small_plan
from simulation.training import some_joint
from simulation.windows import accept
from simulation.world import Device, FolderDevice, OpenWindow

from companion.services.files import PickedFile
from companion.state.backup import Asks
from companion.state.screen import Screen
from engine.base.model import revision_of
from storage.browser.store import BrowserStore
from storage.exchange.backup import Holdings, read_backup
from storage.exchange.device_files import DiskFolder
from storage.exchange.differences import ways_to_settle
from storage.exchange.merge import Keep
from storage.exchange.restore import replace_all
from storage.exchange.shared_folder import merge_through
from storage.files import disk
from storage.folder.owner import FolderLock
from storage.folder.store import FolderStore
from storage.problem import Cause, StorageProblem

BACKUP, PAGE, PLAN, ADJUSTMENT = "session-companion-", "week-", "plan-", "adjustment-"
MOST_MAIL = 12


def _mailed(hand: Hand, beginning: str) -> PickedFile | None:
    """One of the files that were handed over with such a name, mostly the last one."""
    found = [one for one in hand.world.mail if one.name.startswith(beginning)]
    if found and hand.often(0.6):
        return found[-1]
    return hand.draw.choice(found) if found else None


def _post(hand: Hand, saved: list[PickedFile]) -> None:
    """Takes what a window saved to the others."""
    hand.world.mail = [*hand.world.mail, *saved][-MOST_MAIL:]
    saved.clear()


async def save_backup(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.live is not None:
        return
    sure = surely_kept(hand.device.facts)
    if await hand.press(one.do.settings.backup.save()):
        all_in_backup(sure, read_backup(one.files.saved[-1].content, "backup"))
    _post(hand, one.files.saved)


def surely_kept(facts: Facts) -> dict[str, set[str]]:
    """The records and pain notes that were acknowledged by now."""
    return {
        part: {key for key in facts.kept[part] if (part, key) not in facts.maybe}
        for part in ("records", "pain-notes")
    }


def all_in_backup(sure: dict[str, set[str]], held: Holdings) -> None:
    """A backup holds every record and pain note that was acknowledged before."""
    for part, documents in (("records", held.records), ("pain-notes", held.pain_notes)):
        missing = sure[part] - {document.id for document in documents}
        if missing:
            raise Violation(f"a backup lacks {part}: {sorted(missing)}")


async def bring_in(hand: Hand) -> None:
    """Brings a backup in, and answers what is asked: nothing goes unasked, and nothing is missing after."""
    one, picked = hand.owner, _mailed(hand, BACKUP)
    if one is None or one.live is not None or picked is None:
        return
    device, do = hand.device, one.do.settings.backup
    theirs = read_backup(picked.content, picked.name)
    before = {part: dict(device.facts.kept[part]) for part in ("records", "pain-notes", "plans")}
    one.files.to_pick = [picked]
    went, erases = await hand.press(do.pick()), False
    if device.facts.kept["plans"] and before["plans"]:
        _nothing_is_replaced(device, before["plans"])
    for _ in range(8):
        asks = one.state.backup.asks
        if not went or asks is Asks.nothing:
            break
        if asks is Asks.person:
            if hand.often(0.3):
                return
            went = await hand.press(do.bring_in_mine())
        elif asks is Asks.erase:
            erases = hand.often(0.4)
            went = await hand.press(do.erase_too() if erases else do.spare())
        else:
            went = await _decide_each(hand, one)
    if went:
        ids = {document.id for document in (*theirs.records, *theirs.pain_notes)}
        if any(key in ids for _, key in device.facts.maybe):
            device.facts.settle_some(ids, await device.seen())
        _brought_in(device, theirs, before, erases=erases)


async def _decide_each(hand: Hand, one: OpenWindow) -> bool:
    """Decides each of what is in two versions, somehow; whether all could be saved."""
    decided = [
        await hand.press(
            one.do.differences.decide(differs.revision, hand.draw.choice(ways_to_settle(differs)).value)
        )
        for differs in one.state.backup.differences
    ]
    return all(decided)


def _brought_in(device: Device, theirs: Holdings, before: dict[str, dict[str, Any]], *, erases: bool) -> None:
    kept = device.facts.kept
    for part, documents in (("records", theirs.records), ("pain-notes", theirs.pain_notes)):
        for document in documents:
            if document.id not in kept[part] and document.id not in kept["tombstones"]:
                raise Violation(f"{part} {document.id} of a backup was not brought in")
        gone = set(before[part]) - set(kept[part])
        if gone and not erases:
            raise Violation(f"{part} {sorted(gone)} are gone after a backup was brought in, and nobody asked")


def _nothing_is_replaced(device: Device, plans: dict[str, Any]) -> None:
    """Before a person says which to keep, each plan that was here is as it was."""
    for plan_id, plan in plans.items():
        if device.facts.kept["plans"].get(plan_id) != plan:
            raise Violation(f"the plan {plan_id} was replaced by a backup, and nobody asked")


async def _command(device: Device, change: Callable[[Any], Awaitable[Any]]) -> bool:
    """Changes a data folder as the command line does; False where another program has the folder."""
    lock = FolderLock(device.folder, device.computer)  # type: ignore[attr-defined]
    try:
        disk.make_folder(device.folder)  # type: ignore[attr-defined]
        if not lock.take():
            if not device.windows:
                raise Violation("nobody has the folder, and the command line may not change it")
            return False
        if device.owner is not None:
            raise Violation("the command line changes a folder that a window has")
        store = FolderStore(device.folder)  # type: ignore[attr-defined]
        await change(NotingStore(store, device.facts))
    finally:
        lock.release()
    return True


async def command(hand: Hand, change: Callable[[Any], Awaitable[Any]]) -> bool:
    """The command line, whose refusals of the disk are said in a sentence."""
    device = hand.device
    if not isinstance(device, FolderDevice):
        return False
    refused = device.medium.refused
    try:
        return await _command(device, change)
    except (StorageProblem, OSError) as problem:
        asked = isinstance(problem, StorageProblem) and problem.cause is Cause.not_ours
        if device.medium.refused == refused and not asked:
            raise Violation(f"refused without a cause: {problem}") from problem
        return False


async def change_here(hand: Hand, change: Callable[[Any], Awaitable[Any]]) -> None:
    """Changes what a device keeps while no window has it: on the command line, or in a browser."""
    if isinstance(hand.device, FolderDevice):
        await command(hand, change)
    else:
        await hand.press(change(NotingStore(BrowserStore(hand.device.medium), hand.device.facts)))


async def close_all(hand: Hand) -> None:
    """Closes every window of the device, as the command line needs it."""
    for one in hand.device.windows:
        one.window.close()
    hand.device.windows = []


async def erase_one(hand: Hand) -> None:
    """Erases a session or a pain note on the command line, as often as not the one that came last."""
    await close_all(hand)
    kept = hand.device.facts.kept
    known = [*sorted(kept["pain-notes"]), *kept["records"]]
    if known:
        erased = known[-1] if hand.often(0.5) else hand.draw.choice(known)
        now = hand.device.clock.now().replace(microsecond=0)
        await change_here(hand, lambda store: store.sessions.erase(erased, at=now))


async def erase_everything(hand: Hand) -> None:
    """Erases everything in the application; it is as new afterwards."""
    one = hand.owner
    if one is None or one.state.screen in (Screen.running, Screen.hurt, Screen.log):
        return
    await hand.press(one.do.go.settings())
    if await hand.press(one.do.settings.backup.erase_everything()):
        if one.state.screen is not Screen.cautions:
            raise Violation(f"after everything was erased the screen is “{one.state.screen}”")
        await accept(hand)


async def merge(hand: Hand) -> None:
    """Merges through the folder that the devices share."""
    await close_all(hand)
    before = set(hand.device.facts.kept["records"])
    saved = {revision_of(plan) for plan in hand.device.facts.kept["plans"].values()}
    removed = hand.device.facts.removed - saved
    keep = hand.draw.choice((None, *Keep))

    async def change(store: Any) -> None:
        merged = await merge_through(store, DiskFolder(hand.world.shared), keep=keep, same_person=True)
        gone = {one.id for one in merged.brought.gone.records}
        lost = before - set(hand.device.facts.kept["records"]) - gone
        if lost:
            raise Violation(f"a merge lost {sorted(lost)}")
        for plan in hand.device.facts.kept["plans"].values():
            if revision_of(plan) in removed:
                raise Violation(f"a merge brings the plan {plan.id} back, which was removed here")

    await change_here(hand, change)


async def restore(hand: Hand) -> None:
    """Puts a backup in place of everything, on the command line."""
    picked = _mailed(hand, BACKUP)
    if picked is None or not isinstance(hand.device, FolderDevice):
        return
    await close_all(hand)
    holdings, facts = read_backup(picked.content, picked.name), hand.device.facts
    parts = {
        "records": {one.id: one for one in holdings.records},
        "amendments": {one.id: one for one in holdings.amendments},
        "tombstones": {one.record_id: one for one in holdings.tombstones},
        "pain-notes": {one.id: one for one in holdings.pain_notes},
        "plans": {one.id: one for one in holdings.plans},
        "week-notes": {one.iso_week: one for one in holdings.week_notes},
        "profile": dict.fromkeys(("only",)[: len(holdings.profiles)], *holdings.profiles),
        "kit": dict.fromkeys(("only",)[: len(holdings.kits)], *holdings.kits),
        "adjustments": _by_revision(holdings),
    }
    for part, documents in parts.items():
        for key in {**facts.kept[part], **documents}:
            facts.may_be_kept(part, key, documents.get(key))
    facts.erased.clear()  # what a backup brings back is no longer erased
    if await command(hand, lambda store: replace_all(store.inner, holdings)):
        for part, documents in parts.items():
            for key in {**facts.kept[part], **documents}:
                facts.is_kept(part, key, documents.get(key))


def _by_revision(holdings: Holdings) -> dict[str, Any]:
    return {revision_of(one): one for one in holdings.adjustments}


async def write_plan(hand: Hand) -> None:
    """The coach hands a plan over."""
    made = small_plan(hand.draw, hand.draw.randint(1, 5))
    content = json.dumps(made.model_dump(mode="json")).encode()
    _post(hand, [PickedFile(f"{made.id}.json", content)])


async def take_plan(hand: Hand) -> None:
    """Opens a plan that was handed over, saves it, and now and then takes that back."""
    one, picked = hand.owner, _mailed(hand, PLAN)
    if one is None or one.live is not None or picked is None:
        return
    one.files.to_pick = [picked]
    await hand.press(one.do.plans.open_file())
    plan = one.state.plans.shown
    if plan is None:
        raise Violation(f"a plan was refused: {one.state.plans.faults}")
    if await hand.press(one.do.plans.save(plan)) and hand.often(0.2) and one.state.undo is not None:
        await hand.press(one.do.plans.undo())


async def remove_plan(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.live is not None:
        return
    await hand.press(one.do.go.plans())
    plan = hand.draw.choice(one.state.plans.all)
    if await hand.press(one.do.plans.remove(plan)) and hand.often(0.3) and one.state.undo is not None:
        await hand.press(one.do.plans.undo())


async def take_adjustment(hand: Hand) -> None:
    """Opens what the coach asks, and takes it; or removes one that was taken."""
    one, picked = hand.owner, _mailed(hand, ADJUSTMENT)
    if one is None or one.live is not None:
        return
    taken = one.state.plans.adjustments
    if taken and hand.often(0.4):
        await hand.press(one.do.plans.remove_adjustment(hand.draw.choice(taken)))
        return
    if picked is not None:
        one.files.to_pick = [picked]
        await hand.press(one.do.plans.open_file())
        if one.state.plans.adjustment_shown is not None:
            await hand.press(one.do.adjustment.take())


def some_change(hand: Hand) -> dict[str, object]:
    """A change that a coach may ask for."""
    joint, side = some_joint(hand)
    return hand.draw.choice(
        (
            {"kind": "spare", "joint": joint, "side": side},
            {"kind": "rounds", "rounds": hand.draw.randint(1, 3)},
            {"kind": "minutes", "minutes": hand.draw.randint(5, 12)},
            {"kind": "leave_out", "movement": hand.draw.choice(POOL).slug},
            {"kind": "remark", "text": f"Well done {hand.draw.randrange(99)}"},
        )
    )
