"""Proposes a load for one movement, with its reason and its source.

A proposal is always a weight that can be had, or none at all. It never rises after pain, slipped form or a
shortened range, and never by more than one step at a time. The order of the history makes no difference.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date

from engine.base.message import MOST_LISTED, Count, Message, Said, listed, message
from engine.load.clear import LONGEST_BREAK_DAYS, RESERVE_TO_JUMP, RESERVE_TO_RISE, reserve_of
from engine.load.finding import offered_on_the_way
from engine.load.next_step import after_session, not_on_hand
from engine.load.proposal import (
    AFTER_ILLNESS,
    EFFORT_LOW,
    MINIMUM_ROUNDS,
    ONLY_PAINLESS,
    PRACTICE_PERCENT,
    Case,
    LoadedMovement,
    LoadProposal,
    LoadStep,
)
from engine.load.rack import at_most
from engine.load.rules import NSCA, OURS, LoadRules
from engine.load.rung import is_near
from engine.load.staged import in_stages, is_owned_lighter
from engine.load.tables import percent_of_one_repetition
from engine.movements.after_pain import SOUND_RETURNS
from engine.movements.movement import Kit
from engine.movements.tempo import parse_tempo
from engine.movements.terms import load_term
from engine.record.exposure import Exposure, LoadKey, in_order

FIRST_TIME, PRACTISE_WITHOUT = message("first_time"), message("practise_without_a_weight")
NO_WEIGHT_KNOWN, NO_PAIR_KNOWN = message("no_weight_is_known"), message("no_pair_is_known")
BY_COACH = message("source_coach_starting_weight")
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

    After a long break, newer work in the same variant counts instead."""
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
        return case.proposal(LoadStep.first_time, 0, (*case.trouble, case.weight_today(0)))
    if not case.weights_g:
        return case.proposal(LoadStep.first_time, None, _no_weight_known(case))
    lightest_g = case.weights_g[0]
    if case.rules.careful and len(case.weights_g) == 1:
        return in_stages(case, _without_own_load(case), (message("first_the_movement_then_the_weight"),))
    if _starting_g(case) is not None:
        return _as_the_coach_starts(case)
    then = message("then_start_with", load=case.load(lightest_g))
    enough = message("or_heavier_with_many_left", left=Count(count=RESERVE_TO_JUMP))
    heavier = (enough,) if len(case.weights_g) > 1 else ()
    reason = (FIRST_TIME, PRACTISE_WITHOUT, then, *heavier, _go_down(case))
    return case.proposal(LoadStep.first_time, lightest_g, reason)


def _no_weight_known(case: Case) -> Said:
    starting_g, is_pair = _starting_g(case), case.planned.key.kit is Kit.pair
    if starting_g is not None:
        return *_coach_starts(case, starting_g), NO_PAIR_KNOWN if is_pair else NO_WEIGHT_KNOWN
    if is_pair:
        return FIRST_TIME, NO_PAIR_KNOWN, message("take_light_pair")
    return FIRST_TIME, NO_WEIGHT_KNOWN, message("take_light_weight")


def _coach_starts(case: Case, start_g: int) -> Said:
    return FIRST_TIME, message("coach_starts_you", load=case.load(start_g))


def _go_down(case: Case) -> Message:
    return message("with_fewer_left_go_down", left=Count(count=case.reserve))


def _without_own_load(case: Case) -> list[Exposure]:
    """The sessions in this version, for somebody who has no load of their own in it."""
    return [one for one in case.past if one.sets and one.key.same_variant(case.planned.key)]


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
    away = (AFTER_ILLNESS if easy else days_away(days),) if percent < 100 else ()
    limit_g, why = start_g * percent // 100, (*_coach_starts(case, start_g), *away)
    if not is_owned_lighter(case, limit_g):
        return in_stages(case, _without_own_load(case), why).model_copy(update=less)
    load_g = at_most(case.weights_g, limit_g)
    if percent < 100:
        why = (*why, case.weight_today(load_g))
    elif load_g < start_g:
        why = (*why, not_on_hand(case, start_g, load_g))
    practice_g = case.percent_of(load_g, PRACTICE_PERCENT)
    practise = message("practise_with", load=case.load(practice_g)) if practice_g else PRACTISE_WITHOUT
    reason = (*why, practise, _go_down(case))
    return case.proposal(LoadStep.starting, load_g, reason, source=(BY_COACH,), **less)


def starting_message(made: Iterable[LoadProposal]) -> Message | None:
    """What the coach starts a person with today; None where no load is the coach's."""
    coachs = [
        message("load_of_movement", movement=one.named, load=load_term(one.load_g, one.key.kit))
        for one in made
        if one.step is LoadStep.starting and one.load_g
    ]
    return message("coach_starts_you_with", loads=listed(coachs[:MOST_LISTED])) if coachs else None


