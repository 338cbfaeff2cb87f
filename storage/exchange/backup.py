"""All that a person has in one file: to keep elsewhere, to restore, to carry between devices.

The settings of a device, a session in progress, drafts of plans and what was said about today are left out:
what was said about today ends with the day.

The file has the layout of every stored file. Its documents come in one fixed order by table and key, so that
equal holdings give equal bytes. It is read as data from outside: bounded, strict, all of it or nothing.
"""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable, Collection, Iterable, Mapping
from typing import Any, NamedTuple, TypeVar

from pydantic import ValidationError

from engine.base.issue import Issue, Place, Unreadable, issue_of, unreadable
from engine.base.message import Count, Message, Said, message
from engine.base.model import Model, canonical_json, revision_of
from engine.base.reading import parse_json
from engine.load.rack import Rack
from engine.plan.adjustment import Adjustment
from engine.plan.plan import SessionPlan
from engine.record.amendment import Amendment
from engine.record.noted_pain import NotedPain
from engine.record.profile import Profile
from engine.record.record import Record
from storage.derived import can_be_derived_from
from storage.files.layout import Damaged, decode, encode
from storage.models import KitOwned, Tombstone, WeekNote
from storage.problem import Cause, StorageProblem
from storage.schema import Tables
from storage.store import Store

FORMAT = "backup"
LARGEST_BACKUP_BYTES = 400_000_000
"""More than 10,000 sessions."""
FEWEST_BYTES_A_VALUE = 8
"""A backup of ours has 14 to 17 bytes for each of its values. With ``LARGEST_BACKUP_BYTES`` this bounds the
memory that reading takes: an empty object needs two bytes in a file and 64 in memory."""
SMALL_BYTES = 100_000
DECLINED = "declined"
"""A further table: what the person decided against (storage/exchange/shared_folder.py)."""

One = TypeVar("One", bound=Model)
Part = TypeVar("Part")


class Holdings(NamedTuple):
    """What one store holds, by part. Each part is in canonical order."""

    profiles: tuple[Profile, ...] = ()
    kits: tuple[KitOwned, ...] = ()
    plans: tuple[SessionPlan, ...] = ()
    records: tuple[Record, ...] = ()
    amendments: tuple[Amendment, ...] = ()
    tombstones: tuple[Tombstone, ...] = ()
    week_notes: tuple[WeekNote, ...] = ()
    adjustments: tuple[Adjustment, ...] = ()
    pain_notes: tuple[NotedPain, ...] = ()

    @property
    def is_empty(self) -> bool:
        """Whether nobody trained, planned or said who they are: nothing here could be lost."""
        told = [one for one in self.profiles if not one.tells_nothing]
        weights = [one for one in self.kits if one.rack != Rack()]
        return not (told or weights or self.plans or self.records or self.pain_notes or self.adjustments)


PARTS: Mapping[str, tuple[type[Model], Callable[[Any], str]]] = {
    "profiles": (Profile, lambda _: "only"),
    "kits": (KitOwned, lambda _: "only"),
    "plans": (SessionPlan, lambda plan: plan.id),
    "records": (Record, lambda record: record.id),
    "amendments": (Amendment, lambda amendment: amendment.id),
    "tombstones": (Tombstone, lambda stone: stone.record_id),
    "week_notes": (WeekNote, lambda note: note.iso_week),
    "adjustments": (Adjustment, revision_of),
    "pain_notes": (NotedPain, lambda note: note.id),
}
"""The model of each part, and what names a document within it."""


class Gathered(NamedTuple):
    """What was gathered from a store. ``left_out`` says what this version could not read."""

    holdings: Holdings
    left_out: Said


async def gather(store: Store, *, months: Collection[str] | None = None) -> Gathered:
    """Gathers what a store holds, of the sessions only those of some months where ``months`` are given.

    What this version cannot read is named in ``left_out``.
    """
    left_out: list[Message] = []

    async def part(ask: Callable[[], Awaitable[Part]], otherwise: Part) -> Part:
        try:
            return await ask()
        except StorageProblem as problem:
            if problem.cause not in (Cause.newer, Cause.not_understood):
                raise
            left_out.append(problem.what)
            return otherwise

    profile, kit = await part(store.person.profile, None), await part(store.person.kit, None)
    plans = await part(store.plans.all, tuple[SessionPlan, ...]())
    notes = await part(store.person.week_notes, tuple[WeekNote, ...]())
    adjustments = await part(store.person.adjustments, tuple[Adjustment, ...]())
    pain_notes = await part(store.sessions.pain_notes, tuple[NotedPain, ...]())
    records, amendments = await sessions_of(store, months)
    stones = await store.sessions.tombstones()
    troubles = [one for trouble in await store.troubles() for one in trouble.said]
    holdings = Holdings(
        profiles=(profile,) if profile else (),
        kits=(kit,) if kit else (),
        plans=plans,
        records=records,
        amendments=amendments,
        tombstones=stones,
        week_notes=notes,
        adjustments=adjustments,
        pain_notes=pain_notes,
    )
    return Gathered(in_canonical_order(holdings), (*left_out, *troubles))


