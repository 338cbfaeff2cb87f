"""What to lift after a session with the same variant, interval and tempo at most 13 days ago: the same, or
one step up or back.

Two clear sessions earn a step, the first that is possible: the next weight where the published rules allow
it, else a round more that the minutes bring, else a pause of 1 s where the lift is hardest, else the heavier
weight in round 1 only, then in two rounds, then in all. † The order is our judgement, no source.
"""

from __future__ import annotations

from collections.abc import Sequence

from engine.base.message import Count, Message, Said, message
from engine.load.clear import (
    CLEAR_SESSIONS,
    FELL_SHORT,
    LONGEST_BREAK_DAYS,
    RESERVE_TO_JUMP,
    RESERVE_TO_RISE,
    clear_row,
    half,
    reserve_of,
    shortfall,
    what_helps,
)
from engine.load.finding import next_found_g
from engine.load.proposal import (
    BEFORE_THAT_TOO,
    FORM_FIRST,
    LEAVE_OUT_THE_PAUSE,
    NO_STEP_LEFT,
    NOTHING_GROWS,
    ONE_CLEAR_SO_FAR,
    ROUND_IS_THE_STEP,
    SAME_AGAIN,
    STEP_BACK,
    TWO_CLEAR,
    Case,
    LoadProposal,
    LoadStep,
)
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
from engine.load.too_hard import (
    HARD_SESSIONS,
    TOO_HARD,
    fell_far_short,
    hard_in_a_row,
    is_too_hard,
    too_hard_in_a_row,
    too_hard_question,
)
from engine.movements.tempo import Phase
from engine.record.exposure import Exposure

BY_LEAVE = message("source_coach_leave")
FRESH_DAYS = 7
"""After up to 7 days away nothing changes. † Our judgement, no source."""
TRIED_IN_PRACTICE = 3
"""Repetitions with a weight that is a jump, before the first round with it. † Our judgement, no source."""
ONE_CLEAR = message("one_clear_session")
COACH_ALLOWS = message("coach_allows_next_weight")
PAUSE_AT = {
    Phase.bottom: message("pause_longer_at_the_bottom"),
    Phase.top: message("pause_longer_at_the_top"),
}


def after_session(case: Case, session: Exposure) -> LoadProposal:
    """The proposal after a session with the planned key, or with its pause, whose loads are known."""
    rung = rung_of(session, case.planned.key) or Rung(load_g=0)
    load_g = at_most(case.weights_g, case.limited(rung.load_g))
    if not (case.sound and case.ladder[-1].sound):
        return _after_unsound(case, load_g)
    if load_g < rung.load_g:
        return case.proposal(LoadStep.lighter, load_g, (not_on_hand(case, rung.load_g, load_g),))
    hard = hard_in_a_row(case.ladder, goal=case.planned.goal)
    if hard >= HARD_SESSIONS:
        return _after_hard(case, rung, hard)
    days = case.days_since(session)
    if days > FRESH_DAYS:
        return _same(case, rung, (fresh_after(days),), practice_required=True)
    return _after_sound(case, rung)


def not_on_hand(case: Case, wanted_g: int, load_g: int) -> Message:
    """That a load cannot be had, and what is taken instead."""
    return message("next_weight_below", wanted=case.load(wanted_g), load=case.load(load_g))


def fresh_after(days: int) -> Message:
    return message("same_after_days_away", days=Count(count=days))


def _after_unsound(case: Case, load_g: int) -> LoadProposal:
    """The same weight in all rounds after one unsound session, a lighter one after two in a row."""
    if len(case.ladder) > 1 and not (case.ladder[-1].sound or case.ladder[-2].sound):
        lighter_g = next_below(case.weights_g, load_g) or 0
        down = message("one_weight_down", load=case.load(lighter_g))
        return case.proposal(LoadStep.lighter, lighter_g, (*case.trouble, BEFORE_THAT_TOO, down))
    reason = (*case.trouble, _in_all_rounds(case, load_g), FORM_FIRST)
    return case.proposal(LoadStep.same, load_g, reason, practice_required=True)


def _after_hard(case: Case, rung: Rung, hard: int) -> LoadProposal:
    """One rung back after two sessions in a row that were too hard, the same again after a third; one more
    rung back, and a question for the coach, after a fourth. A weight with which not even half of the
    repetitions went leaves all rounds."""
    if hard % HARD_SESSIONS:
        return _same(case, rung, (TOO_HARD, SAME_AGAIN))
    pauses = case.with_pause is not None
    back = rung_below(rung, case.weights_g, rounds=case.planned.rounds, pauses=pauses)
    if fell_far_short(case.ladder[-1]) and back.load_g < rung.load_g:
        back = Rung(load_g=back.load_g)
    unpaused = (LEAVE_OUT_THE_PAUSE,) if rung.pause and not back.pause else ()
    asked = too_hard_question(case.planned.named, hard)
    ask = {"question": asked} if asked else {}
    reason = (too_hard_in_a_row(hard), STEP_BACK, *unpaused)
    return _same(case, back, reason, step=LoadStep.rung_back, practice_required=False, **ask)


