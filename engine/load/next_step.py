"""What to lift after a session with the same form, interval and tempo at most 13 days ago: the same, or one
step.

Two clear sessions earn a step, the first that is possible: the next weight where the published rules allow
it, else a round more, else 1 s more at the bottom, else the heavier weight in round 1 only, then in two
rounds, then in all. † The order is our judgement, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.load.clear import CLEAR_SESSIONS, LONGEST_BREAK_DAYS, Shortfall, clear_row, shortfall
from engine.load.proposal import Case, LoadProposal, LoadStep
from engine.load.rack import at_most, next_above
from engine.load.rules import ACSM, NSCA, OURS, Follow, barred_by
from engine.load.rung import Rung, pause_key, rung_of
from engine.movements.movement import StartsWith
from engine.record.exposure import Exposure

BY_LEAVE = "The coach's leave; the published limits of a rise are set aside."
FRESH_DAYS = 7
"""After up to 7 days away nothing changes. † Our judgement, no source."""
FIRST_HEAVIER_ROUNDS = 2
"""A heavier weight comes in round 1, then in 2 rounds, then in all. † Our judgement, no source."""


def after_session(case: Case, session: Exposure) -> LoadProposal:
    """The proposal after a session with the planned key, or with its pause, whose loads are known."""
    rung = rung_of(session, case.planned.key) or Rung(load_g=0)
    load_g = at_most(case.weights_g, case.limited(rung.load_g))
    if not (case.sound and case.ladder[-1].sound):
        return _after_unsound(case, load_g)
    if load_g < rung.load_g:
        reason = f"{case.words(rung.load_g)} cannot be had today: {case.words(load_g)} is the next below."
        return case.proposal(LoadStep.lighter, load_g, reason)
    days = case.days_since(session)
    if days > FRESH_DAYS:
        reason = f"{days} days away: {case.words(load_g)} again, with practice first."
        return _same(case, rung, reason, practice_required=True)
    return _after_sound(case, rung)


def _after_unsound(case: Case, load_g: int) -> LoadProposal:
    """The same weight in all rounds after one unsound session, a lighter one after two in a row."""
    if len(case.ladder) > 1 and not (case.ladder[-1].sound or case.ladder[-2].sound):
        lighter_g = at_most(case.weights_g, load_g - 1)
        reason = f"{case.words(lighter_g)}, one weight down: {case.trouble}, and before that as well."
        return case.proposal(LoadStep.lighter, lighter_g, reason)
    reason = f"{case.words(load_g)} in all rounds: {case.trouble}. Position and range come before load."
    return case.proposal(LoadStep.same, load_g, reason, practice_required=True)


def _after_sound(case: Case, rung: Rung) -> LoadProposal:
    """The same again after a session that was not clear; else back towards an earlier load, or a step."""
    goal = case.planned.goal
    fell_short = shortfall(case.ladder[-1], goal=goal)
    if fell_short is not None:
        return _same(case, rung, _again(case, rung.load_g, fell_short))
    if case.rules.no_growth:
        return _same(case, rung, f"{case.words(rung.load_g)} again: nothing grows on a day that hurts.")
    before_g = _before_break(case.ladder, case.past)
    up_g = min(next_above(case.weights_g, rung.load_g) or 0, at_most(case.weights_g, before_g))
    if up_g > rung.load_g:
        reason = f"One clear session since the break: {case.words(up_g)}, one weight up, as lifted before."
        return case.proposal(LoadStep.back_up, up_g, reason)
    row = clear_row(case.ladder, case.planned.key, goal=goal)
    next_g = next_above(case.weights_g, rung.load_g)
    if next_g and _has_leave(case, row):
        reason = f"{case.words(next_g)} in all rounds: it was earned, and the coach allows it."
        return case.proposal(LoadStep.heavier, next_g, reason, source=BY_LEAVE)
    if len(row) < CLEAR_SESSIONS:
        reason = f"{case.words(rung.load_g)} again: one clear session so far, and two make a step."
        return _same(case, rung, reason)
    return _step_up(case, rung, max(len(one.rounds) for one in row))


def _has_leave(case: Case, row: Sequence[Exposure]) -> bool:
    """Whether the coach allows the next weight after these clear sessions. A day with a round more has its
    step already."""
    movement, rules = case.planned.key.movement, case.rules
    enough = 1 if movement in rules.sooner else CLEAR_SESSIONS
    asked = movement in (*rules.allowed, *rules.sooner)
    return asked and len(row) >= enough and case.planned.rounds <= max(len(one.rounds) for one in row)


def _again(case: Case, load_g: int, fell_short: Shortfall) -> str:
    """Why the load stays, and what would let it rise."""
    hint = {
        Shortfall.effort: " Say how many repetitions were left, and a step can be proposed.",
        Shortfall.unpredictable: " The coach decides on a step.",
    }.get(fell_short, "")
    return f"{case.words(load_g)} again: last time, {fell_short}.{hint}"


def _same(
    case: Case, rung: Rung, reason: str, *, step: LoadStep = LoadStep.same, **fields: object
) -> LoadProposal:
    """The same rung again, with its pause and its heavier weight in the first rounds, but never in all."""
    kept: dict[str, object] = {}
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    heavier_rounds = min(rung.heavier_rounds, case.planned.rounds - 1)
    if heavier_g > rung.load_g and heavier_rounds:
        kept = {"heavier_g": heavier_g, "heavier_rounds": heavier_rounds}
    with_pause = pause_key(case.planned.key)
    if rung.pause and with_pause is not None:
        kept["tempo"] = with_pause.tempo
    return case.proposal(step, rung.load_g, reason, **(kept | fields))


def _step_up(case: Case, rung: Rung, rounds: int) -> LoadProposal:
    """One step after two clear sessions of ``rounds`` rounds: the first that is possible."""
    planned, now = case.planned, case.words(rung.load_g)
    if planned.rounds > rounds:
        reason = f"Two clear sessions: {now} again, for today has a round more, and that is the step."
        return _same(case, rung, reason, step=LoadStep.round_more)
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    if heavier_g > rung.load_g:
        return _more_rounds_heavier(case, rung, heavier_g)
    next_g = next_above(case.weights_g, rung.load_g)
    barred = _barred(case, rung.load_g, next_g) if next_g else ()
    if next_g and not barred:
        reason = f"Two clear sessions, with 3 or more repetitions left: {case.words(next_g)} in all rounds."
        source = NSCA if case.rules.follow is Follow.kilograms else ACSM
        return case.proposal(LoadStep.heavier, next_g, reason, source=source)
    why = _why_not_heavier(case, rung.load_g, next_g, barred)
    source = " ".join((OURS, *(f"Limit of a rise: {limit}." for limit in barred)))
    return _instead_of_heavier(case, rung, next_g, rounds, why).model_copy(update={"source": source})


def _more_rounds_heavier(case: Case, rung: Rung, heavier_g: int) -> LoadProposal:
    """The heavier weight in one round more, or in all."""
    heavier = case.words(heavier_g)
    if rung.heavier_rounds < min(FIRST_HEAVIER_ROUNDS, case.planned.rounds - 1):
        reason = f"Two clear sessions with {heavier} in round 1: in rounds 1 and 2 today."
        more = {"heavier_g": heavier_g, "heavier_rounds": rung.heavier_rounds + 1}
        return case.proposal(LoadStep.heavier_first_rounds, rung.load_g, reason, **more)
    reason = f"Two clear sessions with {heavier} in the first rounds: in all rounds today."
    return case.proposal(LoadStep.heavier, heavier_g, reason)


def _barred(case: Case, load_g: int, next_g: int) -> tuple[str, ...]:
    dumbbells = case.planned.key.kit.dumbbells
    return barred_by(load_g, next_g, dumbbells=dumbbells, pattern=case.planned.pattern, rules=case.rules)


def _why_not_heavier(case: Case, load_g: int, next_g: int | None, barred: Sequence[str]) -> str:
    if next_g is None:
        return "no heavier weight can be had"
    up = f"{(next_g - load_g) * 100 / load_g:.0f} % up" if ACSM in barred else "too many kilograms up"
    disagree = len(barred) == 1 and case.rules.follow is Follow.stricter
    stricter = "; published rules disagree, and the stricter holds" if disagree else ""
    return f"the next weight, {case.words(next_g)}, is {up}{stricter}"


def _instead_of_heavier(case: Case, rung: Rung, next_g: int | None, rounds: int, why: str) -> LoadProposal:
    """A round more, else 1 s more at the bottom, else the heavier weight in round 1 only, else no step."""
    planned, now, with_pause = case.planned, case.words(rung.load_g), pause_key(case.planned.key)
    if rounds == planned.rounds < planned.most_rounds:
        reason = f"Two clear sessions, but {why}: {now} again, and a round more."
        return _same(case, rung, reason, step=LoadStep.round_more, rounds_more=1)
    if with_pause is not None and not rung.pause and planned.starts_with is not StartsWith.hold:
        reason = f"Two clear sessions, but {why}: {now} again, with a pause of 1 s more at the bottom."
        return case.proposal(LoadStep.pause, rung.load_g, reason, tempo=with_pause.tempo)
    if next_g is None:
        reason = f"{now} again: {why}. Ask the coach for a harder form."
        return _same(case, rung, reason)
    if planned.rounds == 1:
        reason = f"{now} again: {why}, and there is one round only. Ask the coach."
        return _same(case, rung, reason)
    reason = f"Two clear sessions, but {why}: {case.words(next_g)} in round 1 only, {now} in the others."
    first = {"heavier_g": next_g, "heavier_rounds": 1}
    return case.proposal(LoadStep.heavier_first_rounds, rung.load_g, reason, **first)


def _before_break(ladder: Sequence[Exposure], past: Sequence[Exposure]) -> int:
    """The load before the latest long break, or the latest time the movement was left out after pain; 0 where
    there was none."""
    pains = [one.started_at for one in past if one.hurt_badly]
    for before, after in zip(reversed(ladder[:-1]), reversed(ladder[1:]), strict=True):
        apart_days = (after.local_date - before.local_date).days
        hurt_between = any(before.started_at <= at < after.started_at for at in pains)
        if hurt_between or apart_days > LONGEST_BREAK_DAYS:
            return before.load_g or 0
    return 0
