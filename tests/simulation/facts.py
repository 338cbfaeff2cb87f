"""The plain model: what a device was told that it keeps, and what may or may not have been kept.

A change counts as kept once the call of the store returned. One that was refused, or during which the process
died, may be kept or not, until the same thing is changed again.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from engine.base.model import revision_of
from engine.live.events import Event, RunningRecord
from storage.models import Settings, Tombstone
from storage.store import Store

ONLY = "only"
PARTS = (
    "profile",
    "kit",
    "settings",
    "today",
    "plans",
    "drafts",
    "adjustments",
    "week-notes",
    "records",
    "amendments",
    "pain-notes",
    "tombstones",
)
Held = dict[str, dict[str, Any]]
"""Documents by part and key."""


def nothing() -> Held:
    return {part: {} for part in PARTS}


@dataclass
class RunFact:
    """A session in progress: its opening, the events acknowledged, and all that were tried."""

    opening: RunningRecord
    events: list[Event] = field(default_factory=list)
    tried: list[Event] = field(default_factory=list)
    rotten: bool = False
    """Whether a bit of it went wrong since, so that its end may be lost."""
    refused: set[str] = field(default_factory=set)
    """The ids of sessions whose start was refused, though something of it may be there."""
    sure: bool = True
    """Whether the opening was acknowledged, and no closing was tried since."""

    def acknowledge(self, event: Event) -> None:
        """Notes an acknowledged event; what was tried before it and is there after a death counts with it."""
        before = {one.seq: one for one in self.tried if len(self.events) < one.seq < event.seq}
        if event.seq > len(self.events):
            self.events += [before[seq] for seq in sorted(before)] + [event]
        self.sure = True


@dataclass
class Facts:
    """What one device keeps. ``erased`` are marks of texts that must be nowhere on it, ``removed`` the
    revisions of plans that no merge may bring back."""

    kept: Held = field(default_factory=nothing)
    maybe: dict[tuple[str, str], list[Any]] = field(default_factory=dict)
    run: RunFact | None = None
    erased: set[str] = field(default_factory=set)
    removed: set[str] = field(default_factory=set)

    def is_kept(self, part: str, key: str, value: Any) -> None:
        self.maybe.pop((part, key), None)
        if value is None:
            self.kept[part].pop(key, None)
        else:
            self.kept[part][key] = value

    def may_be_kept(self, part: str, key: str, value: Any) -> None:
        self.maybe.setdefault((part, key), []).append(value)

    def possible(self, part: str, key: str) -> list[Any]:
        told = [self.kept[part].get(key), *self.maybe.get((part, key), ())]
        return [None if one == Settings() else one for one in told]

    def settle(self, seen: Held, run: RunningRecord | None) -> None:
        """After the power was cut, what is there now is what is kept."""
        self.run = None if run is None else RunFact(run, list(run.events), list(run.events))
        for (part, key), _ in list(self.maybe.items()):
            self.is_kept(part, key, seen[part].get(key))

    def settle_some(self, ids: set[str], seen: Held) -> None:
        """Of these documents, what is there now is what is kept."""
        for part, key in [one for one in self.maybe if one[1] in ids]:
            self.is_kept(part, key, seen[part].get(key))

    def plans_removed_by(self, changes: Iterable[tuple[str, str, Any]]) -> set[str]:
        """The revisions of plans that these changes remove. One that is saved again is removed no more."""
        removed: set[str] = set()
        for part, key, plan in changes:
            held = self.kept["plans"].get(key) if part == "plans" else None
            if part == "plans" and plan is not None:
                self.removed.discard(revision_of(plan))
            elif held is not None and (part, key) not in self.maybe:
                removed.add(revision_of(held))
        return removed

    def lose_the_rest(self, run: RunningRecord | None) -> None:
        """After damage the session in progress is what is left of it."""
        if self.run is not None:
            self.run = None if run is None else RunFact(self.run.opening, list(run.events), list(run.events))

    def forget_record(self, record_id: str, at: Any, *, sure: bool = True) -> None:
        """A record or pain note is erased: only its tombstone stays."""
        note = self.is_kept if sure else self.may_be_kept
        if sure:
            self.erased |= set(self.marks_of(record_id))
        note("records", record_id, None)
        note("pain-notes", record_id, None)
        for key, one in list(self.kept["amendments"].items()):
            if one.record_id == record_id:
                note("amendments", key, None)
        if record_id not in self.kept["tombstones"] or not sure:
            note("tombstones", record_id, Tombstone(record_id=record_id, erased_at=at))
        if self.run is not None and self.run.opening.run_id == record_id:
            self.run.sure = False

    def marks_of(self, record_id: str) -> Iterable[str]:
        """The marks in the texts of a record and its amendments, or of a pain note."""
        record, note = self.kept["records"].get(record_id), self.kept["pain-notes"].get(record_id)
        pains = record.pains if record else ()
        texts = [record.note if record else "", (note.words or "") if note else ""]
        texts += [pain.words or "" for pain in pains]
        texts += [str(one.value) for one in self.kept["amendments"].values() if one.record_id == record_id]
        for text in texts:
            yield from (word for word in text.split() if word.startswith("mark-"))

    def forget_all(self, at: Any, *, sure: bool = True) -> None:
        """Everything is erased but the tombstones, even what was removed: a merge brings in what it finds."""
        self.removed.clear()
        for record_id in [*self.kept["records"], *self.kept["pain-notes"]]:
            self.forget_record(record_id, at, sure=sure)
        for part in PARTS:
            if part == "tombstones":
                continue
            for key in list(self.kept[part]):
                if part in ("records", "amendments", "pain-notes"):
                    continue
                (self.is_kept if sure else self.may_be_kept)(part, key, None)
            if sure:
                for other, key in [one for one in self.maybe if one[0] == part]:
                    self.is_kept(other, key, None)
        if self.run is not None:
            self.run = None if sure else RunFact(self.run.opening, [], self.run.tried, sure=False)


async def seen_in(store: Store) -> Held:
    """What a store holds now."""
    found = nothing()
    person, sessions = store.person, store.sessions
    for part, one in (
        ("profile", await person.profile()),
        ("kit", await person.kit()),
        ("settings", await person.settings()),
        ("today", await person.said_today()),
    ):
        if one is not None and one != Settings():
            found[part][ONLY] = one
    found["plans"] = {one.id: one for one in await store.plans.all()}
    found["drafts"] = {one.id: one for one in await store.plans.drafts()}
    found["adjustments"] = {revision_of(one): one for one in await person.adjustments()}
    found["week-notes"] = {one.iso_week: one for one in await person.week_notes()}
    found["records"] = {one.id: one for one in await sessions.records()}
    found["amendments"] = {one.id: one for one in await sessions.amendments_in()}
    found["pain-notes"] = {one.id: one for one in await sessions.pain_notes()}
    found["tombstones"] = {one.record_id: one for one in await sessions.tombstones()}
    return found
