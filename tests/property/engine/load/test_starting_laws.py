"""Laws of the coach's starting load: owned, never above what the coach or the rules say, silent where records
speak."""

from __future__ import annotations

from accounts import MINUTE, TODAY, account, loaded
from hypothesis import given
from hypothesis import strategies as st
from load_cases import FREE, PAIR, any_rules, cases, weights

from engine.load.propose import AWAY_PERCENT, propose
from engine.load.rules import LoadRules
from engine.movements.pain import Advice
from engine.record.exposure import Exposure

starts = st.integers(1, 200).map(lambda n: n * 500)
ANOTHER = MINUTE.model_copy(update={"movement": "long-row"})


def proposed(case, rules, start_g: int | None):
    lifted, history, weights_g = case
    planned = lifted.model_copy(update={"starting_g": start_g})
    return propose(planned, history, weights_g, today=TODAY, rules=LoadRules(**rules))


@given(cases(), any_rules, starts)
def test_where_a_load_is_recorded_the_starting_load_changes_nothing(case, rules, start_g: int) -> None:
    """With any load of the movement in the history, in whatever version: propose(with) = propose(without). So
    it is never above what the records propose."""
    with_two = case[0], (account(3, 4_000, key=PAIR),), case[2]
    assert proposed(with_two, rules, start_g) == proposed(with_two, rules, None)
    if any(done.load_g for one in case[1] for done in one.sets):
        assert proposed(case, rules, start_g) == proposed(case, rules, None)


@given(cases(), any_rules, starts)
def test_after_pain_the_starting_load_changes_nothing(case, rules, start_g: int) -> None:
    """With pain in this movement at any time, or a day on which nothing grows: the same as without it."""
    hurt = account(90, None, key=FREE, pain=4, advice=Advice.swap_and_leave_out)
    sound = (account(80, None, key=FREE), account(2, None, key=FREE))
    for history in ((hurt, *sound), (hurt, *case[1])):
        sore = case[0], history, case[2]
        assert proposed(sore, rules, start_g) == proposed(sore, rules, None)
    still = rules | {"no_growth": True}
    assert proposed(case, still, start_g) == proposed(case, still, None)


@st.composite
def without_a_load(draw: st.DrawFn) -> tuple[Exposure, ...]:
    """Sessions of another movement, and of this one without a weight, some days ago."""
    ago = draw(st.lists(st.integers(0, 120), max_size=4, unique=True))
    kinds = (lambda days: account(days, None, key=FREE), lambda days: account(days, 9_000, key=ANOTHER))
    return tuple(draw(st.sampled_from(kinds))(days) for days in sorted(ago, reverse=True))


@given(without_a_load(), weights, any_rules, starts)
def test_a_starting_load_is_owned_and_never_above_what_the_coach_or_the_rules_say(
    history: tuple[Exposure, ...], weights_g: list[int], rules, start_g: int
) -> None:
    """The load is an owned weight or none, and no more than the coach's, than 80 or 50 % of it after time
    away, and than half of it after an illness; rounded down, it is the heaviest such weight."""
    case = loaded(), history, tuple(weights_g)
    made = proposed(case, rules, start_g)
    assert made.load_g in (0, *weights_g)
    if rules["no_growth"] or (rules["careful"] and len(weights_g) == 1):
        assert made == proposed(case, rules, None)
        return
    days = min(((TODAY - one.local_date).days for one in history), default=0)
    away = next((percent for more_than, percent in AWAY_PERCENT if days > more_than), 100)
    percent = min(away, 50 if rules["easy_session"] else 100)
    limit_g = start_g * percent // 100
    assert made.load_g == max((one for one in weights_g if one <= limit_g), default=0)
    assert made.minimum_of_rounds == (percent < 100)
    if made.heavier_g is not None:
        assert made.load_g == 0
        assert made.heavier_g == weights_g[0]
        assert any(one.key == FREE or one.loads_g == (0, 0, 0) for one in history)
    assert (made.practice_g or 0) * 2 <= max(made.load_g or 0, made.heavier_g or 0)
    assert "coach_starts_you" in {one.code for one in made.reason}
