"""The ladder of a movement without a weight, and what it grows to today.

Two clear sessions make a step: a round that the minutes bring; else the lowering 1 s longer, to 5 s; then a
pause of 1 s where the movement is hardest; then the harder version. † The order is our judgement, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import cached_property

from engine.base.message import Argument, Count, Message, Said, Seconds, message
from engine.base.model import Model
from engine.load.clear import (
    CLEAR_SESSIONS,
    FELL_SHORT,
    LONGEST_BREAK_DAYS,
    clear_row,
    shortfall,
    what_helps,
)
from engine.load.next_step import FRESH_DAYS, PAUSE_AT, fresh_after
from engine.load.proposal import (
    AFTER_ILLNESS,
    BEFORE_THAT_TOO,
    EFFORT_LOW,
    FORM_FIRST,
    MINIMUM_ROUNDS,
    NO_STEP_LEFT,
    NOTHING_GROWS,
    ONE_CLEAR_SO_FAR,
    ONLY_PAINLESS,
    ROUND_IS_THE_STEP,
    SAME_AGAIN,
    STEP_BACK,
    TWO_CLEAR,
    PlannedMovement,
)
from engine.load.propose import days_away, return_after_pain
from engine.load.rules import EASY_RESERVE, OURS, RESERVE, LoadRules, reserve_aimed_at
from engine.load.rung import is_near, may_be_slower
from engine.load.too_hard import (
    HARD_SESSIONS,
    TOO_HARD,
    hard_in_a_row,
    too_hard_in_a_row,
    too_hard_question,
)
from engine.movements.after_pain import SOUND_RETURNS
from engine.movements.movement import Kit, StartsWith
from engine.movements.tempo import Tempo, parse_tempo, paused, slower
from engine.record.exposure import Exposure, LoadKey, in_order, keys_by_place, planned_work
from engine.session.fitted import FittedItem, FittedSession

AS_PLANNED = message("tempo_of_the_plan")
SLOWEST_LOWERING_S = 5
"""† Our judgement, no source."""


class FreeStep(StrEnum):
    """What today's proposal changes, compared with the last time."""

    first_time = "first_time"
    returning = "returning"
    after_absence = "after_absence"
    same = "same"
    rung_back = "rung_back"
    round_more = "round_more"
    slower = "slower"
    pause = "pause"
    harder = "harder"


class FreeMovement(PlannedMovement):
    """A movement without a weight."""

    @property
    def ladder(self) -> tuple[Tempo | None, ...]:
        """The tempos from the plan's own to the hardest; a hold has one rung."""
        tempo = self.key.tempo
        if tempo is None or self.starts_with is StartsWith.hold:
            return (tempo,)
        rungs = [tempo]
        while parse_tempo(rungs[-1]).lowering_s < SLOWEST_LOWERING_S and may_be_slower(rungs[-1]):
            rungs.append(slower(rungs[-1]))
        if may_be_slower(rungs[-1]):
            rungs.append(paused(rungs[-1], self.hardest))
        return tuple(rungs)


class FreeProposal(Model):
    """How to do a movement without a weight today. ``tempo`` is the one to use, ``harder`` names the version
    to practise, where that is the step, ``question`` is for the coach."""

    key: LoadKey
    name: str
    step: FreeStep
    tempo: Tempo | None
    harder: Argument | None = None
    minimum_of_rounds: bool = False
    practice_required: bool = False
    reserve: int = RESERVE
    reason: Said
    source: Said = (OURS,)
    question: Message | None = None


@dataclass(frozen=True)
class _Case:
    """One movement up to today; ``past`` are its exposures in every variant, the earliest first."""

    planned: FreeMovement
    past: tuple[Exposure, ...]
    today: date
    rules: LoadRules

    @cached_property
    def done(self) -> tuple[Exposure, ...]:
        """The exposures on the ladder."""
        rungs = self.planned.ladder
        alike = (one for one in self.past if one.sets and is_near(one.key, self.planned.key))
        return tuple(one for one in alike if one.key.tempo in rungs)

    @property
    def rung(self) -> int:
        """The rung of the last session."""
        return self.planned.ladder.index(self.done[-1].key.tempo)

    def proposal(self, step: FreeStep, rung: int, reason: Said, **fields: object) -> FreeProposal:
        own = {one.record_id for one in self.past if one.sets and one.key.same_variant(self.planned.key)}
        reserve = reserve_aimed_at(self.planned.reserve, careful=self.rules.careful, sessions=len(own))
        made: dict[str, object] = {
            "key": self.planned.key,
            "name": self.planned.name,
            "step": step,
            "tempo": self.planned.ladder[max(0, rung)],
            "reserve": reserve,
            "reason": reason,
        }
        return FreeProposal.model_validate(made | fields)


def propose_free(
    planned: FreeMovement, history: Iterable[Exposure], *, today: date, rules: LoadRules
) -> FreeProposal:
    """How to do one movement without a weight today, from the exposures of earlier sessions.

    The rules for pain, form and range are those of loads: nothing grows on them.
    """
    case = _Case(planned, in_order(history, planned.key.movement), today, rules)
    if not case.done:
        reason = message("first_time_in_this_version", left=Count(count=RESERVE))
        return case.proposal(FreeStep.first_time, 0, (reason,), practice_required=True)
    return _from_the_beginning(case) or _after_trouble(case) or _after_sound(case)


