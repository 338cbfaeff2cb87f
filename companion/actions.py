"""One function for each intention of the person: engine, then storage, then state."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from companion.services.clock import Clock, ClockReading, diverged_ms, read
from companion.services.cues import CuePlayer, in_quiet_window
from companion.state import Live, Screen, State
from engine.choose import Room, SoreJoint
from engine.cues import CueKind, coming_cues, cue
from engine.events import (
    Ended,
    Ending,
    Event,
    HoldStarted,
    HoldStopped,
    Hurt,
    Mark,
    MoreRest,
    Paused,
    PositionLost,
    Redone,
    Resumed,
    Returned,
    RunningRecord,
    Skipped,
    Started,
    Ticked,
    WentBack,
)
from engine.fit import Asked
from engine.fitted import FittedSession
from engine.movement import Equipment, Joint, Kit, Side
from engine.offer import offer
from engine.pain import Advice, PainNote, advice
from engine.plan import SessionPlan, movements_named_in
from engine.record import LogAnswers, Profile, ProfileFlag, Record, SetAnswer, record_from
from engine.review import iso_week, week_before
from engine.run import Status, advance, at, begin, replay
from storage.models import KitOwned
from storage.protocol import Store, amended_records

MORE_REST_MS = 15_000
FRESH_FOR = timedelta(days=14)
"""How long a movement counts as practised. † Our judgement, no source."""
CAREFUL = frozenset({ProfileFlag.older, ProfileFlag.pregnant})


class Actions:
    """Everything a person can do; store, clock and cues are swapped by whoever keeps their protocol."""

    def __init__(
        self, state: State, *, store: Store, clock: Clock, cues: CuePlayer, zone: str = "UTC"
    ) -> None:
        self.state, self.store, self.clock, self.cues, self.zone = state, store, clock, cues, zone
        self._before: ClockReading = read(clock)
        self._last_done: dict[str, date] = {}

    # Opening

    async def open(self, samples: Callable[[], tuple[SessionPlan, ...]]) -> None:
        """Reads what is kept: profile, plans, kit, and a session that was cut off."""
        state, store = self.state, self.store
        state.profile = await store.profile()
        state.plans = await store.plans() or samples()
        owned = await store.kit()
        if owned is not None:
            state.kit, state.without = owned.dumbbells, owned.absent
        state.plan_id = state.plan_id or state.plans[0].id
        state.week = iso_week(self.now().date())
        state.screen = Screen.setup if state.profile else Screen.cautions
        self._remember(await store.records())
        self.refit()
        await self._return_to_run()
        troubles = await store.troubles()
        state.problem = " ".join(trouble.message for trouble in troubles)
        state.on_change()

    async def _return_to_run(self) -> None:
        record = None if self.state.read_only else await self.store.running()
        if record is None:
            return
        run = replay(record)
        last_wall = record.events[-1].wall if record.events else record.started_at
        zero_ms = self.clock.monotonic_ms() - run.at_ms
        self.state.live = Live(record.run_id, run, record.started_at, record.finish_at, zero_ms)
        self.state.screen = Screen.running
        if run.status is Status.ended:
            self.state.screen = Screen.log
        elif run.status is not Status.ready:
            away = max(timedelta(0), self.now() - last_wall)
            self.state.live.gap_ms = int(away.total_seconds() * 1000)
            await self._event(Returned, away_ms=self.state.live.gap_ms)

    def now(self) -> datetime:
        """The time of day here, with its offset."""
        try:
            zone = ZoneInfo(self.zone or "UTC")
        except (ZoneInfoNotFoundError, ValueError):
            zone = ZoneInfo("UTC")
        return self.clock.now().astimezone(zone)

    async def accept_cautions(self, flags: tuple[ProfileFlag, ...]) -> None:
        """The person has read the cautions and checked the room."""
        profile = self.state.profile or self._new_profile()
        self.state.profile = profile.model_copy(update={"cautions_read_at": self.now(), "flags": flags})
        await self.store.save_profile(self.state.profile)
        self._show(Screen.setup)

    def _new_profile(self) -> Profile:
        return Profile(trainee_id=str(uuid4()), name="Trainee", zone=self.zone or "UTC")

    # Minutes and kit

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

    # The session

    async def start(self) -> None:
        """Opens the running record and starts the clock."""
        session = self.state.session
        if session is None or self.state.live is not None:
            return
        started_at = self.now()
        finish_at = started_at + timedelta(milliseconds=session.total_ms)
        opening = RunningRecord(
            run_id=str(uuid4()), started_at=started_at, zone=self.zone, finish_at=finish_at, session=session
        )
        await self.store.open_run(opening)
        self.state.live = Live(
            opening.run_id, begin(session), started_at, finish_at, self.clock.monotonic_ms()
        )
        self.state.answers = LogAnswers(loads_g=await self._last_loads(session))
        await self._event(Started)
        await self.cues.awake(True)
        self._show(Screen.running)

    async def _last_loads(self, session: FittedSession) -> dict[str, int]:
        lifted = {(last.movement, last.form): last.load_g for last in await self.store.last_loads()}
        chosen = [item.chosen for block in session.blocks if block.kind == "work" for item in block.items]
        return {c.movement: lifted[c.movement, c.form] for c in chosen if (c.movement, c.form) in lifted}

    def session_ms(self) -> int:
        """Session time now."""
        live = self.state.live
        return 0 if live is None else max(live.state.at_ms, self.clock.monotonic_ms() - live.zero_ms)

    def cue_is_near(self) -> bool:
        """Whether nothing may repaint just now."""
        live = self.state.live
        return live is not None and in_quiet_window(live.cue_times_ms, self.session_ms())

    async def watch(self) -> None:
        """Called often while a session runs: enters what the clock begins, and notices a sleep."""
        live = self.state.live
        if live is None or live.state.status is not Status.running:
            self._before = read(self.clock)
            return
        before, self._before = self._before, read(self.clock)
        gap_ms = diverged_ms(before, self._before)
        if gap_ms:
            live.gap_ms = abs(gap_ms)
            await self._event(Paused)
            self.state.on_change()
            return
        index = live.state.index
        moved = at(live.state, self.session_ms())
        if moved.index == index:
            return
        live.state = moved
        if moved.current is not None:
            await self._write(Mark, segment_id=moved.current.id)
        else:
            await self._write(Ended, ending=Ending.finished)
        await self._took_effect()

    async def _took_effect(self) -> None:
        """Shows what an event led to; a session that is over goes on to its log."""
        if self._live().state.status is Status.ended:
            await self.cues.awake(False)
            self.state.screen = Screen.log
        self.state.on_change()

    async def _write(self, kind: type[Event], **fields: Any) -> None:
        """Writes an event down, and only then lets it take effect."""
        live = self._live()
        event = kind(
            seq=live.state.seq + 1, id=str(uuid4()), session_ms=self.session_ms(), wall=self.now(), **fields
        )
        await self.store.append(event)
        live.state = advance(live.state, event)

    async def _event(self, kind: type[Event], **fields: Any) -> None:
        """An event of the person's: it moves the cues that are to come."""
        await self._write(kind, **fields)
        await self._hand_over_cues()

    def _live(self) -> Live:
        if self.state.live is None:
            raise LookupError("No session is in progress.")
        return self.state.live

    async def _hand_over_cues(self) -> None:
        live = self._live()
        cues, now_ms = coming_cues(live.state), self.session_ms()
        for due in cues:  # due at the event itself, whose writing took a few milliseconds
            if due.at_ms < now_ms:
                await self.cues.play(due)
        cues = tuple(c for c in cues if c.at_ms >= now_ms)
        live.cue_times_ms = tuple(c.at_ms for c in cues)
        if cues:
            await self.cues.schedule(cues, session_ms=self.session_ms())
        else:
            await self.cues.cancel()

    async def _do(self, kind: type[Event], **fields: Any) -> None:
        await self._event(kind, **fields)
        await self._took_effect()

    async def pause(self) -> None:
        await self._do(Paused)

    async def resume(self) -> None:
        live = self.state.live
        if live is not None:
            live.gap_ms = 0
        await self._do(Resumed)

    async def tick(self) -> None:
        """The self-paced item that is on is done."""
        await self._do(Ticked)

    async def hold(self, on: bool) -> None:
        await self._do(HoldStarted if on else HoldStopped)

    async def skip(self) -> None:
        await self._do(Skipped)

    async def back(self) -> None:
        await self._do(WentBack)

    async def redo(self) -> None:
        await self._do(Redone)

    async def more_rest(self) -> None:
        await self._do(MoreRest, added_ms=MORE_REST_MS)

    async def position_lost(self) -> None:
        await self._do(PositionLost)

    async def end_early(self) -> None:
        await self._do(Ended, ending=Ending.early)

    def set_load(self, movement: str, load_g: int) -> None:
        loads = {**self.state.answers.loads_g, movement: load_g}
        self.state.answers = self.state.answers.model_copy(update={"loads_g": loads})
        self.state.on_change()

    # Something hurts

    async def something_hurts(self) -> None:
        """Stops at once; what hurts is asked afterwards."""
        await self._event(Paused)
        await self.cues.play(cue(CueKind.stop, self.session_ms(), "Stop."))
        in_hand = self._live().state.in_hand
        self.state.pain = PainNote(
            session_ms=self.session_ms(),
            segment_id=in_hand.id if in_hand else None,
            movement=in_hand.movement if in_hand else None,
        )
        self._show(Screen.hurt)

    def describe_pain(self, **changes: object) -> None:
        self.state.pain = PainNote.model_validate(self._pain().model_dump() | changes)
        self.state.on_change()

    def advice(self) -> Advice | None:
        """What the rules say to the note so far; None while it does not say enough."""
        note, live = self._pain(), self.state.live
        earlier = live.state.pains if live else ()
        retried = any(one.movement == note.movement and one.rating for one in earlier)
        return advice(note, retried=retried)

    def _pain(self) -> PainNote:
        if self.state.pain is None:
            raise LookupError("No pain note is open.")
        return self.state.pain

    async def answer_pain(self, then: str) -> None:
        """Keeps the pain note, whatever happens next: ``go_on``, ``skip`` the movement, or ``end``."""
        await self._event(Hurt, pain=self._pain())
        self.state.pain, self.state.screen = None, Screen.running
        if then == "end":
            await self._do(Ended, ending=Ending.pain)
            return
        await self._event(Resumed)
        if then == "skip":
            await self._event(Skipped)
        self.state.on_change()

    async def not_hurt(self) -> None:
        """A slip of the finger: back to the session, still paused."""
        self.state.pain = None
        self._show(Screen.running)

    # Log and week

    def log_effort(self, effort: float | None) -> None:
        self._answer(effort=effort)

    def log_note(self, note: str) -> None:
        self._answer(note=note[:2_000], quiet=True)

    def log_set(self, key: str, **changes: object) -> None:
        now = self.state.answers.exceptions.get(key, SetAnswer())
        answer = SetAnswer.model_validate(now.model_dump() | changes)
        self._answer(exceptions={**self.state.answers.exceptions, key: answer})

    def _answer(self, *, quiet: bool = False, **changes: object) -> None:
        self.state.answers = self.state.answers.model_copy(update=changes)
        if not quiet:
            self.state.on_change()

    async def save_log(self) -> None:
        """Makes the record, saves it, and only then lets go of the running record."""
        live, profile = self._live(), self.state.profile or self._new_profile()
        record = record_from(
            live.state,
            self.state.answers,
            record_id=live.run_id,
            profile=profile,
            started_at=live.started_at,
            ended_at=live.started_at + timedelta(milliseconds=live.state.at_ms + live.state.away_ms),
        )
        await self.store.save_record(record)
        await self.store.close_run()
        self.state.live, self.state.answers = None, LogAnswers()
        self._remember((record,))
        self.refit()
        self.state.said = "Saved."
        await self.show_week(iso_week(record.local_date))

    async def show_week(self, week: str | None = None) -> None:
        self.state.week = week or self.state.week
        self.state.weeks = await self.store.week_index()
        self.state.records = await amended_records(self.store, self.state.week)
        self._show(Screen.week)

    async def step_week(self, weeks: int) -> None:
        await self.show_week(week_before(self.state.week, -weeks))

    def show_setup(self) -> None:
        self.state.said = ""
        self._show(Screen.running if self.state.live else Screen.setup)

    def _show(self, screen: Screen) -> None:
        self.state.screen = screen
        self.state.on_change()
