"""Laws of the place in the round: a movement with several places loses none and mixes none."""

from __future__ import annotations

from collections import Counter

from builders import HAND, Journal, logged, pain, record
from hypothesis import assume, given
from hypothesis import strategies as st
from strategies import fits, journals, with_a_second_place, works

from engine.base.periods import iso_week
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.live.swap import swap_after_pain
from engine.movements.pain import PainKind
from engine.plan.plan import WorkBlock
from engine.record.exposure import exposures_of
from engine.record.sets import is_worked, repetitions_of
from engine.record.week import review_week
from engine.session.segment import BETWEEN, Kind


@given(fits())
def test_a_session_that_ran_has_one_set_for_every_place_and_side_of_every_round(made) -> None:
    """No two segments and no two sets share a name, and each set says which place of the plan it was."""
    plan, _, session = made
    ids = [segment.id for segment in session.segments]
    assert len(ids) == len(set(ids))
    saved = record(session)
    assert len({one.key for one in saved.sets}) == len(saved.sets)
    planned = Counter((s.block, s.round, s.place, s.side) for s in session.segments if s.kind is Kind.work)
    assert Counter((one.block, one.round, one.place, one.side) for one in saved.sets) == planned
    assert set(planned.values()) == {1}
    written = {block.id: block.movements for block in plan.blocks if isinstance(block, WorkBlock)}
    for one in saved.sets:
        item = session.in_place(one.block, one.place, one.movement)
        assert item is not None
        named = item.chosen.instead_of or item.chosen.movement
        assert written[one.block][one.place - 1].movement == named


@given(fits())
def test_the_figures_of_week_and_page_add_up_over_the_places(made) -> None:
    """Sets, repetitions × load and time under load are those of the single sets, whatever place they had."""
    _, _, session = made
    saved = record(session, loads_g={HAND.slug: 8_000})
    review = review_week([saved], iso_week(saved.local_date))
    worked = [one for one in saved.sets if is_worked(one)]
    intervals = {(one.block, one.round, one.place) for one in worked}
    assert sum(one.sets for one in review.patterns) + review.accessories.sets == len(intervals)
    volume_g = sum((repetitions_of(one) or 0) * (one.load_g or 0) * one.dumbbells for one in worked)
    report = report_of(saved, (), PageChoice())
    assert review.volume_g == report.volume_g == volume_g
    reported = [done for of_one in report.movements for done in of_one.sets_done()]
    assert Counter(one.key for one in reported) == Counter(one.key for one in saved.sets)
    assert sum(len(one.sets) for one in exposures_of(saved)) == len(worked)


@given(fits(), st.data())
def test_whatever_happens_no_set_takes_the_name_of_another(made, data: st.DataObject) -> None:
    run = data.draw(journals(made[2]))
    assume(run.state.ending is not None)
    saved = logged(run)
    assert len({one.key for one in saved.sets}) == len(saved.sets)
    done = {(s.block, s.round, s.place, s.side) for s in map(saved.by_id.__getitem__, worked_in(run))}
    assert {(one.block, one.round, one.place, one.side) for one in saved.sets} == done


def worked_in(run: Journal) -> set[str]:
    return {
        one.segment_id
        for one in run.state.done
        if run.state.by_id[one.segment_id].kind is Kind.work and one.outcome != "skipped"
    }


@given(fits(), st.data())
def test_what_hurts_in_one_place_leaves_the_movement_out_in_all_of_them(made, data: st.DataObject) -> None:
    plan, _, session = made
    works_at = [index for index, s in enumerate(session.segments) if s.kind is Kind.work]
    at_ms = sum(s.planned_ms for s in session.segments[: data.draw(st.sampled_from(works_at))])
    run = Journal(session).write("started", 0)
    elapsed_ms = 0
    for segment in session.segments:
        elapsed_ms += segment.planned_ms
        if segment.pace == "self" and elapsed_ms <= at_ms:
            run.write("ticked", elapsed_ms)
    run.write("paused", at_ms)
    assume(run.state.current is not None)
    movement = run.state.current.movement
    note = pain(session_ms=at_ms, movement=movement, kind=PainKind.joint, rating=4)
    refit = swap_after_pain(run.state, note, plan.known_movements())
    assert movement not in {s.movement for s in refit.segments if s.kind not in BETWEEN}
    ids = [segment.id for segment in (*run.state.segments[: run.state.index + 1], *refit.segments)]
    assert len(ids) == len(set(ids))


@given(works("first"))
def test_a_second_place_is_never_next_to_the_first(block: WorkBlock) -> None:
    """Nor from round to round, in the plans that the laws are tried on."""
    slugs = [item.movement for item in block.movements]
    again = with_a_second_place(list(dict.fromkeys(slugs)))
    assert all(one != other for one, other in zip(again, [*again[1:], *again[:1]], strict=True) if again[1:])
