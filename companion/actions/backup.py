"""A copy of everything as a file, the way back from it, and erasing for good."""

from __future__ import annotations

from companion.actions.opening import Opening
from companion.state.app import Screen, State
from engine.base.issue import Unreadable
from storage.exchange.backup import Holdings, gather, read_backup, sentences, write_backup
from storage.exchange.bring_in import AnotherPerson, Brought, bring_in
from storage.exchange.merge import Keep

NOTHING_NEW = "All that the backup holds was here already."


class Safekeeping(Opening):
    _backup = Holdings()

    async def show_settings(self) -> None:
        self.state.said, self.state.backup_asks = "", ""
        self.state.sessions_kept = sum(week.sessions for week in await self.store.sessions.week_index())
        self._show(Screen.settings)

    async def save_backup(self) -> None:
        """Everything in one file; what cannot be read is left out and said."""
        gathered = await gather(self.store)
        name = f"session-companion-{self.now().date().isoformat()}.json"
        await self.files.save(name, write_backup(gathered.holdings))
        held = ", ".join(sentences(gathered.holdings))
        self._say(" ".join((f"The backup {name} holds {held}.", *gathered.left_out)))

    async def pick_backup(self) -> None:
        """Adds what a backup holds; nothing doubles, and what is here stays."""
        picked = await self.files.pick("json")
        if picked is None:
            return
        try:
            self._backup = read_backup(picked.content, picked.name)
        except Unreadable as unreadable:
            self._say(" ".join(map(str, unreadable.issues)))
            return
        await self.bring_backup_in()

    async def bring_backup_in(self, *, keep: Keep | None = None, same_person: bool = False) -> None:
        """``keep`` decides where both differ; a device without a session takes the backup's."""
        if not await self.store.sessions.week_index():
            keep, same_person = keep or Keep.theirs, True
        try:
            brought = await bring_in(self.store, self._backup, keep=keep, same_person=same_person)
        except AnotherPerson as other:
            self._say(str(other), asks="person")
            return
        await self.open(self._samples)
        await self.show_settings()
        self._say(_in_words(brought), asks="keep" if brought.open else "")

    async def settle_backup(self, way: str) -> None:
        """Where both differ: the backup's (theirs), or both."""
        await self.bring_backup_in(keep=Keep(way), same_person=True)

    async def erase_everything(self) -> None:
        """Everything goes, for good; the application is as new."""
        await self.store.erase_all(at=self.now())
        fresh = State(read_only=self.state.read_only, on_change=self.state.on_change)
        vars(self.state).update(vars(fresh))
        await self.open(self._samples)

    def _say(self, said: str, *, asks: str = "") -> None:
        self.state.said, self.state.backup_asks = said, asks
        self.state.on_change()


def _in_words(brought: Brought) -> str:
    new = ", ".join(sentences(brought.added._replace(tombstones=())))
    said = f"New here: {new}." if new else "" if brought.decided else NOTHING_NEW
    decided = f"Decided: {len(brought.decided)}." if brought.decided else ""
    count = len(brought.open)
    differ = f"{count} thing{'s' if count != 1 else ''} differ from what is here; yours stay for now."
    return " ".join(filter(None, (said, decided, differ if count else "")))
