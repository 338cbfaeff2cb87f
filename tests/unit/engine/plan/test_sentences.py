"""A plan in sentences."""

from __future__ import annotations

from builders import BOTH, FLOOR, HAND, LEG, plan, warm_up, work

from companion.words.words import english
from engine.fit.as_planned import shortest_and_longest_ms
from engine.movements.own_choice import OwnSubstitute
from engine.plan.plan import WorkMovement
from engine.plan.sentences import plan_sentences


def test_a_plan_is_told_in_sentences() -> None:
    of = plan(
        warm_up(), work(BOTH.slug), name="Slip", author="Odile", note="Slowly.", stop_rules=("Stop at once.",)
    )
    title, note, first, second, minutes, gone, stop = map(
        english, plan_sentences(of, shortest_and_longest_ms(of))
    )
    assert (title, note, stop) == ("Slip, by Odile.", "Slowly.", "Stop at once.")
    assert first == "Warm-up, 1 to 2 rounds: Easy bend and Easy turn."
    assert second == "Work, 2 to 4 rounds of 60 s work and 30 s rest: Both hands lift."
    assert minutes == "As planned it takes 5:20 to 8:20, by kit and rounds."
    assert gone.startswith("Cut first when short of time, in this order: a shorter cool-down (4:00, 3:00")


def test_a_plan_that_gives_nothing_up_says_so_and_one_without_an_author_names_none() -> None:
    sentences = [*map(english, plan_sentences(plan(work(BOTH.slug), allowances=()), None))]
    assert sentences[0] == "Test plan."
    assert "When time is short only whole rounds are cut; everything else stays." in sentences


def test_what_the_coach_chooses_for_certain_people_is_told() -> None:
    instead = (
        OwnSubstitute(when="none", movement=LEG.slug),
        OwnSubstitute(when="low_back", movement=FLOOR.slug),
    )
    items = (
        WorkMovement(movement=BOTH.slug, starting_g=12_500, starting_pair_g=8_000, substitutes=instead),
        WorkMovement(movement=HAND.slug, starting_g=6_000),
    )
    sentences = [*map(english, plan_sentences(plan(work(movements=items)), None))]
    assert sentences[2:4] == [
        "Instead of Both hands lift: One leg stand (no dumbbells) and Floor roll (pain: low back).",
        "To start with: Both hands lift (one of 12.5 kg, or two of 8 kg) and One hand press (one of 6 kg).",
    ]