def _carried_over(case: Case, basis: _Basis) -> LoadProposal:
    load_g = at_most(case.weights_g, case.limited(basis.load_g))
    lifted = message("lifted_otherwise", load=case.load(basis.exposure.load_g or 0))
    go_on: Said = (message("find_the_weight", left=Count(count=RESERVE_TO_RISE)),)
    if not case.sound:
        go_on = (*case.trouble, message("no_more_than_that_today"))
    reason, source = (lifted, case.weight_today(load_g), *go_on), message("source_percentages", source=NSCA)
    return case.proposal(LoadStep.carried_over, load_g, reason, source=(OURS, source))


def days_away(days: int) -> Message:
    return message("days_away", days=Count(count=days))


def _away_percent(days: int) -> int:
    return next((percent for more_than, percent in AWAY_PERCENT if days > more_than), 100)


def _after_absence(case: Case, basis: _Basis) -> LoadProposal:
    days = case.days_since(basis.exposure)
    percent = _away_percent(days)
    limit_g = case.limited(basis.load_g) * percent // 100
    if limit_g and not is_owned_lighter(case, limit_g):
        why = (days_away(days),)
        staged = in_stages(case, (), why, skip=percent >= SKIPS_THE_FIRST_STAGE)
        return _fewest_rounds(staged)
    load_g = at_most(case.weights_g, limit_g)
    less = message("percent_less_weight", percent=Count(count=100 - percent), load=case.load(load_g))
    share = _about_half(case, load_g) if percent == FIRST_TIME_PERCENT else less
    return _fewest_rounds(case.proposal(LoadStep.after_absence, load_g, (days_away(days), share)))


def _about_half(case: Case, load_g: int) -> Message:
    return message("about_half_the_weight", load=case.load(load_g))


def _still_in_stages(case: Case, basis: _Basis) -> LoadProposal | None:
    """The next stage where the weight was left away since, because that was proposed; else None.

    A movement that entered during a session without a weight says nothing about its load.
    """
    since = case.latest_since(basis.exposure)[1:]
    if not since or _from_basis(case.on_the_day_of(since[0])).load_g != 0:
        return None
    without = message("sessions_without_a_weight", sessions=Count(count=len(since)))
    return in_stages(case, since, (without,))


def _after_illness(case: Case, basis: _Basis) -> LoadProposal:
    """Half the load in the easy sessions after an illness, or no weight and then round 1 only."""
    first = case.rules.easy_session == 1
    known_g = [one.load_g or 0 for one in case.loaded[-2:]] or [basis.load_g]
    share_g = [load_g * EASY_PERCENT // 100 for load_g in known_g]
    limit_g = share_g[-1] if first else max(share_g[-1], min(known_g[-1], share_g[0]))
    if limit_g and not is_owned_lighter(case, limit_g):
        staged = in_stages(case, (), (AFTER_ILLNESS,), skip=not first)
        return _fewest_rounds(staged)
    load_g = at_most(case.weights_g, case.limited(limit_g))
    reason = (AFTER_ILLNESS, _about_half(case, load_g), EFFORT_LOW)
    return _fewest_rounds(case.proposal(LoadStep.after_illness, load_g, reason))


def _fewest_rounds(made: LoadProposal) -> LoadProposal:
    reason = (*made.reason, MINIMUM_ROUNDS)
    return made.model_copy(update={"minimum_of_rounds": True, "reason": reason})


def return_after_pain(number: int) -> Message:
    """Which of the returns after pain a session is."""
    return message("return_after_pain", number=Count(count=number), of=Count(count=SOUND_RETURNS))


def _return_after_pain(case: Case) -> LoadProposal | None:
    """The first two sound returns after pain for which the movement was left out; None where there is nothing
    to return to."""
    pains = [one for one in case.past if one.hurt_badly]
    if not pains:
        return None
    since = case.past[case.past.index(pains[-1]) + 1 :]
    returns = [one for one in since if one.sets and one.loads_g and one.key.same_variant(case.planned.key)]
    stage = len({one.record_id for one in returns if one.sound})
    if not any(any(one.loads_g or ()) for one in returns):
        stage = min(stage, 1)
    before = _basis(case.free_of_pain_before(pains[-1])) or _basis(case.until(pains[-1]))
    latest = _basis(case)
    if stage >= len(RETURN_PERCENT) or before is None or latest is None:
        return None
    hurt_at_g = pains[-1].load_g if pains[-1].key.same_variant(case.planned.key) else None
    most_g = min(before.load_g, hurt_at_g or before.load_g) * RETURN_PERCENT[stage] // 100
    if most_g and not is_owned_lighter(case, most_g) and not case.rules.no_growth:
        return in_stages(case, returns, (return_after_pain(stage + 1),))
    away = _away_percent(case.days_since(latest.exposure))
    if away < 100 or not returns or not returns[-1].sound or case.rules.no_growth:
        most_g = min(most_g, latest.load_g * away // 100)
    load_g = at_most(case.weights_g, most_g)
    load = case.load(load_g)
    three_quarters = message("three_quarters_of_the_weight", load=load)
    share = message("half_the_weight_or_less", load=load) if stage == 0 else three_quarters
    reason = (return_after_pain(stage + 1), share, ONLY_PAINLESS)
    return case.proposal(LoadStep.returning, load_g, reason)
