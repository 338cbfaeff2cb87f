"""A backup of everything as a file, the way back from one, and erasing for good."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from companion.actions.context import Context
from companion.actions.copying import copy_or_say, copy_soon, folder_of, look_at_folder
from companion.actions.home.opening import Opening
from companion.state.backup import Asks
from companion.state.screen import Screen
from companion.style.held import held_words, named_words
from companion.words.faults import fault_words
from companion.words.saying import all_said, msgid, said, say, several, words_here
from engine.base.issue import Unreadable
from engine.record.profile import UNNAMED
from storage.exchange.backup import Holdings, gather, read_backup, write_backup
from storage.exchange.bring_in import AnotherPerson, BroughtIn, bring_in
from storage.exchange.merge import Conflict, Keep, union
from storage.problem import StorageProblem
from storage.store import Store

MOST_NAMED = 5
NOTHING_NEW = msgid("All that the backup holds was here already.")


async def save_backup(context: Context) -> str:
    """Saves everything in one file, and copies what waits for it into the chosen folder.

    Says what the file holds, what could not be read, and what came of the copy.
    """
    gathered = await gather(context.store)
    name = context.file_name(f"session-companion-{context.now().date().isoformat()}", "json")
    await context.files.save(name, write_backup(gathered.holdings))
    await context.set_device(backed_up_at=context.now())
    held = held_words(gathered.holdings)
    saved = say("The backup {file} holds {held}.", file=name, held=held)
    copied = await copy_or_say(context)
    return " ".join(filter(None, (saved, all_said(gathered.left_out), copied)))


class Backup:
    def __init__(self, context: Context, opening: Opening) -> None:
        self._context, self._opening = context, opening

    async def look(self) -> None:
        """Counts what erasing would take away; of a backup, what is in two versions stays to be decided."""
        backup = self._context.state.backup
        backup.asks = Asks.keep if backup.in_backup and backup.differences else Asks.nothing
        if backup.asks:
            self._context.state.said = _differing(backup.differences)
        await look_at_folder(self._context)
        backup.sessions = sum(week.sessions for week in await self._context.store.sessions.week_index())

    async def save(self) -> None:
        """Saves everything in one file. What cannot be read is left out, and the message says so."""
        self._say(await save_backup(self._context))

    async def pick(self) -> None:
        """Adds what a backup holds, in one file or in several; nothing here is doubled or replaced."""
        picked = await self._context.files.pick_all("json")
        if not picked:
            return
        try:
            read = [read_backup(one.content, one.name) for one in picked]
        except Unreadable as unreadable:
            self._say(" ".join(map(fault_words, unreadable.issues)))
            return
        backup = self._context.state.backup
        backup.picked, backup.in_backup, backup.answers = union(*read), True, {}
        await self.bring_in()

    async def bring_in(self, *, same_person: bool = False, erase: bool | None = None) -> None:
        """Adds what is new, and asks before anything here goes or is replaced.

        ``erase`` decides whether to erase what was erased where the backup was made; what is in two versions
        is decided one by one (companion/actions/home/differences.py). A device where nothing could be lost
        takes the backup as it is.
        """
        context, backup = self._context, self._context.state.backup
        picked, keep = backup.picked or Holdings(), None
        trained = any(week.sessions for week in await context.store.sessions.week_index())
        if not trained and (await gather(context.store)).holdings.is_empty:
            keep, same_person = Keep.theirs, True
        try:
            brought = await bring_in(
                context.store,
                picked,
                keep=keep,
                answers=backup.answers,
                same_person=same_person,
                erase=bool(erase),
            )
        except AnotherPerson as other:
            await self._ask_whose(other, picked)
            return
        except StorageProblem:  # what was brought in before a refusal counts
            await self._opening.open()
            context.show(Screen.settings)
            raise
        copy_soon(context, *(record.local_date for record in (*brought.added.records, *brought.gone.records)))
        await self._opening.open()
        await self.look()
        context.show(Screen.settings)
        backup.differences, backup.in_backup = brought.open, bool(brought.open)
        asks_erase = any(brought.spared) and erase is None
        asks_keep = Asks.keep if brought.open else Asks.nothing
        self._say(
            _in_words(brought, asks_erase, len(backup.answers)), asks=Asks.erase if asks_erase else asks_keep
        )

    async def _ask_whose(self, other: AnotherPerson, picked: Holdings) -> None:
        """Asks whose a backup is, unless that is somebody who trains here: they bring it in themselves."""
        here = await self._context.household.name_of(other.stranger.ids)
        if here:
            self._say(
                say(
                    "These are the records of {name}, who trains here too: only {name} can open them.",
                    name=here,
                )
            )
            return
        held = held_words(picked._replace(tombstones=()))
        holds = say("Are both you? The backup holds {held}.", held=held)
        self._say(f"{said(other.what)} {holds}", asks=Asks.person)

    def leave(self) -> None:
        """Brings nothing in."""
        self._context.state.backup.picked = None
        self._say("")

    async def bring_in_mine(self) -> None:
        """Brings in a backup with another profile, because it is the same person's."""
        await self.bring_in(same_person=True)

    async def bring_in_for_another(self) -> None:
        """Gives somebody else who trains here the records of the backup, as their own."""
        picked = self._context.state.backup.picked or Holdings()

        async def fill(store: Store) -> None:
            await bring_in(store, picked, keep=Keep.theirs)

        await self._context.household.add(next((one.name for one in picked.profiles), UNNAMED), fill)

    async def spare(self) -> None:
        """Leaves here what was erased where the backup was made."""
        await self.bring_in(same_person=True, erase=False)

    async def erase_too(self) -> None:
        """Erases here too what was erased where the backup was made."""
        await self.bring_in(same_person=True, erase=True)

    def look_at_differences(self) -> None:
        """Goes to what is in two versions, to be decided one by one."""
        self._context.show(Screen.differences)

    async def erase_everything(self) -> None:
        """Erases everything for good and forgets the folder for copies.

        The application is as new afterwards, or shows what a refusal left.
        """
        self._context.keeping.forget()
        try:
            async with self._context.copying.lock:
                if self._context.state.device.settings.copies is not None:
                    with suppress(StorageProblem):  # a page that does not answer keeps nobody from erasing
                        await (await folder_of(self._context)).forget()
                await self._context.store.erase_all(at=self._context.now())
        except StorageProblem:
            await self._opening.open(anew=True)
            raise
        whose = self._context.profile().name
        self._opening.begin_anew()
        if self._context.state.device.is_shared:
            await self._opening.ask_who(
                say("The records of {name} are erased. Those of others stay.", name=whose)
            )
        else:
            await self._opening.open()

    def _say(self, said: str, *, asks: Asks = Asks.nothing) -> None:
        state = self._context.state
        state.said, state.backup.asks = said, asks
        state.on_change()


