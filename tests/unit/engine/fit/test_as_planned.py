"""A plan as written, with nothing given up."""

from __future__ import annotations

from builders import BOTH, HAND, LEG, plan, practice, warm_up, work

from engine.fit.as_planned import planned_row, planned_session, rounds_planned, shortest_and_longest_ms
from engine.movements.movement import Kit
from engine.plan.plan import Allowance, GiveUp, RoundsRange, SideChangeMode


def length_s(of, kit: Kit, rounds: int, **how: bool) -> float:
    session = planned_session(of, kit, rounds, **how)
    assert session is not None
    return session.total_ms / 1000


def test_a_session_as_planned_gives_nothing_up_and_buys_nothing() -> None:
    of = plan(warm_up(), practice(), work(), allowances=(Allowance(give_up=GiveUp.practice),))
    session = planned_session(of, Kit.single, 2)
    assert session is not None
    assert (session.rounds(), session.warm_up_rounds(), session.reasons) == (2, 1, ())
    assert any(block.kind == "practice" for block in session.blocks)


def test_every_round_more_takes_as_long_and_sides_can_change_inside_the_interval() -> None:
    """A round of 3 movements at 60/30 lasts 4:30. Common practice, no source."""
    of = plan(work(BOTH.slug, HAND.slug, LEG.slug))
    assert length_s(of, Kit.pair, 3) - length_s(of, Kit.pair, 2) == 3 * 90 + 10, "one change of legs"
    assert length_s(of, Kit.single, 3) - length_s(of, Kit.single, 2) == 3 * 90 + 20, "and one of hands"
    without = {"side_change": SideChangeMode.inside}
    assert length_s(of, Kit.single, 3, **without) - length_s(of, Kit.single, 2, **without) == 3 * 90


def test_a_block_has_the_nearest_number_of_rounds_that_it_allows() -> None:
    of = plan(
        work(BOTH.slug, rounds=RoundsRange(min=3, max=4), id="first"),
        work(HAND.slug, rounds=RoundsRange(min=1, max=2), id="second"),
    )
    assert rounds_planned(of) == (1, 2, 3, 4)
    found = {}
    for number in rounds_planned(of):
        session = planned_session(of, Kit.single, number)
        assert session is not None
        found[number] = tuple(block.rounds for block in session.blocks)
    assert found == {1: (3, 1), 2: (3, 2), 3: (3, 2), 4: (4, 2)}


def test_the_table_has_every_kit_and_number_of_rounds_and_its_ends_are_the_shortest_and_the_longest() -> None:
    of = plan(work(BOTH.slug, HAND.slug))
    lengths_ms = {
        (row.kit, number): length_ms
        for row in (planned_row(of, kit, rounds_planned(of)) for kit in Kit)
        for number, length_ms in row.by_rounds.items()
        if length_ms is not None
    }
    assert lengths_ms.keys() == {(kit, number) for kit in Kit for number in (2, 3, 4)}
    assert shortest_and_longest_ms(of) == (lengths_ms[Kit.pair, 2], lengths_ms[Kit.single, 4])
