"""A store that notes every acknowledged change as a fact, and passes everything else on."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import datetime
from typing import Any

from simulation.facts import ONLY, Facts, RunFact

from engine.base.model import revision_of
from engine.live.events import Event, RunningRecord
from engine.record.amendment import Amendment
from engine.record.noted_pain import NotedPain
from engine.record.record import Record

Change = tuple[str, str, Any]
_PERSON: dict[str, Callable[[Any], Change]] = {
    "save_profile": lambda one: ("profile", ONLY, one),
    "save_kit": lambda one: ("kit", ONLY, one),
    "save_settings": lambda one: ("settings", ONLY, one),
    "save_said_today": lambda one: ("today", ONLY, one),
    "save_adjustment": lambda one: ("adjustments", revision_of(one), one),
    "remove_adjustment": lambda one: ("adjustments", revision_of(one), None),
    "save_week_note": lambda one: ("week-notes", one.iso_week, one),
}
_PLANS: dict[str, Callable[[Any], Change]] = {
    "save": lambda one: ("plans", one.id, one),
    "remove": lambda plan_id: ("plans", plan_id, None),
    "save_draft": lambda one: ("drafts", one.id, one),
    "remove_draft": lambda draft_id: ("drafts", draft_id, None),
}


class _Part:
    """A part of a store whose changes each concern one document."""

    def __init__(self, inner: Any, facts: Facts, changes: dict[str, Callable[[Any], Change]]) -> None:
        self._inner, self._facts, self._changes = inner, facts, changes

    def __getattr__(self, name: str) -> Any:
        made = self._changes.get(name)
        return getattr(self._inner, name) if made is None else self._noting(name, made)

    def _noting(self, name: str, made: Callable[[Any], Change]) -> Callable[..., Awaitable[None]]:
        async def call(*given: Any) -> None:
            changes = [made(one) for one in given]
            removed = self._facts.plans_removed_by(changes)
            try:
                await getattr(self._inner, name)(*given)
            except BaseException:
                for change in changes:
                    self._facts.may_be_kept(*change)
                raise
            for change in changes:
                self._facts.is_kept(*change)
            self._facts.removed |= removed

        return call


class _Sessions:
    def __init__(self, inner: Any, facts: Facts) -> None:
        self._inner, self._facts = inner, facts

    def __getattr__(self, name: str) -> Any:
        return getattr(self._inner, name)

    async def _saved(self, part: str, one: Record | NotedPain, save: Callable[..., Awaitable[bool]]) -> bool:
        try:
            saved = await save(one)
        except BaseException:
            self._facts.may_be_kept(part, one.id, one)
            raise
        if saved:
            self._facts.is_kept(part, one.id, one)
        return saved

    async def save(self, record: Record) -> bool:
        return await self._saved("records", record, self._inner.save)

    async def save_pain_note(self, note: NotedPain) -> bool:
        return await self._saved("pain-notes", note, self._inner.save_pain_note)

    async def amend(self, amendment: Amendment) -> None:
        try:
            await self._inner.amend(amendment)
        except BaseException:
            self._facts.may_be_kept("amendments", amendment.id, amendment)
            raise
        if amendment.record_id not in self._facts.kept["tombstones"]:
            self._facts.is_kept("amendments", amendment.id, amendment)

    async def erase(self, record_id: str, *, at: datetime) -> None:
        try:
            await self._inner.erase(record_id, at=at)
        except BaseException:
            self._facts.forget_record(record_id, at, sure=False)
            raise
        self._facts.forget_record(record_id, at)


class _Run:
    def __init__(self, inner: Any, facts: Facts) -> None:
        self._inner, self._facts = inner, facts

    def __getattr__(self, name: str) -> Any:
        return getattr(self._inner, name)

    async def open(self, opening: RunningRecord) -> None:
        before = self._facts.run
        try:
            await self._inner.open(opening)
        except BaseException:
            if before is None or not before.sure:
                refused = before.refused | {before.opening.run_id} if before is not None else set()
                self._facts.run = RunFact(opening, sure=False, refused=refused)
            raise
        self._facts.run = RunFact(opening)

    async def append(self, event: Event) -> None:
        run = self._facts.run
        if run is not None:
            run.tried.append(event)
        await self._inner.append(event)
        if run is not None:
            run.acknowledge(event)

    async def close(self) -> None:
        if self._facts.run is not None:
            self._facts.run.sure = False
        await self._inner.close()
        self._facts.run = None


class NotingStore:
    """Keeps ``facts`` about everything that changes through it."""

    def __init__(self, inner: Any, facts: Facts) -> None:
        self.inner, self._facts = inner, facts
        self.person = _Part(inner.person, facts, _PERSON)
        self.plans = _Part(inner.plans, facts, _PLANS)
        self.sessions = _Sessions(inner.sessions, facts)
        self.run = _Run(inner.run, facts)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.inner, name)

    async def erase_all(self, *, at: datetime) -> tuple[str, ...]:
        try:
            erased: tuple[str, ...] = await self.inner.erase_all(at=at)
        except BaseException:
            self._facts.forget_all(at, sure=False)
            raise
        self._facts.forget_all(at)
        return erased
