"""Copies into the folder that the person chose: after each session, and where somebody presses Save.

Nothing waits for a copy, and none can fail a save: it is written beside everything else, and whatever is in
its way is one sentence. What could not be copied waits, by months, for the next time. The folder may be one
that several devices reach: what the others wrote there is taken in on the way.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import Mapping
from contextlib import suppress
from datetime import date
from typing import TYPE_CHECKING

from companion.actions.context import Context
from companion.actions.fitting import fit, learn
from companion.services.copies_folder import CopiesFolder
from companion.style.held import held_words
from companion.words.saying import all_said, msgid, said, say, several
from engine.base.periods import month_of
from storage.models import CopiesKept
from storage.problem import StorageProblem

if TYPE_CHECKING:
    from storage.exchange.merge import Keep
    from storage.exchange.shared_folder import Merged

SAVED = msgid("Saved.")
ASKS_AGAIN = msgid("The latest copy for “{folder}” waits: the browser asks you again at the next Save.")
ELSEWHERE = msgid(
    "No copy in “{folder}”: this browser does not know that folder. Choose it again in Settings."
)
WRITING = msgid("Writing copies…")


def copy_soon(context: Context, *days: date) -> None:
    """Copies in the background what was saved for sessions of these days. Only in answer to a tap."""
    if context.state.read_only or context.state.device.settings.copies is None:
        return
    copying = context.copying
    copying.wanted, copying.months = True, copying.months | {month_of(day) for day in days}
    if copying.task is None or copying.task.done():
        copying.task = asyncio.ensure_future(_copy_while_wanted(context))


async def _copy_while_wanted(context: Context) -> None:
    while context.copying.wanted:
        context.copying.wanted = False
        said = await copy_or_say(context)
        state = context.state
        saved = say(SAVED)
        if state.said == saved and said:
            state.said = f"{saved} {said}"
        state.on_change()


async def copy_or_say(context: Context) -> str:
    """Writes what waits; returns in one sentence what came of it, empty without a folder."""
    try:
        return await copy_now(context)
    except StorageProblem as problem:
        return said(problem.what)


async def copy_now(
    context: Context,
    *,
    from_the_start: bool = False,
    same_person: bool = False,
    answers: Mapping[str, Keep] | None = None,
) -> str:
    """Writes what waits, asking for permission where it has lapsed; returns one sentence, empty without a
    folder.

    Raises StorageProblem where the records refuse; what the folder refuses is the sentence.
    ``from_the_start`` reads and writes everything again. ``same_person`` says that whoever else wrote there
    is this person, ``answers`` what to keep where two versions differ.
    """
    async with context.copying.lock:
        kept = context.state.device.settings.copies
        if kept is None:
            return ""
        copies = context.state.backup.copies
        try:
            copies.said = await _copied(context, kept, from_the_start, same_person, answers or {})
        except StorageProblem as problem:
            copies.said = said(problem.what)
            if not problem.is_of_folder:
                raise
        finally:
            copies.busy = ""
        return copies.said


async def _copied(
    context: Context, kept: CopiesKept, everything: bool, same_person: bool, answers: Mapping[str, Keep]
) -> str:
    from storage.exchange.shared_folder import merge_through

    kept = await _with_waiting(context, kept)
    folder = await folder_of(context)
    seen = await folder.look()
    copies = context.state.backup.copies
    copies.offered, copies.name, copies.allowed = seen.offered, seen.name, seen.allowed
    if not seen.name:
        return say(ELSEWHERE, folder=kept.folder)
    if not seen.allowed:
        copies.allowed = await folder.allow()
        if not copies.allowed:
            return say(ASKS_AGAIN, folder=seen.name)
    copies.busy = say(WRITING)
    context.state.on_change()
    try:
        merged = await merge_through(
            context.store,
            folder,
            known={} if everything else _stamps_in(seen.note),
            months=None if everything else kept.waiting,
            same_person=same_person,
            not_of={*await context.household.ids_of_others(), *(() if everything else kept.others)},
            answers=answers,
        )
    except StorageProblem:  # what came before a refusal counts
        await _read_again(context)
        raise
    await folder.note(json.dumps(dict(merged.stamps)))
    await _set_kept(context, CopiesKept(folder=seen.name, written_at=context.now(), others=kept.others))
    await _take_in(context, merged, same_person=same_person)
    copied = say("Copied to “{folder}”.", folder=seen.name)
    return " ".join(filter(None, (copied, _in_words(merged))))


async def _with_waiting(context: Context, kept: CopiesKept) -> CopiesKept:
    """What waits, saved first: a copy that cannot be written now waits through any crash."""
    months, context.copying.months = context.copying.months, frozenset()
    last = context.state.learned.history.last_started
    newest = {month_of(context.here(last).date())} if last else set[str]()
    waiting = tuple(sorted({*kept.waiting, *months, *newest}))
    if waiting == kept.waiting:
        return kept
    return await _set_kept(context, kept.model_copy(update={"waiting": waiting}))


async def _set_kept(context: Context, kept: CopiesKept | None) -> CopiesKept:
    device = context.state.device
    device.settings = device.settings.model_copy(update={"copies": kept})
    await context.keep_settings()
    return kept or CopiesKept(folder="")


async def folder_of(context: Context) -> CopiesFolder:
    """The folder of whoever trains: each person on a device has their own."""
    context.folder.whose = await context.store.device()
    return context.folder


async def choose_folder(context: Context) -> str:
    """Lets the person choose a folder and writes everything into it; returns one sentence."""
    try:
        seen = await (await folder_of(context)).choose()
        if seen is None:
            return ""
        await _set_kept(context, CopiesKept(folder=seen.name))
    except StorageProblem as problem:
        if not problem.is_of_folder:
            raise
        context.state.backup.copies.said = said(problem.what)
        return said(problem.what)
    return await copy_now(context, from_the_start=True)


async def set_strangers_apart(context: Context) -> None:
    """Notes that whoever else wrote in the folder is somebody else, and asks no more."""
    copies, kept = context.state.backup.copies, context.state.device.settings.copies
    if kept is not None:
        ids = {*kept.others, *(one for person in copies.strangers for one in person.ids)}
        await _set_kept(context, kept.model_copy(update={"others": tuple(sorted(ids))}))
    copies.strangers = ()


async def forget_folder(context: Context) -> None:
    """Writes no copies any more; what is in the folder stays."""
    folder = await folder_of(context)
    with suppress(StorageProblem):  # a page that does not answer keeps nobody from stopping
        await folder.forget()
    await _set_kept(context, None)
    copies = context.state.backup.copies
    copies.name, copies.said, copies.strangers = "", "", ()


async def look_at_folder(context: Context) -> None:
    """Asks the page which folder it knows; it stays as it was last seen where there is no answer.

    A window that only reads copies nothing, and does not ask.
    """
    if context.state.read_only:
        return
    with suppress(StorageProblem):
        seen, copies = await (await folder_of(context)).look(), context.state.backup.copies
        copies.offered, copies.name, copies.allowed = seen.offered, seen.name, seen.allowed


def _stamps_in(note: str) -> dict[str, str]:
    """The stamps of the files that were read or written; none where the page holds another text."""
    try:
        found = json.loads(note or "{}")
    except (ValueError, RecursionError):
        return {}
    return {str(name): str(stamp) for name, stamp in found.items()} if isinstance(found, dict) else {}


async def _take_in(context: Context, merged: Merged, *, same_person: bool) -> None:
    """Shows what another device brought, what is left to decide, and who else wrote there."""
    backup, brought = context.state.backup, merged.brought
    backup.copies.strangers = tuple(dict.fromkeys(merged.strangers.values()))
    if not backup.in_backup:
        backup.differences = brought.open
    if any(brought.added) or any(brought.gone) or brought.decided or same_person:
        await _read_again(context)


async def _read_again(context: Context) -> None:
    """Takes what another device brought into what is shown and fitted."""
    state, store = context.state, context.store
    state.home.profile = await store.person.profile()
    state.plans.all = await store.plans.all() or context.samples()
    state.plans.adjustments = await store.person.adjustments()
    owned = await store.person.kit()
    if owned is not None:
        state.home.kit, state.home.without, state.home.rack = owned.dumbbells, owned.absent, owned.rack
    learn(context, await store.sessions.history())
    if state.run.live is None:
        fit(context)


def _in_words(merged: Merged) -> str:
    """What the other devices brought, and what is left to decide."""
    new, gone = merged.brought.added._replace(tombstones=()), merged.brought.gone
    differ = len(merged.brought.open)
    to_decide = several(
        "Settings: {count} difference to decide.", "Settings: {count} differences to decide.", differ
    )
    sentences = (
        say("New from your other device: {held}.", held=held_words(new)) if any(new) else "",
        say("Erased there, so here too: {held}.", held=held_words(gone)) if any(gone) else "",
        to_decide if differ else "",
        all_said(merged.unread),
    )
    return " ".join(filter(None, sentences))
