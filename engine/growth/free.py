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

from engine.base.model import Model, Sentence
from engine.load.clear import CLEAR_SESSIONS, LONGEST_BREAK_DAYS, Shortfall, clear_row, shortfall
from engine.load.next_step import FRESH_DAYS
from engine.load.proposal import PlannedMovement
from engine.load.rules import EASY_RESERVE, OURS, RESERVE, LoadRules, reserve_aimed_at
from engine.load.rung import is_near, may_be_slower
from engine.load.too_hard import HARD_SESSIONS, hard_in_a_row
from engine.movements.after_pain import SOUND_RETURNS
from engine.movements.movement import Kit, StartsWith
from engine.movements.tempo import Tempo, parse_tempo, paused, slower
from engine.record.exposure import Exposure, LoadKey, in_order, keys_by_place, planned_work
from engine.session.fitted import FittedItem, FittedSession

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
    harder: str | None = None
    minimum_of_rounds: bool = False
    practice_required: bool = False
    reserve: int = RESERVE
    reason: Sentence
    source: Sentence = OURS
    question: Sentence | None = None


@dataclass(frozen=True)
class _Case:
    """One movement up to today; ``past`` are its exposures in every form, the earliest first."""

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

    def proposal(self, step: FreeStep, rung: int, reason: str, **fields: object) -> FreeProposal:
        own = {one.record_id for one in self.past if one.sets and one.key.same_form(self.planned.key)}
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

    def words(self, rung: int) -> str:
        """“4 s down”, “4 s down, 1 s pause”, “the same”."""
        tempo = self.planned.ladder[max(0, rung)]
        if tempo is None:
            return "the same hold"
        said = f"{parse_tempo(tempo).lowering_s} s down"
        return f"{said}, with the pause" if rung and rung == len(self.planned.ladder) - 1 else said


def propose_free(
    planned: FreeMovement, history: Iterable[Exposure], *, today: date, rules: LoadRules
) -> FreeProposal:
    """How to do one movement without a weight today, from the exposures of earlier sessions.

    The rules for pain, form and range are those of loads: nothing grows on them.
    """
    case = _Case(planned, in_order(history, planned.key.movement), today, rules)
    if not case.done:
        reason = "First time in this version: practise it, and stop each set with 3 or more left."
        return case.proposal(FreeStep.first_time, 0, reason, practice_required=True)
    return _from_the_beginning(case) or _after_trouble(case) or _after_sound(case)


def _from_the_beginning(case: _Case) -> FreeProposal | None:
    """The plan's own tempo after pain, an illness or a long break; None where none of them counts."""
    fields = {"practice_required": True, "minimum_of_rounds": True}
    first = case.words(0)
    pains = [one.started_at for one in case.past if one.hurt_badly]
    returns = {one.record_id for one in case.done if pains and one.started_at > pains[-1] and one.sound}
    if pains and len(returns) < SOUND_RETURNS:
        reason = f"Return {len(returns) + 1} after pain: {first}, and only while nothing hurts."
        return case.proposal(FreeStep.returning, 0, reason, **fields)
    if case.rules.easy_session:
        reason = f"Back after an illness: {first}, at effort 5 of 10 at most."
        return case.proposal(FreeStep.returning, 0, reason, reserve=EASY_RESERVE, **fields)
    days = (case.today - case.done[-1].local_date).days
    if days > LONGEST_BREAK_DAYS:
        reason = f"{days} days away: {first} again, and the minimum of rounds."
        return case.proposal(FreeStep.after_absence, 0, reason, **fields)
    return None


def _after_trouble(case: _Case) -> FreeProposal | None:
    """The same again after one session that went badly, one rung back after two, also where both were only
    too hard; None after any other."""
    last, latest, rung, name = case.done[-1], case.past[-1], case.rung, case.planned.name
    if not (last.sound and latest.sound):
        trouble = f"last time, {shortfall(last if latest.sound else latest, goal=case.planned.goal)}"
        if len(case.done) > 1 and not (last.sound or case.done[-2].sound):
            return _back(case, f"{trouble}, and before that as well")
        reason = f"{case.words(rung)} again: {trouble}. Form and range come before anything harder."
        return case.proposal(FreeStep.same, rung, reason, practice_required=True)
    hard = hard_in_a_row(case.done, goal=case.planned.goal)
    if hard < HARD_SESSIONS:
        return None
    what = "too few repetitions, or 0–1 left"
    if hard % HARD_SESSIONS:
        return case.proposal(FreeStep.same, rung, f"{case.words(rung)} again: last time, {what}.")
    asks = {"question": f"{name} was too hard {hard} times in a row: what does the coach say?"}
    return _back(case, f"{hard} sessions in a row with {what}", **(asks if hard > HARD_SESSIONS else {}))


def _back(case: _Case, why: str, **fields: object) -> FreeProposal:
    """One rung back; from the first, the easier version is the way."""
    if case.rung == 0:
        reason = f"{case.words(0)} again, or the easier version: {why}."
        return case.proposal(FreeStep.same, 0, reason, practice_required=True, **fields)
    reason = f"One rung back, {case.words(case.rung - 1)}: {why}."
    return case.proposal(FreeStep.rung_back, case.rung - 1, reason, **fields)


def _after_sound(case: _Case) -> FreeProposal:
    """The same again after a session that was not clear, or a step."""
    rung, now = case.rung, case.words(case.rung)
    days = (case.today - case.done[-1].local_date).days
    if days > FRESH_DAYS:
        reason = f"{days} days away: {now} again, with practice first."
        return case.proposal(FreeStep.same, rung, reason, practice_required=True)
    fell_short = shortfall(case.done[-1], goal=case.planned.goal)
    if fell_short is not None:
        hint = " Say how many repetitions were left." if fell_short is Shortfall.effort else ""
        return case.proposal(FreeStep.same, rung, f"{now} again: last time, {fell_short}.{hint}")
    if case.rules.no_growth:
        return case.proposal(FreeStep.same, rung, f"{now} again: nothing grows on a day that hurts.")
    row = clear_row(case.done, case.planned.key, goal=case.planned.goal)
    if len(row) < CLEAR_SESSIONS:
        reason = f"{now} again: one clear session so far, and two make a step."
        return case.proposal(FreeStep.same, rung, reason)
    return _step_up(case, row)


def _step_up(case: _Case, row: Sequence[Exposure]) -> FreeProposal:
    rung, now, up = case.rung, case.words(case.rung), case.rung + 1
    if case.planned.rounds > max(len(one.rounds) for one in row):
        reason = f"Two clear sessions: {now} again, for today has a round more, and that is the step."
        return case.proposal(FreeStep.round_more, rung, reason)
    if up < len(case.planned.ladder):
        is_pause = (
            parse_tempo(case.planned.ladder[up] or "1-0-0-0").lowering_s
            == parse_tempo(case.planned.ladder[rung] or "1-0-0-0").lowering_s
        )
        step = FreeStep.pause if is_pause else FreeStep.slower
        return case.proposal(step, up, f"Two clear sessions: {case.words(up)}.", practice_required=True)
    harder, name = case.planned.harder, case.planned.name
    if harder is None:
        reason = f"{now} again: there is no harder version here. Ask the coach."
        return case.proposal(FreeStep.same, rung, reason, question=f"{name} has nowhere to go: what now?")
    reason = (
        f"Two clear sessions on the last rung: {harder} comes next, at the first tempo, with practice and "
        "the minimum of rounds. Ask the coach to put it into the plan."
    )
    question = f"{name} is clear on its last rung: may {harder} take its place?"
    return case.proposal(FreeStep.harder, rung, reason, harder=harder, question=question)


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
