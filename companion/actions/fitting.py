"""Minutes and kit: every change of a choice fits the plan anew."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from companion.actions.base import Base
from engine.choose import Room, SoreJoint
from engine.fit import Asked
from engine.fitted import FittedSession
from engine.movement import Equipment, Joint, Kit, Side
from engine.offer import offer
from engine.plan import movements_named_in
from engine.record import ProfileFlag, Record
from storage.models import KitOwned

FRESH_FOR = timedelta(days=14)
"""How long a movement counts as practised. † Our judgement, no source."""
CAREFUL = frozenset({ProfileFlag.older, ProfileFlag.pregnant})


class Fitting(Base):
    def refit(self) -> None:
        """Fits the plan anew; pure and quick, so it runs on every change of a choice."""
        flags = frozenset(self.state.profile.flags) if self.state.profile else frozenset()
        asked = Asked(
            minutes=self.state.minutes,
            room=Room(kit=self.state.kit, without=self.state.without, sore=self.state.sore),
            first_time=any(slug not in self._last_done for slug in self._worked()),
            practice_required=any(not self._is_fresh(slug) for slug in self._worked()),
            careful_cool_down=bool(flags - {ProfileFlag.novice}),
            careful_to_floor=bool(flags & CAREFUL),
        )
        self.state.offer, self.state.picked = offer(self.state.plan, asked), None

    def _worked(self) -> list[str]:
        return [slug for block in self.state.plan.work_blocks() for slug in movements_named_in(block)]

    def _is_fresh(self, slug: str) -> bool:
        """Whether a movement was done so lately that its practice may be skipped."""
        last = self._last_done.get(slug)
        return last is not None and self.now().date() - last <= FRESH_FOR

    def _remember(self, records: Iterable[Record]) -> None:
        """When each movement was done last, from records in order of time; a swap counts for itself."""
        for record in records:
            self._last_done |= {done.movement: record.local_date for done in record.sets}

    def set_minutes(self, minutes: int) -> None:
        self.state.minutes = minutes
        self._refitted()

    def choose_plan(self, plan_id: str) -> None:
        self.state.plan_id = plan_id
        self._refitted()

    def pick(self, session: FittedSession | None) -> None:
        """Takes an alternative, or goes back to the best fit with None."""
        self.state.picked = session
        self.state.on_change()

    async def choose_kit(self, kit: str) -> None:
        self.state.kit = Kit(kit)
        await self._keep_kit()

    async def toggle_absent(self, equipment: Equipment) -> None:
        absent = set(self.state.without) ^ {equipment}
        self.state.without = tuple(one for one in Equipment if one in absent)
        await self._keep_kit()

    async def _keep_kit(self) -> None:
        """Fits first: whoever presses start at once gets what was just chosen."""
        self._refitted()
        owned = await self.store.kit() or KitOwned()
        changed = {"dumbbells": self.state.kit, "absent": self.state.without}
        await self.store.save_kit(owned.model_copy(update=changed))

    def rate_sore(self, joint: Joint, side: Side | None, rating: int) -> None:
        """A joint that hurts today, 0 takes it back."""
        others = tuple(s for s in self.state.sore if (s.joint, s.side) != (joint, side))
        added = (SoreJoint(joint=joint, side=side, rating=rating),) if rating else ()
        self.state.sore = others + added
        self._refitted()

    def _refitted(self) -> None:
        self.refit()
        self.state.on_change()
