"""The fitted session: a plan made to measure for one person and their minutes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Literal

from engine.base.model import Model, Name, Sentence, Slug, revision_of
from engine.base.units import MS_PER_MIN, Grams
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.movements.tempo import Tempo
from engine.plan.plan import Amount, BlockKind
from engine.session.choices import Choices, Chosen
from engine.session.leeway import Leeway
from engine.session.pace import item_key
from engine.session.reason import Reason
from engine.session.segment import Segment, total_ms
from engine.session.to_lift import ToLift


class FittedItem(Model):
    """One movement of a block, as this person does it, in its place there: see ``Segment``. ``to_lift`` is
    told when the session starts.

    ``goal`` and ``reserve`` are the coach's numbers of repetitions: to reach, and to have left.
    ``starting_g`` is what the coach starts people with who have no load of their own, in grams of one
    dumbbell. ``sound_holds`` is on how many of the last days in a row a timed hold was sound.
    """

    place: int
    chosen: Chosen
    amount: Amount | None = None
    tempo: Tempo | None = None
    to_lift: ToLift | None = None
    goal: int | None = None
    reserve: int | None = None
    starting_g: Grams | None = None
    sound_holds: int = 0


class FittedBlock(Model):
    """A block with what is left of it for this person."""

    id: Slug
    kind: BlockKind
    rounds: int
    items: tuple[FittedItem, ...]

    def with_item(self, item: FittedItem) -> FittedBlock:
        """The block with one more movement at its end, unless its place had that movement already."""
        if any((one.place, one.chosen.movement) == (item.place, item.chosen.movement) for one in self.items):
            return self
        return self.model_copy(update={"items": (*self.items, item)})

    def with_sound_holds(self, days: Mapping[str, int]) -> FittedBlock:
        """The block with the days in a row on which each item was sound, by its ``item_key``."""
        changed = (
            item.model_copy(update={"sound_holds": days.get(item_key(item.chosen.movement, item.amount), 0)})
            if item.amount is not None
            else item
            for item in self.items
        )
        return self.model_copy(update={"items": tuple(changed)})

    def with_loads(self, to_lift: Mapping[Slug, ToLift]) -> FittedBlock:
        """The block with what is told to be lifted in some movements, by slug, where they take a weight."""
        changed = (
            item.model_copy(update={"to_lift": to_lift.get(item.chosen.movement, item.to_lift)})
            if item.chosen.dumbbells
            else item
            for item in self.items
        )
        return self.model_copy(update={"items": tuple(changed)})


class FittedSession(Model):
    """A session as it will be run. It is complete: running it needs neither the plan nor the library.

    ``minutes`` is what the person asked for. The same content always has the same ``id``.
    ``easy_movement`` marks the few minutes of a day without a strength session: they are recorded, and
    nothing counts them as a session.
    """

    format: Literal["fitted-session"] = "fitted-session"
    version: Literal[1] = 1
    plan_id: Slug
    plan_revision: str
    plan_name: Name
    minutes: float
    room: Room
    choices: Choices
    easy_movement: bool = False
    below_minimum: bool = False
    reasons: tuple[Reason, ...] = ()
    blocks: tuple[FittedBlock, ...]
    segments: tuple[Segment, ...]
    stop_rules: tuple[Sentence, ...] = ()
    leeway: Leeway = Leeway()
    """What the session may still give up while it runs."""

    @property
    def id(self) -> str:
        """The revision of the content."""
        return revision_of(self)

    @property
    def total_ms(self) -> int:
        """The planned length of the session."""
        return total_ms(self.segments)

    @property
    def promised_ms(self) -> int:
        """The time after which the session is promised to be over: the minutes asked for, or its own length
        where that is more."""
        return max(self.total_ms, round(self.minutes * MS_PER_MIN))

    @property
    def kit(self) -> Kit:
        """The dumbbells on hand."""
        return self.room.kit

    def turn(self, block: str, place: int | None, movement: str | None) -> int | None:
        """Which time of the round a movement comes in a place of a block, counted from 1; None where it comes
        once."""
        items = next(one.items for one in self.blocks if one.id == block)
        places = sorted({item.place for item in items if item.chosen.movement == movement})
        return places.index(place) + 1 if len(places) > 1 and place in places else None

    def item(self, segment: Segment) -> FittedItem | None:
        """What this person does in a segment; None in a change of block."""
        return self.in_place(segment.block, segment.place, segment.movement)

    def in_place(self, block: str, place: int | None, movement: str | None) -> FittedItem | None:
        """A movement in a place of a block; None where it never came there."""
        items = next(one.items for one in self.blocks if one.id == block)
        return next((i for i in items if (i.place, i.chosen.movement) == (place, movement)), None)

    def with_items(self, added: Iterable[tuple[Slug, FittedItem]]) -> FittedSession:
        """The session with more movements, each with the id of the block that it joins."""
        blocks = self.blocks
        for block_id, item in added:
            blocks = tuple(b.with_item(item) if b.id == block_id else b for b in blocks)
        return self.model_copy(update={"blocks": blocks})

    def with_work(self, change: Callable[[Slug, FittedItem], FittedItem]) -> FittedSession:
        """The session with each item of its work changed; ``change`` gets the id of the block too."""
        blocks = tuple(
            b.model_copy(update={"items": tuple(change(b.id, item) for item in b.items)})
            if b.kind == "work"
            else b
            for b in self.blocks
        )
        return self.model_copy(update={"blocks": blocks})

    def with_loads(self, to_lift: Mapping[Slug, ToLift]) -> FittedSession:
        """The session with what is told to be lifted in practice and work, by slug of the movement."""
        told = {"practice", "work"}
        blocks = tuple(b.with_loads(to_lift) if b.kind in told else b for b in self.blocks)
        return self.model_copy(update={"blocks": blocks})

    def with_sound_holds(self, days: Mapping[str, int]) -> FittedSession:
        """The session with the days in a row on which each item was sound, by its ``item_key``."""
        blocks = tuple(b.with_sound_holds(days) for b in self.blocks)
        return self.model_copy(update={"blocks": blocks})

    def chosen(self, segment: Segment) -> Chosen | None:
        """The movement of a segment as chosen; None in a change of block."""
        item = self.item(segment)
        return item.chosen if item else None

    def rounds_by_block(self) -> tuple[int, ...]:
        """The rounds of each work block; easy movement has none that count."""
        work = (block.rounds for block in self.blocks if block.kind == "work")
        return () if self.easy_movement else tuple(work)

    def rounds(self) -> int:
        """The rounds of all work blocks together."""
        return sum(self.rounds_by_block())

    def warm_up_rounds(self) -> int:
        """The rounds of all warm-ups together."""
        return sum(block.rounds for block in self.blocks if block.kind == "warm_up")