def _from_the_beginning(case: _Case) -> FreeProposal | None:
    """The plan's own tempo after pain, an illness or a long break; None where none of them counts."""
    fields = {"practice_required": True, "minimum_of_rounds": True}
    pains = [one.started_at for one in case.past if one.hurt_badly]
    returns = {one.record_id for one in case.done if pains and one.started_at > pains[-1] and one.sound}
    if pains and len(returns) < SOUND_RETURNS:
        reason: Said = (return_after_pain(len(returns) + 1), AS_PLANNED, ONLY_PAINLESS)
        return case.proposal(FreeStep.returning, 0, reason, **fields)
    if case.rules.easy_session:
        reason = (AFTER_ILLNESS, AS_PLANNED, EFFORT_LOW, MINIMUM_ROUNDS)
        return case.proposal(FreeStep.returning, 0, reason, reserve=EASY_RESERVE, **fields)
    days = (case.today - case.done[-1].local_date).days
    if days > LONGEST_BREAK_DAYS:
        reason = (days_away(days), AS_PLANNED, MINIMUM_ROUNDS)
        return case.proposal(FreeStep.after_absence, 0, reason, **fields)
    return None


def _after_trouble(case: _Case) -> FreeProposal | None:
    """The same again after one session that went badly, one rung back after two, also where both were only
    too hard; None after any other."""
    last, latest, rung = case.done[-1], case.past[-1], case.rung
    if not (last.sound and latest.sound):
        fell_short = shortfall(last if latest.sound else latest, goal=case.planned.goal)
        trouble = (FELL_SHORT[fell_short],) if fell_short else ()
        if len(case.done) > 1 and not (last.sound or case.done[-2].sound):
            return _back(case, (*trouble, BEFORE_THAT_TOO))
        reason = (*trouble, SAME_AGAIN, FORM_FIRST)
        return case.proposal(FreeStep.same, rung, reason, practice_required=True)
    hard = hard_in_a_row(case.done, goal=case.planned.goal)
    if hard < HARD_SESSIONS:
        return None
    if hard % HARD_SESSIONS:
        return case.proposal(FreeStep.same, rung, (TOO_HARD, SAME_AGAIN))
    return _back(case, (too_hard_in_a_row(hard),), question=too_hard_question(case.planned.named, hard))


def _back(case: _Case, why: Said, **fields: object) -> FreeProposal:
    """One rung back; from the first, the easier version is the way."""
    if case.rung == 0:
        reason = (*why, message("same_or_easier_version"))
        return case.proposal(FreeStep.same, 0, reason, practice_required=True, **fields)
    return case.proposal(FreeStep.rung_back, case.rung - 1, (*why, STEP_BACK), **fields)


def _after_sound(case: _Case) -> FreeProposal:
    """The same again after a session that was not clear, or a step."""
    rung = case.rung
    days = (case.today - case.done[-1].local_date).days
    if days > FRESH_DAYS:
        return case.proposal(FreeStep.same, rung, (fresh_after(days),), practice_required=True)
    fell_short = shortfall(case.done[-1], goal=case.planned.goal)
    if fell_short is not None:
        reason = (FELL_SHORT[fell_short], SAME_AGAIN, *what_helps(fell_short))
        return case.proposal(FreeStep.same, rung, reason)
    if case.rules.no_growth:
        return case.proposal(FreeStep.same, rung, (NOTHING_GROWS, SAME_AGAIN))
    row = clear_row(case.done, case.planned.key, goal=case.planned.goal)
    if len(row) < CLEAR_SESSIONS:
        return case.proposal(FreeStep.same, rung, (ONE_CLEAR_SO_FAR, SAME_AGAIN))
    return _step_up(case, row)


def _step_up(case: _Case, row: Sequence[Exposure]) -> FreeProposal:
    rung, up, planned = case.rung, case.rung + 1, case.planned
    if planned.rounds > max(len(one.rounds) for one in row):
        return case.proposal(FreeStep.round_more, rung, (TWO_CLEAR, ROUND_IS_THE_STEP))
    if up < len(planned.ladder):
        return _slower(case, up)
    question = planned.outgrown(0)
    if planned.harder is None:
        reason = (NO_STEP_LEFT, SAME_AGAIN, planned.harder_version)
        return case.proposal(FreeStep.same, rung, reason, question=question)
    steps = (TWO_CLEAR, NO_STEP_LEFT, planned.harder_version, message("harder_version_comes_next"))
    return case.proposal(FreeStep.harder, rung, steps, harder=planned.harder, question=question)


def _slower(case: _Case, up: int) -> FreeProposal:
    """The next tempo: a longer lowering, or a pause."""
    below_s, lowering_s = (
        parse_tempo(case.planned.ladder[rung] or "1-0-0-0").lowering_s for rung in (case.rung, up)
    )
    if lowering_s == below_s:
        reason = (TWO_CLEAR, PAUSE_AT[case.planned.hardest])
        return case.proposal(FreeStep.pause, up, reason, practice_required=True)
    slower_by = message("lower_more_slowly", lowering=Seconds(seconds=lowering_s))
    return case.proposal(FreeStep.slower, up, (TWO_CLEAR, slower_by), practice_required=True)


def as_grown(session: FittedSession, made: Iterable[FreeProposal]) -> FittedSession:
    """The session with the tempos that were proposed for it, in every place its own."""
    tempos, keys = {one.key: one.tempo for one in made}, keys_by_place(session)

    def grown(block: str, item: FittedItem) -> FittedItem:
        key = keys.get((block, item.place))
        return item.model_copy(update={"tempo": tempos[key]}) if key in tempos else item

    return session.with_work(grown)


def free_movements(session: FittedSession) -> tuple[FreeMovement, ...]:
    """The movements of a session's work that are done without a weight, in order."""
    return tuple(
        FreeMovement.of_item(key, item, rounds)
        for key, item, rounds in planned_work(session)
        if key.kit is Kit.none
    )
