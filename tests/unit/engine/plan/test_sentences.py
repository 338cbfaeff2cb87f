"""A plan in sentences."""

from __future__ import annotations

from builders import BOTH, plan, warm_up, work

from engine.fit.as_planned import shortest_and_longest_ms
from engine.plan.sentences import plan_sentences


def test_a_plan_is_told_in_sentences() -> None:
    of = plan(
        warm_up(), work(BOTH.slug), name="Slip", author="Odile", note="Slowly.", stop_rules=("Stop at once.",)
    )
    title, note, first, second, minutes, gone, stop = plan_sentences(of, shortest_and_longest_ms(of))
    assert (title, note, stop) == ("Slip, by Odile.", "Slowly.", "Stop at once.")
    assert first == "Warm-up, 1 to 2 rounds: Easy bend, Easy turn."
    assert second == "Work, 2 to 4 rounds of 60 s work and 30 s rest: Both hands lift."
    assert minutes == "As planned it takes 5:20 to 8:20, by kit and rounds."
    assert gone.startswith("When time is short this goes, first to last: a shorter cool-down (4:00, 3:00,")


def test_a_plan_that_gives_nothing_up_says_so_and_one_without_an_author_names_none() -> None:
    sentences = list(plan_sentences(plan(work(BOTH.slug), allowances=()), None))
    assert sentences[0] == "Test plan."
    assert "When time is short only rounds go, whole ones; everything else stays." in sentences