def _in_words(brought: BroughtIn, asks_erase: bool, decided: int) -> str:
    new = brought.added._replace(tombstones=())
    gone, spared, stay = map(_happened, (brought.gone, brought.spared, brought.stays_erased))
    spared_words = (
        msgid("Erased where the backup was made, still here: {held}.")
        if asks_erase
        else msgid("Kept here: {held}.")
    )
    sentences = [
        say("New here: {held}.", held=held_words(new)) if any(new) else "",
        say("Erased here too: {held}.", held=held_words(gone)) if any(gone) else "",
        say("Decided: {count}.", count=decided) if decided else "",
        say("Erased here before, so left out: {held}.", held=held_words(stay)) if any(stay) else "",
        say(spared_words, held=held_words(spared)) if any(spared) else "",
        "" if asks_erase or not brought.open else _differing(brought.open),
    ]
    return " ".join(filter(None, sentences)) or say(NOTHING_NEW)


def _happened(holdings: Holdings) -> Holdings:
    """The sessions and the pain notes alone."""
    return Holdings(records=holdings.records, pain_notes=holdings.pain_notes)


def _differing(conflicts: Sequence[Conflict]) -> str:
    named = [named_words(one) for one in conflicts[:MOST_NAMED]]
    more = len(conflicts) - MOST_NAMED
    rest = [several("{count} more", "{count} more", more)] if more > 0 else []
    listed = words_here().listed([*named, *rest])
    return say("Differs from what is here: {named}. Yours stays for now.", named=listed)
