"""The load that the coach starts people with."""

from __future__ import annotations

import pytest
from accounts import MINUTE, TODAY, account, loaded
from builders import BOTH, HAND, plan, session, work

from companion.words.words import ENGLISH
from engine.load.proposal import LoadProposal, LoadStep
from engine.load.propose import BY_COACH, propose, starting_message
from engine.load.rack import Rack
from engine.load.rules import OURS, LoadRules
from engine.load.session_loads import proposals
from engine.movements.movement import Kit
from engine.movements.pain import Advice
from engine.plan.plan import WorkMovement
from engine.record.exposure import Exposure

EVENS = (4_000, 6_000, 8_000, 10_000, 12_000)
FREE = MINUTE.model_copy(update={"kit": Kit.none, "variant": "free"})
PAIR = MINUTE.model_copy(update={"kit": Kit.pair, "variant": "three"})
ANOTHER = MINUTE.model_copy(update={"movement": "long-row"})


def proposed(
    *history: Exposure, start_g: int | None = 9_000, weights_g: tuple[int, ...] = EVENS, **rules: object
) -> LoadProposal:
    return propose(
        loaded(starting_g=start_g), history, weights_g, today=TODAY, rules=LoadRules.model_validate(rules)
    )


def test_whoever_has_no_load_of_their_own_starts_with_the_coachs_rounded_down() -> None:
    made = proposed()
    assert (made.step, made.load_g, made.practice_g, made.source) == (
        LoadStep.starting,
        8_000,
        4_000,
        (BY_COACH,),
    )
    assert made.practice_required
    assert ENGLISH.sentences(made.reason) == (
        "First time. Your coach starts you with 9 kg. Not on hand today: 9 kg. The next weight below: 8 kg. "
        "Practise with 4 kg. With fewer than 3 repetitions left, go down or without."
    )
    owned = ENGLISH.sentences(proposed(start_g=10_000).reason)
    assert owned.startswith("First time. Your coach starts you with 10 kg. Practise")
    assert proposed(start_g=None).load_g == 4_000


def test_after_little_pain_in_the_movement_nobody_starts_with_the_coachs_load() -> None:
    """Also where nothing hurt since: the lightest weight comes first."""
    sound = account(3, None, key=FREE)
    assert proposed(sound).step is LoadStep.starting
    after = proposed(account(6, None, key=FREE, pain=1), sound)
    assert (after.step, after.load_g) == (LoadStep.first_time, 4_000)


def test_the_answer_names_the_loads_that_are_the_coachs() -> None:
    pair = proposed(start_g=9_000).model_copy(update={"key": PAIR, "name": "Long row"})
    told = (proposed(), pair, proposed(start_g=None), proposed(start_g=3_000))
    said = starting_message(told)
    assert said is not None
    assert ENGLISH.say(said) == ("Your coach starts you with: Deep lift 8 kg and Long row 8 kg each.")
    assert starting_message(told[2:]) is None


def test_sessions_of_other_movements_and_without_a_weight_leave_the_coachs_load() -> None:
    assert proposed(account(3, 12_000, key=ANOTHER)).load_g == 8_000
    assert proposed(account(3, None, key=FREE)).load_g == 8_000
    assert proposed(account(3, 0)).load_g == 8_000


@pytest.mark.parametrize("key", [MINUTE, PAIR], ids=["this version", "another version"])
def test_a_load_of_the_persons_own_is_never_overridden(key) -> None:
    with_start, without = (proposed(account(3, 6_000, key=key), start_g=g) for g in (12_000, None))
    assert with_start == without


def test_after_pain_and_on_a_day_on_which_nothing_grows_the_coachs_load_is_not_used() -> None:
    hurt = account(9, None, key=FREE, pain=4, advice=Advice.swap_and_leave_out)
    sound = (account(6, None, key=FREE), account(3, None, key=FREE))
    assert proposed(hurt, *sound) == proposed(hurt, *sound, start_g=None)
    assert proposed(no_growth=True).load_g == proposed(no_growth=True, start_g=None).load_g == 4_000


def test_after_time_away_there_is_less_of_it() -> None:
    three_weeks, two_months = account(20, 5_000, key=ANOTHER), account(60, 5_000, key=ANOTHER)
    less, half = proposed(three_weeks, start_g=10_000), proposed(two_months, start_g=12_000)
    assert (less.load_g, less.minimum_of_rounds) == (8_000, True)
    assert (half.load_g, half.minimum_of_rounds) == (6_000, True)
    assert ENGLISH.sentences(half.reason).startswith(
        "First time. Your coach starts you with 12 kg. 60 days away. Today: 6 kg."
    )
    assert proposed(account(13, 5_000, key=ANOTHER), start_g=10_000).load_g == 10_000


def test_after_an_illness_there_is_half_of_it_at_a_low_effort() -> None:
    made = proposed(start_g=12_000, easy_session=1)
    assert (made.load_g, made.reserve, made.minimum_of_rounds) == (6_000, 5, True)


def test_where_nothing_owned_is_as_light_it_comes_in_stages() -> None:
    first = proposed(start_g=3_000)
    assert (first.step, first.load_g, first.heavier_g) == (LoadStep.staged, 0, None)
    assert ENGLISH.sentences(first.reason) == (
        "First time. Your coach starts you with 3 kg. Nothing lighter is on hand than 4 kg. Today: no weight."
    )
    second = proposed(account(3, 0), start_g=3_000)
    assert (second.load_g, second.heavier_g, second.heavier_rounds) == (0, 4_000, 1)


def test_a_careful_profile_with_one_weight_starts_without_it_all_the_same() -> None:
    made = proposed(weights_g=(8_000,), careful=True)
    assert (made.step, made.load_g, made.source) == (LoadStep.staged, 0, (OURS,))


def test_where_no_weight_is_known_the_coachs_load_is_said_and_nothing_is_made_up() -> None:
    made = proposed(weights_g=())
    assert made.load_g is None
    assert ENGLISH.sentences(made.reason) == (
        "First time. Your coach starts you with 9 kg. No weight is known: say which ones there are."
    )


def test_each_kit_has_its_own_load_in_a_session() -> None:
    items = (
        WorkMovement(movement=BOTH.slug, starting_g=9_000, starting_pair_g=7_000),
        WorkMovement(movement=HAND.slug, starting_g=5_000),
    )
    made = plan(work(movements=items, rest_s=60))
    for kit, loads in ((Kit.single, [8_000, 4_000]), (Kit.pair, [6_000, 4_000])):
        rack = Rack.of_weights(EVENS, dumbbells=kit.dumbbells)
        told = proposals(session(made, kit=kit), (), rack, today=TODAY)
        assert [one.load_g for one in told] == loads