async def sessions_of(
    store: Store, months: Collection[str] | None
) -> tuple[tuple[Record, ...], tuple[Amendment, ...]]:
    """The records of some months, or all, and their amendments."""
    periods = (None,) if months is None else sorted(months)
    records = [one for period in periods for one in await store.sessions.records(period)]
    known = {record.id for record in records}
    late = [one for period in periods for one in await store.sessions.amendments_in(period)]
    return tuple(records), tuple(one for one in late if one.record_id in known)


def in_canonical_order(holdings: Holdings) -> Holdings:
    """Holdings with each part sorted by the canonical JSON of its documents."""
    parts: Iterable[Any] = (tuple(sorted(part, key=canonical_json)) for part in holdings)
    return Holdings(*parts)


def write_backup(holdings: Holdings, *, more: Tables | None = None) -> bytes:
    """The bytes of a backup; ``more`` are further tables, which a reader of the holdings passes over."""
    tables: dict[str, dict[str, Any]] = dict(more or {})
    for (name, (_, key)), part in zip(PARTS.items(), holdings, strict=True):
        tables[name] = {key(one): one.model_dump(mode="json") for one in part}
    return encode(tables, FORMAT, sort_keys=True)


def read_backup(raw: bytes, name: str, *, most_bytes: int = LARGEST_BACKUP_BYTES) -> Holdings:
    """The holdings in a backup. Raises Unreadable with one fault."""
    return holdings_in(tables_in(raw, name, most_bytes=most_bytes))


def tables_in(raw: bytes, name: str, *, most_bytes: int = LARGEST_BACKUP_BYTES) -> Tables:
    """The tables of a backup, with unchecked documents. Raises Unreadable."""
    if len(raw) > most_bytes:
        raise unreadable(message("file_too_large", most=Count(count=most_bytes // 1_000)))
    _refuse_many_values(raw)
    try:
        return decode(raw, FORMAT, name, parse=lambda body: parse_json(body, most_bytes=most_bytes))
    except StorageProblem:  # its version is newer
        raise unreadable(message("made_with_newer")) from None
    except Damaged:
        raise unreadable(message("no_whole_backup")) from None


def _refuse_many_values(raw: bytes) -> None:
    most = max(len(raw), SMALL_BYTES) // FEWEST_BYTES_A_VALUE
    if sum(map(raw.count, (b",", b"{", b"["))) > most:
        raise unreadable(message("too_much_for_a_backup"))


def holdings_in(tables: Tables) -> Holdings:
    """The checked holdings in the tables of a backup. Raises Unreadable."""
    unknown = next(iter(tables.keys() - PARTS.keys() - {DECLINED}), None)
    if unknown is not None:
        raise Unreadable(Issue((unknown,), message("not_known_here")))
    parts = [_part(tables.get(name, {}), name) for name in PARTS]
    holdings = in_canonical_order(Holdings(*parts))
    _refuse_underivable(holdings)
    return holdings


def _part(table: Mapping[str, Any], name: str) -> tuple[Any, ...]:
    model, key = PARTS[name]
    found = tuple(_document(model, held, (name, number)) for number, held in enumerate(table.values()))
    if [key(one) for one in found] != list(table):
        raise Unreadable(Issue((name,), message("kept_under_another_name")))
    return found


def _document(model: type[One], held: object, where: Place) -> One:
    try:
        return model.model_validate_json(json.dumps(held))  # Refuses half a character, which a dict may hold.
    except ValidationError as error:
        fault = issue_of(error.errors(include_url=False)[0])
        raise Unreadable(Issue((*where, *fault.where), fault.what)) from None


def _refuse_underivable(holdings: Holdings) -> None:
    """Raises Unreadable where weeks and history cannot be derived from a record, as it is corrected."""
    by_record: dict[str, list[Amendment]] = {record.id: [] for record in holdings.records}
    for amendment in holdings.amendments:
        if amendment.record_id not in by_record:
            raise Unreadable(Issue(("amendments",), message("correction_without_its_session")))
        by_record[amendment.record_id].append(amendment)
    for record in holdings.records:
        if not can_be_derived_from(record, by_record[record.id]):
            raise Unreadable(Issue(("records",), message("cannot_be_counted")))
