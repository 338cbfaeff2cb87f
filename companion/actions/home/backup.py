"""A backup of everything as a file, the way back from one, and erasing for good."""

from __future__ import annotations

from companion.actions.context import Context
from companion.actions.home.opening import Opening
from companion.state.backup import Asks
from companion.state.screen import Screen
from engine.base.issue import Unreadable
from storage.exchange.backup import Holdings, counts_in_words, gather, read_backup, write_backup
from storage.exchange.bring_in import AnotherPerson, BroughtIn, bring_in
from storage.exchange.merge import Keep

NOTHING_NEW = "All that the backup holds was here already."


async def save_backup(context: Context) -> str:
    """Saves everything in one file, and says what it holds and what could not be read."""
    gathered = await gather(context.store)
    name = f"session-companion-{context.now().date().isoformat()}.json"
    await context.files.save(name, write_backup(gathered.holdings))
    await context.set_device(backed_up_at=context.now())
    contents = ", ".join(counts_in_words(gathered.holdings))
    return " ".join((f"The backup {name} holds {contents}.", *gathered.left_out))


class Backup:
    def __init__(self, context: Context, opening: Opening) -> None:
        self._context, self._opening = context, opening

    async def look(self) -> None:
        """Counts what erasing would take away, and drops any question about a backup."""
        backup = self._context.state.backup
        backup.asks = Asks.nothing
        backup.sessions = sum(week.sessions for week in await self._context.store.sessions.week_index())

    async def save(self) -> None:
        """Saves everything in one file. What cannot be read is left out, and the message says so."""
        self._say(await save_backup(self._context))

    async def pick(self) -> None:
        """Adds what a backup holds to what is here; nothing is doubled or replaced."""
        picked = await self._context.files.pick("json")
        if picked is None:
            return
        try:
            self._context.state.backup.picked = read_backup(picked.content, picked.name)
        except Unreadable as unreadable:
            self._say(" ".join(map(str, unreadable.issues)))
            return
        await self.bring_in()

    async def bring_in(self, *, keep: Keep | None = None, same_person: bool = False) -> None:
        """``keep`` decides where both differ; without it, a device that has no session takes the backup's."""
        context, picked = self._context, self._context.state.backup.picked or Holdings()
        if not await context.store.sessions.week_index():
            keep, same_person = keep or Keep.theirs, True
        try:
            brought = await bring_in(context.store, picked, keep=keep, same_person=same_person)
        except AnotherPerson as other:
            self._say(str(other), asks=Asks.person)
            return
        await self._opening.open()
        await self.look()
        context.show(Screen.settings)
        self._say(_in_words(brought), asks=Asks.keep if brought.open else Asks.nothing)

    async def settle(self, way: str) -> None:
        """Where both differ, keeps the backup's (``theirs``), or ``both``."""
        await self.bring_in(keep=Keep(way), same_person=True)

    async def erase_everything(self) -> None:
        """Erases everything for good; the application is as new afterwards."""
        await self._context.store.erase_all(at=self._context.now())
        self._context.state.forget()
        await self._opening.open()

    def _say(self, said: str, *, asks: Asks = Asks.nothing) -> None:
        state = self._context.state
        state.said, state.backup.asks = said, asks
        state.on_change()


def _in_words(brought: BroughtIn) -> str:
    new = ", ".join(counts_in_words(brought.added._replace(tombstones=())))
    said = f"New here: {new}." if new else "" if brought.decided else NOTHING_NEW
    decided = f"Decided: {len(brought.decided)}." if brought.decided else ""
    count = len(brought.open)
    differ = f"{count} thing{'s' if count != 1 else ''} differ from what is here; yours stay for now."
    return " ".join(filter(None, (said, decided, differ if count else "")))