def _in_all_rounds(case: Case, load_g: int) -> Message:
    return message("in_all_rounds", load=case.load(load_g))


def _after_sound(case: Case, rung: Rung) -> LoadProposal:
    """The same again after a session that was not clear; else back towards an earlier load, or a step."""
    last, goal = case.ladder[-1], case.planned.goal
    fell_short = shortfall(last, goal=goal)
    if case.rules.no_growth:
        why = NOTHING_GROWS if fell_short is None else FELL_SHORT[fell_short]
        return _same(case, rung, (why, SAME_AGAIN))
    if rung.load_g == 0 and rung.heavier_g:
        return _after_stages(case, rung)
    found_g = next_found_g(rung.load_g, case.weights_g)
    if found_g and case.sessions < FIRST_SESSIONS and (reserve_of(last) or 0) >= RESERVE_TO_JUMP:
        many_left = message("many_left_with", left=Count(count=RESERVE_TO_JUMP), load=case.load(rung.load_g))
        found = message("weight_still_being_found", load=case.load(found_g))
        return case.proposal(LoadStep.found, found_g, (many_left, found))
    if fell_short is not None:
        helps = () if _is_last(case, rung) else what_helps(fell_short)
        return _same(case, rung, (FELL_SHORT[fell_short], SAME_AGAIN, *helps))
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
        return _same(case, rung, (NO_STEP_LEFT, SAME_AGAIN, case.planned.harder_version))
    return _same(case, rung, (ONE_CLEAR_SO_FAR, SAME_AGAIN))


def _after_stages(case: Case, rung: Rung) -> LoadProposal:
    """The lightest weight in all rounds, after it was sound in the first and not too hard. Where all rounds
    were too hard before, that takes two clear sessions."""
    weight_g = min(rung.heavier_g or 0, next_above(case.weights_g, 0) or 0)
    tried = [number for number, one in enumerate(case.ladder, 1) if one.load_g == weight_g]
    again = bool(tried) and is_too_hard(case.ladder[: tried[-1]])
    row = clear_row(case.ladder, case.planned.key)
    if not weight_g or is_too_hard(case.ladder) or (again and len(row) < CLEAR_SESSIONS):
        return _same(case, rung, (SAME_AGAIN, message("more_rounds_with_it_later")))
    reason = (message("first_rounds_went_well"), _in_all_rounds(case, weight_g))
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
    percent = percent_up(rung.load_g, up_g)
    reason = (ONE_CLEAR, _on_the_way_back(case, up_g, before_g))
    much_left = (reserve_of(case.ladder[-1]) or 0) >= RESERVE_TO_JUMP
    in_all = percent <= JUMP_PERCENT or (percent <= MOST_JUMP_PERCENT and much_left)
    if in_all or rung.heavier_g or case.planned.rounds == 1:
        return case.proposal(LoadStep.back_up, up_g, reason)
    only = message("in_round_1_only", load=case.load(up_g))
    return case.proposal(LoadStep.back_up, rung.load_g, (*reason, only), heavier_g=up_g, heavier_rounds=1)


def _on_the_way_back(case: Case, up_g: int, before_g: int) -> Message:
    if up_g == before_g:
        return message("up_to_weight_of_before", load=case.load(up_g))
    return message("up_towards_weight_of_before", load=case.load(up_g), before=case.load(before_g))


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
    barred = _barred(case, rung.load_g, next_g)
    far = percent_up(rung.load_g, next_g) > MOST_JUMP_PERCENT or len(barred) > 1
    if far and case.planned.rounds > 1:
        reason = (COACH_ALLOWS, *_first_tries(case, rung, next_g))
        return _first_rounds(case, rung, next_g, reason, source=(BY_LEAVE,))
    reason = (COACH_ALLOWS, _in_all_rounds(case, next_g), *_unpaused(rung))
    return case.proposal(LoadStep.heavier, next_g, reason, source=(BY_LEAVE,))


def _unpaused(rung: Rung) -> Said:
    return (LEAVE_OUT_THE_PAUSE,) if rung.pause else ()


def _first_tries(case: Case, rung: Rung, next_g: int) -> Said:
    """A weight that is a jump: first in practice, then in round 1, for half the ceiling."""
    load, ceiling = case.load(next_g), case.planned.goal or case.planned.key.ceiling
    goal = (message("goal_with_it", repetitions=Count(count=half(ceiling))),) if ceiling else ()
    tried = Count(count=TRIED_IN_PRACTICE)
    first = message("try_in_practice", repetitions=tried, load=load), message("in_round_1_only", load=load)
    return (*first, *goal, *_unpaused(rung))


