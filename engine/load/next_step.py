"""What to lift after a session with the same form, interval and tempo at most 13 days ago: the same, or one
step up or back.

Two clear sessions earn a step, the first that is possible: the next weight where the published rules allow
it, else a round more that the minutes bring, else a pause of 1 s where the lift is hardest, else the heavier
weight in round 1 only, then in two rounds, then in all. † The order is our judgement, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.base.phrases import number_of
from engine.load.clear import (
    CLEAR_SESSIONS,
    LONGEST_BREAK_DAYS,
    RESERVE_TO_JUMP,
    Shortfall,
    clear_row,
    half,
    reserve_of,
    shortfall,
)
from engine.load.finding import next_found_g
from engine.load.proposal import Case, LoadProposal, LoadStep
from engine.load.rack import at_most, next_above, next_below
from engine.load.rules import (
    ACSM,
    FIRST_SESSIONS,
    JUMP_PERCENT,
    MOST_JUMP_PERCENT,
    OURS,
    barred_by,
    percent_up,
)
from engine.load.rung import FIRST_HEAVIER_ROUNDS, Rung, rung_below, rung_of
from engine.load.too_hard import HARD_SESSIONS, fell_far_short, hard_in_a_row, is_too_hard
from engine.movements.tempo import Phase
from engine.record.exposure import Exposure

BY_LEAVE = "The coach's leave; the published limits of a rise are set aside."
FRESH_DAYS = 7
"""After up to 7 days away nothing changes. † Our judgement, no source."""


def after_session(case: Case, session: Exposure) -> LoadProposal:
    """The proposal after a session with the planned key, or with its pause, whose loads are known."""
    rung = rung_of(session, case.planned.key) or Rung(load_g=0)
    load_g = at_most(case.weights_g, case.limited(rung.load_g))
    if not (case.sound and case.ladder[-1].sound):
        return _after_unsound(case, load_g)
    if load_g < rung.load_g:
        reason = f"{case.words(rung.load_g)} cannot be had today: {case.words(load_g)} is the next below."
        return case.proposal(LoadStep.lighter, load_g, reason)
    hard = hard_in_a_row(case.ladder, goal=case.planned.goal)
    if hard >= HARD_SESSIONS:
        return _after_hard(case, rung, hard)
    days = case.days_since(session)
    if days > FRESH_DAYS:
        reason = f"{days} days away: {case.words(rung.load_g)} again, with practice first."
        return _same(case, rung, reason, practice_required=True)
    return _after_sound(case, rung)


def _after_unsound(case: Case, load_g: int) -> LoadProposal:
    """The same weight in all rounds after one unsound session, a lighter one after two in a row."""
    if len(case.ladder) > 1 and not (case.ladder[-1].sound or case.ladder[-2].sound):
        lighter_g = next_below(case.weights_g, load_g) or 0
        reason = f"{case.words(lighter_g)}, one weight down: {case.trouble}, and before that as well."
        return case.proposal(LoadStep.lighter, lighter_g, reason)
    reason = f"{case.words(load_g)} in all rounds: {case.trouble}. Form and range come before weight."
    return case.proposal(LoadStep.same, load_g, reason, practice_required=True)


def _after_hard(case: Case, rung: Rung, hard: int) -> LoadProposal:
    """One rung back after two sessions in a row that were too hard, the same again after a third; one more
    rung back, and a question for the coach, after a fourth. A weight with which not even half of the
    repetitions went leaves all rounds."""
    what = "too few repetitions, or 0–1 left"
    if hard % HARD_SESSIONS:
        return _same(case, rung, f"{_now(case, rung)} again: last time, {what}.")
    pauses = case.with_pause is not None
    back = rung_below(rung, case.weights_g, rounds=case.planned.rounds, pauses=pauses)
    if fell_far_short(case.ladder[-1]) and back.load_g < rung.load_g:
        back = Rung(load_g=back.load_g)
    count = {2: "two", 4: "four"}.get(hard, str(hard))
    without = " without the pause" if rung.pause and not back.pause else ""
    reason = f"One rung back, {_now(case, back)}{without}: {count} sessions in a row with {what}."
    ask = {"question": f"{case.planned.name} was too hard {count} times in a row: what does the coach say?"}
    asked = ask if hard > HARD_SESSIONS else {}
    return _same(case, back, reason, step=LoadStep.rung_back, practice_required=False, **asked)


def _now(case: Case, rung: Rung) -> str:
    """“10 kg, and 12 kg in the first 2 rounds”."""
    said = case.words(rung.load_g)
    if rung.heavier_g and rung.heavier_rounds:
        rounds = "round 1" if rung.heavier_rounds == 1 else f"the first {rung.heavier_rounds} rounds"
        return f"{said}, and {case.words(rung.heavier_g)} in {rounds}"
    return f"{said} with the pause" if rung.pause else said


def _after_sound(case: Case, rung: Rung) -> LoadProposal:
    """The same again after a session that was not clear; else back towards an earlier load, or a step."""
    last, goal, now = case.ladder[-1], case.planned.goal, case.words(rung.load_g)
    fell_short = shortfall(last, goal=goal)
    if case.rules.no_growth:
        why = "nothing grows on a day that hurts." if fell_short is None else f"last time, {fell_short}."
        return _same(case, rung, f"{now} again: {why}")
    if rung.load_g == 0 and rung.heavier_g:
        return _after_stages(case, rung)
    found_g = next_found_g(rung.load_g, case.weights_g)
    if found_g and case.sessions < FIRST_SESSIONS and (reserve_of(last) or 0) >= RESERVE_TO_JUMP:
        reason = f"{case.words(found_g)}: 5 or more were left with {now}. The load is still being found."
        return case.proposal(LoadStep.found, found_g, reason)
    if fell_short is not None:
        return _same(case, rung, _again(case, rung, fell_short))
    return _towards_before(case, rung) or _after_clear(case, rung)


def _after_clear(case: Case, rung: Rung) -> LoadProposal:
    """A step after two clear sessions, or sooner where the coach allows it."""
    row = clear_row(case.ladder, case.planned.key, goal=case.planned.goal)
    next_g = next_above(case.weights_g, rung.load_g)
    if next_g and _has_leave(case, row):
        return _by_leave(case, rung, next_g, row)
    if len(row) >= CLEAR_SESSIONS:
        return _step_up(case, rung, row)
    if _is_last(case, rung):
        return _same(case, rung, f"{_now(case, rung)} again: no step is left here. {_harder(case)}")
    return _same(case, rung, f"{_now(case, rung)} again: one clear session so far, and two make a step.")


def _after_stages(case: Case, rung: Rung) -> LoadProposal:
    """The lightest weight in all rounds, after it was sound in the first and not too hard. Where all rounds
    were too hard before, that takes two clear sessions."""
    weight_g = min(rung.heavier_g or 0, next_above(case.weights_g, 0) or 0)
    tried = [number for number, one in enumerate(case.ladder, 1) if one.load_g == weight_g]
    again = bool(tried) and is_too_hard(case.ladder[: tried[-1]])
    row = clear_row(case.ladder, case.planned.key)
    if not weight_g or is_too_hard(case.ladder) or (again and len(row) < CLEAR_SESSIONS):
        return _same(case, rung, f"{_now(case, rung)} again, before it comes in more rounds.")
    reason = f"{case.words(weight_g)} in all rounds: the first went well."
    return case.proposal(LoadStep.staged, weight_g, reason)


def _towards_before(case: Case, rung: Rung) -> LoadProposal | None:
    """The next weight towards a load that was lifted before, after one clear session; None where nothing was
    lost. A jump comes in round 1 first, unless it is of a quarter at most and 5 or more were left.

    † That one clear session is enough on the way back is our judgement, no source.
    """
    before_g = _lifted_before(case)
    up_g = min(next_above(case.weights_g, rung.load_g) or 0, at_most(case.weights_g, before_g))
    if up_g <= rung.load_g:
        return None
    up, percent = case.words(up_g), percent_up(rung.load_g, up_g)
    before = "as lifted before" if up_g == before_g else f"towards the {case.words(before_g)} of before"
    much_left = (reserve_of(case.ladder[-1]) or 0) >= RESERVE_TO_JUMP
    in_all = percent <= JUMP_PERCENT or (percent <= MOST_JUMP_PERCENT and much_left)
    if in_all or rung.heavier_g or case.planned.rounds == 1:
        reason = f"One clear session: {up}, one weight up, {before}."
        return case.proposal(LoadStep.back_up, up_g, reason)
    reason = f"One clear session: {up} in round 1 only, {before}."
    return case.proposal(LoadStep.back_up, rung.load_g, reason, heavier_g=up_g, heavier_rounds=1)


def _has_leave(case: Case, row: Sequence[Exposure]) -> bool:
    """Whether the coach allows the next weight after these clear sessions. A day with a round more has its
    step already."""
    movement, rules = case.planned.key.movement, case.rules
    enough = 1 if movement in rules.sooner else CLEAR_SESSIONS
    asked = movement in (*rules.allowed, *rules.sooner)
    return asked and len(row) >= enough and case.planned.rounds <= max(len(one.rounds) for one in row)


def _by_leave(case: Case, rung: Rung, next_g: int, row: Sequence[Exposure]) -> LoadProposal:
    """The next weight that the coach allows: in all rounds where a published rule allows it too, else in
    round 1 first."""
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    if heavier_g > rung.load_g:
        return _more_rounds_heavier(case, rung, heavier_g, row)
    next_up, barred = case.words(next_g), _barred(case, rung.load_g, next_g)
    far = percent_up(rung.load_g, next_g) > MOST_JUMP_PERCENT or len(barred) > 1
    if far and case.planned.rounds > 1:
        first = f"then in round 1 only{_goal(case)}{_unpaused(rung)}"
        reason = f"3 repetitions with {next_up} in practice, {first}: the coach allows it."
        return _first_rounds(case, rung, next_g, reason, source=BY_LEAVE)
    reason = f"{next_up} in all rounds{_unpaused(rung)}: it was earned, and the coach allows it."
    return case.proposal(LoadStep.heavier, next_g, reason, source=BY_LEAVE)


def _unpaused(rung: Rung) -> str:
    return ", without the pause" if rung.pause else ""


def _is_last(case: Case, rung: Rung) -> bool:
    """Whether clear sessions lead no further here: to no weight, no round with it, and no pause."""
    if rung.heavier_g or (case.with_pause is not None and not rung.pause):
        return False
    next_g = next_above(case.weights_g, rung.load_g)
    if next_g is None or not _barred(case, rung.load_g, next_g):
        return next_g is None
    return percent_up(rung.load_g, next_g) > MOST_JUMP_PERCENT or case.planned.rounds == 1


def _again(case: Case, rung: Rung, fell_short: Shortfall) -> str:
    """Why the load stays, and what would let it rise."""
    hints = {
        Shortfall.effort: " Say how many repetitions were left, and a step can be proposed.",
        Shortfall.unpredictable: " The coach decides on a step.",
    }
    hint = "" if _is_last(case, rung) else hints.get(fell_short, "")
    return f"{_now(case, rung)} again: last time, {fell_short}.{hint}"


def _same(
    case: Case, rung: Rung, reason: str, *, step: LoadStep = LoadStep.same, **fields: object
) -> LoadProposal:
    """A rung with its pause and its heavier weight in the first rounds, but never in all."""
    kept: dict[str, object] = {}
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    heavier_rounds = min(rung.heavier_rounds, case.planned.rounds - 1)
    if heavier_g > rung.load_g and heavier_rounds:
        kept = _heavier(case, heavier_g, heavier_rounds)
    if rung.pause and case.with_pause is not None:
        kept["tempo"] = case.with_pause.tempo
    return case.proposal(step, rung.load_g, reason, **(kept | fields))


def _heavier(case: Case, heavier_g: int, rounds: int) -> dict[str, object]:
    """The fields of a heavier weight in the first rounds, with half the ceiling as its goal."""
    ceiling = case.planned.goal or case.planned.key.ceiling
    return {
        "heavier_g": heavier_g,
        "heavier_rounds": rounds,
        "heavier_goal": half(ceiling) if ceiling else None,
    }


def _first_rounds(
    case: Case, rung: Rung, heavier_g: int, reason: str, *, rounds: int = 1, **fields: object
) -> LoadProposal:
    more = _heavier(case, heavier_g, rounds) | fields
    return case.proposal(LoadStep.heavier_first_rounds, rung.load_g, reason, **more)


def _step_up(case: Case, rung: Rung, row: Sequence[Exposure]) -> LoadProposal:
    """One step after two clear sessions: the first that is possible."""
    now = _now(case, rung)
    if case.planned.rounds > max(len(one.rounds) for one in row):
        reason = f"Two clear sessions: {now} again, for today has a round more, and that is the step."
        return _same(case, rung, reason, step=LoadStep.round_more)
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    if heavier_g > rung.load_g:
        return _more_rounds_heavier(case, rung, heavier_g, row)
    next_g = next_above(case.weights_g, rung.load_g)
    barred = _barred(case, rung.load_g, next_g) if next_g else ()
    if next_g and not barred:
        rise = f"{case.words(next_g)} in all rounds{_unpaused(rung)}"
        reason = f"Two clear sessions, with 3 or more repetitions left: {rise}."
        return case.proposal(LoadStep.heavier, next_g, reason, source=ACSM)
    why = _why_not_heavier(case, rung.load_g, next_g, barred)
    source = " ".join((OURS, *(f"Limit of a rise: {limit}." for limit in barred)))
    made = _instead_of_heavier(case, rung, next_g, row, why)
    return made.model_copy(update={"source": source})


def _more_rounds_heavier(case: Case, rung: Rung, heavier_g: int, row: Sequence[Exposure]) -> LoadProposal:
    """The heavier weight in one round more, or in all."""
    clear = "One clear session" if len(row) == 1 else "Two clear sessions"
    heavier = f"{clear} with {case.words(heavier_g)}"
    if rung.heavier_rounds < min(FIRST_HEAVIER_ROUNDS, case.planned.rounds - 1):
        rounds = rung.heavier_rounds + 1
        reason = f"{heavier} in round 1: in rounds 1 and 2 today."
        return _first_rounds(case, rung, heavier_g, reason, rounds=rounds)
    reason = f"{heavier} in the first rounds: in all rounds today."
    return case.proposal(LoadStep.heavier, heavier_g, reason)


def _barred(case: Case, load_g: int, next_g: int) -> tuple[str, ...]:
    return barred_by(load_g, next_g, dumbbells=case.planned.key.kit.dumbbells, pattern=case.planned.pattern)


def _why_not_heavier(case: Case, load_g: int, next_g: int | None, barred: Sequence[str]) -> str:
    if next_g is None:
        return "no heavier weight can be had"
    up = f"{round(percent_up(load_g, next_g), 1):g} % up" if ACSM in barred else "too many kilograms up"
    return f"the next weight, {case.words(next_g)}, is {up}"


def _instead_of_heavier(
    case: Case, rung: Rung, next_g: int | None, row: Sequence[Exposure], why: str
) -> LoadProposal:
    """A pause, else the heavier weight in round 1 only, else no step."""
    planned, now = case.planned, case.words(rung.load_g)
    if case.with_pause is not None and not rung.pause:
        where = "top" if planned.hardest is Phase.top else "bottom"
        reason = f"Two clear sessions, but {why}: {now} again, with a pause of 1 s more at the {where}."
        return case.proposal(LoadStep.pause, rung.load_g, reason, tempo=case.with_pause.tempo)
    again = _now(case, rung)
    if next_g is None:
        return _same(case, rung, f"{again} again: {why}. {_harder(case)}", question=_outgrown(case, now))
    up = percent_up(rung.load_g, next_g)
    if up > MOST_JUMP_PERCENT:
        reason = (
            f"{again} again: {why}, and more than {MOST_JUMP_PERCENT} % is never proposed. {_harder(case)}"
        )
        return _same(case, rung, reason, question=_outgrown(case, now))
    if planned.rounds == 1:
        return _same(case, rung, f"{again} again: {why}, and there is one round only. Ask the coach.")
    if up > JUMP_PERCENT and any((reserve_of(one) or 0) < RESERVE_TO_JUMP for one in row):
        reason = f"{again} again: {why}, and that takes two sessions with 5 or more repetitions left."
        return _same(case, rung, reason)
    reason = (
        f"Two clear sessions, but {why}: 3 repetitions with {case.words(next_g)} in practice, then in "
        f"round 1 only{_goal(case)}, {now} in the others{_unpaused(rung)}."
    )
    return _first_rounds(case, rung, next_g, reason)


def _goal(case: Case) -> str:
    """“, with 4 repetitions as the goal”: half the ceiling."""
    ceiling = case.planned.goal or case.planned.key.ceiling
    return f", with {number_of(half(ceiling), 'repetition')} as the goal" if ceiling else ""


def _harder(case: Case) -> str:
    harder = case.planned.harder
    return f"{harder} is the harder version." if harder else "Ask the coach for a harder version."


def _outgrown(case: Case, now: str) -> str:
    asks = f"may {case.planned.harder} take its place?" if case.planned.harder else "what does the coach say?"
    return f"{case.planned.name} with {now} has no step left: {asks}"


def _lifted_before(case: Case) -> int:
    """The heaviest load that is known to go: that before the latest long break or before the movement was
    left out after pain, or one that was clear the last time it was lifted; 0 where there is none."""
    latest = {one.load_g: one for one in case.ladder}
    clear = [load_g or 0 for load_g, one in latest.items() if shortfall(one, goal=case.planned.goal) is None]
    return max((_before_break(case.ladder, case.past), *clear))


def _before_break(ladder: Sequence[Exposure], past: Sequence[Exposure]) -> int:
    """The last load that did not hurt before the latest long break, or before the movement was left out."""
    pains = [one.started_at for one in past if one.hurt_badly]
    for index in range(len(ladder) - 1, 0, -1):
        before, after = ladder[index - 1], ladder[index]
        apart_days = (after.local_date - before.local_date).days
        hurt_between = any(before.started_at <= at < after.started_at for at in pains)
        if hurt_between or apart_days > LONGEST_BREAK_DAYS:
            free = [one for one in ladder[:index] if one.is_free_of_pain]
            return free[-1].load_g or 0 if free else 0
    return 0
