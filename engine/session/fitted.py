"""The fitted session: one plan made to measure for one person and one number of minutes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from engine.base.model import Model, Name, Sentence, Slug, revision_of
from engine.base.units import MS_PER_MIN
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.movements.tempo import Tempo
from engine.plan.plan import BlockKind, Dose
from engine.session.choices import Choices, Chosen
from engine.session.leeway import Leeway
from engine.session.segment import Segment, total_ms


class Reason(Model):
    """One thing that was given up or changed: a code, a sentence, and the seconds it gave back."""

    code: str
    text: Sentence
    seconds: float


class FittedItem(Model):
    """What a block asks of one movement, as this person does it."""

    chosen: Chosen
    dose: Dose | None = None
    tempo: Tempo | None = None


class FittedBlock(Model):
    id: Slug
    kind: BlockKind
    rounds: int
    items: tuple[FittedItem, ...]

    def with_item(self, item: FittedItem) -> FittedBlock:
        if any(held.chosen.movement == item.chosen.movement for held in self.items):
            return self
        return self.model_copy(update={"items": (*self.items, item)})

    def with_tempos(self, tempos: Mapping[Slug, Tempo | None]) -> FittedBlock:
        changed = (
            item.model_copy(update={"tempo": tempos.get(item.chosen.movement, item.tempo)})
            for item in self.items
        )
        return self.model_copy(update={"items": tuple(changed)})


class FittedSession(Model):
    """A session as it will be run, complete in itself: it can be run without the plan or the library.

    ``id`` follows from the content, so the same fit has the same id. Times are milliseconds.
    """

    format: Literal["fitted-session"] = "fitted-session"
    version: Literal[1] = 1
    plan_id: Slug
    plan_revision: str
    plan_name: Name
    minutes: float
    room: Room
    choices: Choices
    below_minimum: bool = False
    reasons: tuple[Reason, ...] = ()
    blocks: tuple[FittedBlock, ...]
    segments: tuple[Segment, ...]
    stop_rules: tuple[Sentence, ...] = ()
    leeway: Leeway = Leeway()
    """What it may still give up while it runs."""

    @property
    def id(self) -> str:
        return revision_of(self)

    @property
    def total_ms(self) -> int:
        return total_ms(self.segments)

    @property
    def promised_ms(self) -> int:
        """The time after which the session is promised to be over: the minutes asked for, or its own length
        where that is more."""
        return max(self.total_ms, round(self.minutes * MS_PER_MIN))

    @property
    def kit(self) -> Kit:
        return self.room.kit

    def item(self, segment: Segment) -> FittedItem | None:
        """What a segment's movement is to this person; None for a change of block."""
        block = next(block for block in self.blocks if block.id == segment.block)
        return next((item for item in block.items if item.chosen.movement == segment.movement), None)

    def with_items(self, added: Iterable[tuple[Slug, FittedItem]]) -> FittedSession:
        """The session with movements added to blocks that had none of that name."""
        blocks = self.blocks
        for block_id, item in added:
            blocks = tuple(b.with_item(item) if b.id == block_id else b for b in blocks)
        return self.model_copy(update={"blocks": blocks})

    def with_tempos(self, tempos: Mapping[Slug, Tempo | None]) -> FittedSession:
        """The session with other tempos for some movements of its work."""
        blocks = tuple(b.with_tempos(tempos) if b.kind == "work" else b for b in self.blocks)
        return self.model_copy(update={"blocks": blocks})

    def chosen(self, segment: Segment) -> Chosen | None:
        item = self.item(segment)
        return item.chosen if item else None

    def rounds(self) -> int:
        """Rounds of all work blocks."""
        return sum(block.rounds for block in self.blocks if block.kind == "work")

    def warm_up_rounds(self) -> int:
        return sum(block.rounds for block in self.blocks if block.kind == "warm_up")
