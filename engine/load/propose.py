"""Proposes a load for one movement, with its reason and its source.

A proposal is always a weight that can be had, or none at all. It never rises after pain, slipped form or a
shortened range, and never by more than one step at a time. The order of the history makes no difference.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from engine.base.phrases import at_most_a_sentence, listed, number_of
from engine.base.units import LoadUnit, format_load
from engine.load.clear import LONGEST_BREAK_DAYS, RESERVE_TO_RISE, reserve_of
from engine.load.finding import offered_on_the_way
from engine.load.next_step import after_session
from engine.load.proposal import PRACTICE_PERCENT, Case, LoadedMovement, LoadProposal, LoadStep
from engine.load.rack import at_most
from engine.load.rules import NSCA, OURS, LoadRules
from engine.load.rung import is_near
from engine.load.staged import in_stages, is_owned_lighter
from engine.load.tables import percent_of_one_repetition
from engine.movements.movement import Kit
from engine.movements.tempo import parse_tempo
from engine.record.exposure import Exposure, LoadKey, in_order

BY_COACH = "The coach's starting load."
AS_RULED = LoadRules()
"""What the rules say for anybody, on a day on which nothing is wrong."""
FIRST_TIME_PERCENT = 50
"""Of a load lifted with another tempo or interval, where the table cannot compare the two. † Our judgement,
no source."""
RETURN_PERCENT = (50, 75)
"""Of the earlier load, at the first and the second return after pain. † Our judgement, no source."""
AWAY_PERCENT = ((28, 50), (LONGEST_BREAK_DAYS, 80))
"""(days, percent): after more days away than this, this share of the load. † Our judgement, no source."""
EASY_PERCENT = 50
"""Of the load, in the first sessions after an illness. † Our judgement, no source."""
SKIPS_THE_FIRST_STAGE = 80
"""Where no more than a fifth less is asked for and nothing lighter is owned, the weight comes in round 1 at
once. † Our judgement, no source."""


@dataclass(frozen=True)
class _Basis:
    """The load to start from, and the session it comes from; not ``exact`` where that session had another
    interval or tempo."""

    load_g: int
    exposure: Exposure
    exact: bool


def propose(
    planned: LoadedMovement,
    history: Iterable[Exposure],
    weights_g: Sequence[int],
    *,
    today: date,
    rules: LoadRules = AS_RULED,
) -> LoadProposal:
    """The load of one movement for today, from the exposures of earlier sessions.

    ``weights_g`` are the weights, in grams, that can be had for this number of dumbbells; where none are
    known, those lifted before can be had. Sources are with the constants and in the proposal.
    """
    known = tuple(history)
    past = in_order(known, planned.key.movement)
    trained_on = max((one.local_date for one in known), default=None)
    case = Case(planned, past, tuple(sorted(weights_g)), today, rules, trained_on)
    if not weights_g:
        lifted = {done.load_g for one in case.loaded for done in one.sets if done.load_g}
        case = replace(case, weights_g=tuple(sorted(lifted)))
    made = _return_after_pain(case) or _from_basis(case)
    return made.model_copy(update={"next_g": offered_on_the_way(case, made)})


def _from_basis(case: Case) -> LoadProposal:
    basis = _basis(case)
    if basis is None:
        return _first_time(case)
    if case.rules.easy_session:
        return _after_illness(case, basis)
    days = case.days_since(case.latest_since(basis.exposure)[-1])
    if days > LONGEST_BREAK_DAYS:
        return _after_absence(case, basis)
    return _still_in_stages(case, basis) or (
        after_session(case, basis.exposure) if basis.exact else _carried_over(case, basis)
    )


def _basis(case: Case) -> _Basis | None:
    """The load of the last session with the planned key, None where nothing is known.

    After a long break, newer work in the same form counts instead."""
    exact = [one for one in case.ladder if any(one.loads_g or ())]
    if exact and (case.days_since(exact[-1]) <= LONGEST_BREAK_DAYS or exact[-1] in case.with_a_weight[-1:]):
        load_g = exact[-1].load_g or max(exact[-1].loads_g or (0,))
        return _Basis(load_g, exact[-1], exact=True)
    if not case.loaded:
        return None
    near = case.loaded[-1]
    load_g = (near.load_g or 0) * _carried_percent(near, case.planned.key) // 100
    return _Basis(load_g, near, exact=False)


def _carried_percent(lifted: Exposure, asked: LoadKey) -> int:
    """How much of a load lifted with another interval or tempo can be carried over, in percent, at most 100.

    All of it where the interval differs by little and 3 or more repetitions were left. By the table of
    repetitions where the repetition gets no slower; else about half.
    """
    known = lifted.key
    little = is_near(known, asked) and known.tempo == asked.tempo
    if little and (reserve_of(lifted) or 0) >= RESERVE_TO_RISE:
        return 100
    if known.ceiling is None or asked.ceiling is None or _repetition_ms(asked) > _repetition_ms(known):
        return FIRST_TIME_PERCENT
    if asked.ceiling <= known.ceiling:
        return 100
    more, fewer = percent_of_one_repetition(asked.ceiling), percent_of_one_repetition(known.ceiling)
    return FIRST_TIME_PERCENT if more is None or fewer is None else more * 100 // fewer


def _repetition_ms(key: LoadKey) -> int:
    return (parse_tempo(key.tempo).repetition_ms or 0) if key.tempo is not None else 0


def _first_time(case: Case) -> LoadProposal:
    if not case.sound:
        return case.proposal(LoadStep.first_time, 0, f"No weight yet: {case.trouble}.")
    if not case.weights_g:
        reason = "First time, and no weight is known: choose a light one, and say which ones there are."
        if case.planned.key.kit is Kit.pair:
            reason = "First time, and no two dumbbells of one weight are known: choose one, or a light pair."
        starting_g = _starting_g(case)
        if starting_g is not None:
            reason = (
                f"First time, and no weight is known: your coach starts you with {case.words(starting_g)}."
            )
        return case.proposal(LoadStep.first_time, None, reason)
    lightest_g = case.weights_g[0]
    if case.rules.careful and len(case.weights_g) == 1:
        return in_stages(case, _without_own_load(case), "first the movement, then the weight")
    if _starting_g(case) is not None:
        return _as_the_coach_starts(case)
    practice_g = case.percent_of(lightest_g, PRACTICE_PERCENT)
    several = len(case.weights_g) > 1
    heavier = ", or with a heavier weight that you know leaves 5 or more repetitions" if several else ""
    start = f"{case.words(lightest_g)}{heavier}"
    reason = (
        f"First time: practise with {case.words(practice_g)}, then start with {start}. With fewer than "
        f"{case.reserve} left, go down or without."
    )
    return case.proposal(LoadStep.first_time, lightest_g, reason)


def _without_own_load(case: Case) -> list[Exposure]:
    """The sessions in this version, for somebody who has no load of their own in it."""
    return [one for one in case.past if one.sets and one.key.same_form(case.planned.key)]


def _starting_g(case: Case) -> int | None:
    """The coach's starting load; None where the coach says nothing, where a load of the person's own is
    recorded in any version, after pain in this movement, and on a day on which nothing grows."""
    hurt = any(one.pain or one.hurt_badly for one in case.past)
    lifted = any(done.load_g for one in case.past for done in one.sets)
    return None if case.rules.no_growth or hurt or lifted else case.planned.starting_g


def _as_the_coach_starts(case: Case) -> LoadProposal:
    """The coach's starting load, rounded down to a weight that can be had; less after time away or an
    illness, as with any other load."""
    start_g, easy, days = _starting_g(case) or 0, bool(case.rules.easy_session), case.days_away
    percent = min(_away_percent(days), EASY_PERCENT if easy else 100)
    less: dict[str, object] = {"minimum_of_rounds": percent < 100}
    why = "back after an illness" if easy else f"{days} days away"
    limit_g, coachs = start_g * percent // 100, f"your coach starts you with {case.words(start_g)}"
    if not is_owned_lighter(case, limit_g):
        back = f" ({why})" if percent < 100 else ""
        return in_stages(case, _without_own_load(case), f"{coachs}{back}").model_copy(update=less)
    load_g = at_most(case.weights_g, limit_g)
    practise = f"Practise with {case.words(case.percent_of(load_g, PRACTICE_PERCENT))}"
    down = f"With fewer than {case.reserve} left, go down or without."
    if percent < 100:
        reason = f"First time: {coachs}, but {why}: {case.words(load_g)}. {practise}. {down}"
    elif load_g < start_g:
        reason = (
            f"First time: {coachs}, and {case.words(load_g)} is the next weight below. {practise}. {down}"
        )
    else:
        reason = f"First time: {coachs}. {practise}. {down}"
    return case.proposal(LoadStep.starting, load_g, reason, source=BY_COACH, **less)


def starting_sentence(made: Iterable[LoadProposal], unit: LoadUnit) -> str | None:
    """“Begin with 8 kg for Squat, by your coach's starting load.”; None where no load is the coach's."""
    coachs = [
        f"{format_load(one.load_g, unit)}{' each' if one.key.kit is Kit.pair else ''} for {one.name}"
        for one in made
        if one.step is LoadStep.starting and one.load_g
    ]
    whose = "your coach's starting load" if len(coachs) == 1 else "your coach's starting loads"
    return at_most_a_sentence(f"Begin with {listed(coachs)}, by {whose}.") if coachs else None


def _carried_over(case: Case, basis: _Basis) -> LoadProposal:
    load_g = at_most(case.weights_g, case.limited(basis.load_g))
    known = basis.exposure
    go_on = "Find the load, with 3 or more repetitions left."
    if not case.sound:
        go_on = f"No more than that today: {case.trouble}."
    lifted = case.words(known.load_g or 0)
    reason = f"{case.words(load_g)}, from {lifted} with another interval or tempo. {go_on}"
    source = f"{OURS} Repetitions and percentages: {NSCA}."
    return case.proposal(LoadStep.carried_over, load_g, reason, source=source)


def _away_percent(days: int) -> int:
    return next((percent for more_than, percent in AWAY_PERCENT if days > more_than), 100)


def _after_absence(case: Case, basis: _Basis) -> LoadProposal:
    days = case.days_since(basis.exposure)
    percent = _away_percent(days)
    limit_g = case.limited(basis.load_g) * percent // 100
    why = f"{days} days away"
    if limit_g and not is_owned_lighter(case, limit_g):
        staged = in_stages(case, (), why, skip=percent >= SKIPS_THE_FIRST_STAGE)
        return _fewest_rounds(staged)
    load_g = at_most(case.weights_g, limit_g)
    share = "about half the load" if percent == FIRST_TIME_PERCENT else f"{100 - percent} % less"
    reason = f"{why}: {share}, {case.words(load_g)}, and the minimum of rounds."
    return case.proposal(LoadStep.after_absence, load_g, reason, minimum_of_rounds=True)


def _still_in_stages(case: Case, basis: _Basis) -> LoadProposal | None:
    """The next stage where the weight was left away since, because that was proposed; else None.

    A movement that entered during a session without a weight says nothing about its load.
    """
    since = case.latest_since(basis.exposure)[1:]
    if not since or _from_basis(case.on_the_day_of(since[0])).load_g != 0:
        return None
    return in_stages(case, since, f"after {number_of(len(since), 'session')} without a weight")


def _after_illness(case: Case, basis: _Basis) -> LoadProposal:
    """Half the load in the easy sessions after an illness, or no weight and then round 1 only."""
    first = case.rules.easy_session == 1
    known_g = [one.load_g or 0 for one in case.loaded[-2:]] or [basis.load_g]
    share_g = [load_g * EASY_PERCENT // 100 for load_g in known_g]
    limit_g = share_g[-1] if first else max(share_g[-1], min(known_g[-1], share_g[0]))
    if limit_g and not is_owned_lighter(case, limit_g):
        staged = in_stages(case, (), "back after an illness", skip=not first)
        return _fewest_rounds(staged)
    load_g = at_most(case.weights_g, case.limited(limit_g))
    reason = f"Back after an illness: about half the load, {case.words(load_g)}, at effort 5 of 10 at most."
    return _fewest_rounds(case.proposal(LoadStep.after_illness, load_g, reason))


def _fewest_rounds(made: LoadProposal) -> LoadProposal:
    reason = f"{made.reason} Only the minimum of rounds."
    return made.model_copy(update={"minimum_of_rounds": True, "reason": reason})


def _return_after_pain(case: Case) -> LoadProposal | None:
    """The first two sound returns after pain for which the movement was left out; None where there is nothing
    to return to."""
    pains = [one for one in case.past if one.hurt_badly]
    if not pains:
        return None
    since = case.past[case.past.index(pains[-1]) + 1 :]
    returns = [one for one in since if one.sets and one.loads_g and one.key.same_form(case.planned.key)]
    stage = len({one.record_id for one in returns if one.sound})
    if not any(any(one.loads_g or ()) for one in returns):
        stage = min(stage, 1)
    before = _basis(case.free_of_pain_before(pains[-1])) or _basis(case.until(pains[-1]))
    latest = _basis(case)
    if stage >= len(RETURN_PERCENT) or before is None or latest is None:
        return None
    hurt_at_g = pains[-1].load_g if pains[-1].key.same_form(case.planned.key) else None
    most_g = min(before.load_g, hurt_at_g or before.load_g) * RETURN_PERCENT[stage] // 100
    if most_g and not is_owned_lighter(case, most_g) and not case.rules.no_growth:
        return in_stages(case, returns, f"return {stage + 1} after pain")
    away = _away_percent(case.days_since(latest.exposure))
    if away < 100 or not returns or not returns[-1].sound or case.rules.no_growth:
        most_g = min(most_g, latest.load_g * away // 100)
    load_g = at_most(case.weights_g, most_g)
    share = "half the load or less" if stage == 0 else "three quarters"
    reason = f"Return {stage + 1} after pain: {share}, {case.words(load_g)}, and only while nothing hurts."
    return case.proposal(LoadStep.returning, load_g, reason)