def _is_last(case: Case, rung: Rung) -> bool:
    """Whether clear sessions lead no further here: to no weight, no round with it, and no pause."""
    if rung.heavier_g or (case.with_pause is not None and not rung.pause):
        return False
    next_g = next_above(case.weights_g, rung.load_g)
    if next_g is None or not _barred(case, rung.load_g, next_g):
        return next_g is None
    return percent_up(rung.load_g, next_g) > MOST_JUMP_PERCENT or case.planned.rounds == 1


def _same(
    case: Case, rung: Rung, reason: Said, *, step: LoadStep = LoadStep.same, **fields: object
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
    case: Case, rung: Rung, heavier_g: int, reason: Said, *, rounds: int = 1, **fields: object
) -> LoadProposal:
    more = _heavier(case, heavier_g, rounds) | fields
    return case.proposal(LoadStep.heavier_first_rounds, rung.load_g, reason, **more)


def _step_up(case: Case, rung: Rung, row: Sequence[Exposure]) -> LoadProposal:
    """One step after two clear sessions: the first that is possible."""
    if case.planned.rounds > max(len(one.rounds) for one in row):
        return _same(case, rung, (TWO_CLEAR, ROUND_IS_THE_STEP), step=LoadStep.round_more)
    heavier_g = at_most(case.weights_g, rung.heavier_g or 0)
    if heavier_g > rung.load_g:
        return _more_rounds_heavier(case, rung, heavier_g, row)
    next_g = next_above(case.weights_g, rung.load_g)
    barred = _barred(case, rung.load_g, next_g) if next_g else ()
    if next_g and not barred:
        enough = message("two_clear_sessions_with_enough_left", left=Count(count=RESERVE_TO_RISE))
        reason = (enough, _in_all_rounds(case, next_g), *_unpaused(rung))
        return case.proposal(LoadStep.heavier, next_g, reason, source=(ACSM,))
    made = _instead_of_heavier(case, rung, next_g, row)
    limits = (message("source_limit_of_a_rise", source=limit) for limit in barred)
    return made.model_copy(update={"source": (OURS, *limits)})


def _more_rounds_heavier(case: Case, rung: Rung, heavier_g: int, row: Sequence[Exposure]) -> LoadProposal:
    """The heavier weight in one round more, or in all."""
    clear = (ONE_CLEAR if len(row) == 1 else TWO_CLEAR), message("heavier_weight_in_more_rounds")
    if rung.heavier_rounds < min(FIRST_HEAVIER_ROUNDS, case.planned.rounds - 1):
        reason = (*clear, message("in_rounds_1_and_2", load=case.load(heavier_g)))
        return _first_rounds(case, rung, heavier_g, reason, rounds=rung.heavier_rounds + 1)
    return case.proposal(LoadStep.heavier, heavier_g, (*clear, _in_all_rounds(case, heavier_g)))


def _barred(case: Case, load_g: int, next_g: int) -> tuple[Message, ...]:
    return barred_by(load_g, next_g, dumbbells=case.planned.key.kit.dumbbells, pattern=case.planned.pattern)


def _why_not_heavier(case: Case, load_g: int, next_g: int | None) -> Message:
    if next_g is None:
        return message("no_heavier_weight_on_hand")
    if load_g and ACSM in _barred(case, load_g, next_g):
        up = Count(count=round(percent_up(load_g, next_g), 1))
        return message("next_weight_is_percent_up", load=case.load(next_g), percent=up)
    return message("next_weight_is_too_far_up", load=case.load(next_g))


def _instead_of_heavier(case: Case, rung: Rung, next_g: int | None, row: Sequence[Exposure]) -> LoadProposal:
    """A pause, else the heavier weight in round 1 only, else no step."""
    planned, why = case.planned, _why_not_heavier(case, rung.load_g, next_g)
    if case.with_pause is not None and not rung.pause:
        reason = (TWO_CLEAR, why, PAUSE_AT[planned.hardest])
        return case.proposal(LoadStep.pause, rung.load_g, reason, tempo=case.with_pause.tempo)
    outgrown = planned.outgrown(rung.load_g)
    if next_g is None:
        return _same(case, rung, (why, SAME_AGAIN, planned.harder_version), question=outgrown)
    up = percent_up(rung.load_g, next_g)
    if up > MOST_JUMP_PERCENT:
        never = message("more_is_never_proposed", percent=Count(count=MOST_JUMP_PERCENT))
        return _same(case, rung, (why, never, SAME_AGAIN, planned.harder_version), question=outgrown)
    if planned.rounds == 1:
        return _same(case, rung, (why, message("one_round_only_ask_the_coach"), SAME_AGAIN))
    if up > JUMP_PERCENT and any((reserve_of(one) or 0) < RESERVE_TO_JUMP for one in row):
        takes = message("it_takes_two_sessions_with_many_left", left=Count(count=RESERVE_TO_JUMP))
        return _same(case, rung, (why, takes, SAME_AGAIN))
    return _first_rounds(case, rung, next_g, (TWO_CLEAR, why, *_first_tries(case, rung, next_g)))


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
