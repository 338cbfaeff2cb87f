"""The phrases from which sentences are built."""

from __future__ import annotations

from engine.base.phrases import in_figures, listed, number_of


def test_numbers_are_written_as_a_person_says_them() -> None:
    assert [number_of(n, "set") for n in (1, 2.5, 1200)] == ["1 set", "2.5 sets", "1,200 sets"]
    assert [in_figures(n) for n in (0, 4.5, 1_200.0)] == ["0", "4.5", "1,200"]


def test_words_are_listed_once_and_in_their_order() -> None:
    assert listed(["the knee"]) == "the knee"
    assert listed(["the knee", "the hip", "the knee"]) == "the knee and the hip"
    assert listed(["a", "b", "c"]) == "a, b and c"
