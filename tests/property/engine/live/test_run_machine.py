"""The live session as a machine: any events in any order, including re-fits of every kind.

After each step time adds up, planned sides are equal, nothing done is lost and each cue comes once; replaying
the running record gives exactly the same state.
"""

from __future__ import annotations

from collections import defaultdict

from builders import Journal, pain, profile
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from companion.samples import sample_plans
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.live.cues import coming_cues
from engine.live.events import RunningRecord
from engine.live.refit import keep_everything, keep_finish
from engine.live.remainder import Refit
from engine.live.run import replay
from engine.live.state import Status
from engine.live.swap import swap_after_pain, swap_for_easier, swap_without
from engine.live.timing import elapsed_at, remaining_session_at
from engine.movements.movement import JOINT_POINTS, Equipment, Kit
from engine.movements.room import Room
from engine.record.record import LogAnswers
from engine.record.recording import record_from
from engine.session.segment import Kind, Segment

PLANS = sample_plans()
PLAIN = ("paused", "resumed", "ticked", "hold_started", "hold_stopped", "skipped", "went_back", "redone")
SAMPLED_STEPS = 40


class LiveSession(RuleBasedStateMachine):
    @initialize(of=st.sampled_from(PLANS), kit=st.sampled_from(Kit), minutes=st.integers(15, 50))
    def start(self, of, kit, minutes) -> None:
        found = offer(of, Asked(minutes=minutes, room=Room(kit=kit))).session
        self.known = of.known_movements()
        self.run = Journal(found or offer(of, Asked(minutes=60, room=Room(kit=kit))).session)
        self.run.write("started", 0)
        self.left_out: set[str | None] = set()

    def _now(self, later_ms: int) -> int:
        return self.run.state.at_ms + later_ms

    @rule(kind=st.sampled_from(PLAIN), later_ms=st.integers(0, 120_000))
    def do(self, kind: str, later_ms: int) -> None:
        self.run.write(kind, self._now(later_ms))

    @rule(later_ms=st.integers(0, 60_000), added_ms=st.integers(1_000, 60_000))
    def rest_longer(self, later_ms: int, added_ms: int) -> None:
        self.run.write("more_rest", self._now(later_ms), added_ms=added_ms)

    @rule(later_ms=st.integers(0, 60_000))
    def lose_position(self, later_ms: int) -> None:
        self.run.write("form_slipped", self._now(later_ms))

    @rule(away_ms=st.integers(0, 3_600_000))
    def come_back(self, away_ms: int) -> None:
        self.run.write("returned", self._now(0), away_ms=away_ms)

    @rule(later_ms=st.integers(0, 600_000))
    def let_time_pass(self, later_ms: int) -> None:
        current = self.run.state.current
        self.run.write("mark", self._now(later_ms), segment_id=current.id if current else "over")

    def _is_live(self) -> bool:
        return hasattr(self, "run") and self.run.state.status in (Status.running, Status.paused)

    @precondition(_is_live)
    @rule(
        where=st.sampled_from(JOINT_POINTS),
        rating=st.integers(0, 10),
        goes_on=st.booleans(),
        tries=st.booleans(),
    )
    def hurt(self, where, rating: int, goes_on: bool, tries: bool) -> None:
        in_hand = self.run.state.in_hand
        note = pain(
            session_ms=self._now(0),
            joint=where[0],
            side=where[1],
            rating=rating,
            movement=in_hand.movement if in_hand else None,
        )
        self.run.write("hurt", self._now(0), pain=note)
        if tries:
            self.run.write("try_started", self._now(0))
        elif not goes_on:
            self.left_out |= {note.movement}
            self._refit(swap_after_pain(self.run.state, note, self.known))

    @precondition(_is_live)
    @rule(spare_ms=st.integers(-600_000, 0))
    def hold_the_finish(self, spare_ms: int) -> None:
        state = self.run.state
        self._refit(
            keep_finish(state, remaining_session_at(state, state.at_ms) + spare_ms), can_be_taken_back=True
        )

    @precondition(_is_live)
    @rule()
    def keep_all(self) -> None:
        self._refit(keep_everything(self.run.state))

    @precondition(_is_live)
    @rule()
    def take_easier(self) -> None:
        self._refit(swap_for_easier(self.run.state, self.known))

    @precondition(_is_live)
    @rule(missing=st.sampled_from(Equipment))
    def go_without(self, missing: Equipment) -> None:
        self._refit(swap_without(self.run.state, missing, self.known))

    @rule(load_g=st.integers(0, 60_000))
    def find_a_load(self, load_g: int) -> None:
        in_hand = self.run.state.in_hand
        if in_hand is not None and in_hand.movement is not None:
            self.run.write("load_found", self._now(0), movement=in_hand.movement, load_g=load_g)

    def _refit(self, refit: Refit | None, **fields: object) -> None:
        if refit is not None:
            before = {one.movement for one in self.run.state.coming}
            assert not self.left_out & ({one.movement for one in refit.segments} - before), "it came back"
            result = {"segments": refit.segments, "items": refit.items, "said": refit.said}
            self.run.write("refitted", self._now(0), **result, **fields)

    @rule(ending=st.sampled_from(["early", "pain"]), later_ms=st.integers(0, 60_000), sure=st.integers(0, 9))
    def end(self, ending: str, later_ms: int, sure: int) -> None:
        if sure == 0:
            self.run.write("ended", self._now(later_ms), ending=ending)

    @invariant()
    def time_adds_up(self) -> None:
        if not hasattr(self, "run"):
            return
        state = self.run.state
        paused_ms = state.paused_ms + (
            state.at_ms - state.anchor.since_ms if state.status is Status.paused else 0
        )
        if state.anchor.back_ms is not None:  # nothing is worked in a lead-in
            paused_ms += max(0, min(state.at_ms, state.anchor.since_ms) - state.anchor.back_ms)
        end_ms = state.anchor.entered_ms if state.status is Status.ended else state.at_ms
        assert (
            sum(done.worked_ms for done in state.done) + elapsed_at(state, state.at_ms) + paused_ms == end_ms
        )

    @invariant()
    def sides_are_equal(self) -> None:
        if not hasattr(self, "run"):
            return
        state = self.run.state
        worked: dict[tuple[str, int | None, int | None], dict[str, int]] = defaultdict(
            lambda: defaultdict(int)
        )
        for segment in state.segments[state.interval.stop if state.current else len(state.segments) :]:
            if segment.kind in (Kind.work, Kind.cool_down) and segment.side in ("left", "right"):
                worked[segment.block, segment.round, segment.place][segment.side] += segment.planned_ms
        assert all(one["left"] == one["right"] for one in worked.values())

    @invariant()
    def nothing_done_is_lost_and_no_name_stands_twice(self) -> None:
        if not hasattr(self, "run"):
            return
        state = self.run.state
        assert {done.segment_id for done in state.done} <= state.by_id.keys()
        ids = [segment.id for segment in state.segments]
        assert len(ids) == len(set(ids))
        assert all(_has_words(self.run, segment) for segment in state.coming)

    @invariant()
    def each_cue_comes_once_and_in_order(self) -> None:
        if not hasattr(self, "run"):
            return
        cues = coming_cues(self.run.state)
        assert [one.at_ms for one in cues] == sorted(one.at_ms for one in cues)
        assert len({(one.at_ms, one.kind) for one in cues}) == len(cues)

    @precondition(lambda self: hasattr(self, "run") and self.run.state.status is Status.ended)
    @rule(later_ms=st.integers(0, 600_000))
    def take_the_end_back(self, later_ms: int) -> None:
        self.run.write("reopened", self._now(later_ms))

    def teardown(self) -> None:
        """The journal read back gives the same state, and the session can be logged."""
        if not hasattr(self, "run"):
            return
        written = RunningRecord.model_validate_json(self.run.record().model_dump_json())
        assert replay(written) == self.run.state
        self.run.write("ended", self._now(0), ending="early")
        record = record_from(
            self.run.state,
            LogAnswers(),
            record_id="one",
            profile=profile(),
            started_at=self.run.started_at,
            ended_at=self.run.started_at,
        )
        assert type(record).model_validate_json(record.model_dump_json()) == record


def _has_words(run: Journal, segment: Segment) -> bool:
    """The session carries what the screen says about each segment, whatever was swapped."""
    return segment.movement is None or run.state.session.chosen(segment) is not None


TestLiveSession = LiveSession.TestCase
TestLiveSession.settings = settings(stateful_step_count=SAMPLED_STEPS)
