"""Laws of swaps after pain, over the sample plans and the whole library: no sore joint is loaded again."""

from __future__ import annotations

from builders import Journal, pain, profile
from hypothesis import given
from hypothesis import strategies as st

from companion.samples import sample_plans
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.live.state import Status
from engine.live.swap import swap_after_pain, swap_for_easier
from engine.live.timing import remaining_at
from engine.movements.movement import JOINT_POINTS, Kit
from engine.movements.pain import PainNote, PainQuality, rating_to_spare
from engine.movements.room import Room, allowed_stress
from engine.plan.plan import SessionPlan
from engine.record.record import LogAnswers
from engine.record.recording import record_from
from engine.session.segment import BETWEEN, Kind

PLANS = sample_plans()


@st.composite
def hurt_runs(draw: st.DrawFn) -> tuple[SessionPlan, Journal, PainNote]:
    """A sample plan, run to a moment at which a joint hurts."""
    of = draw(st.sampled_from(PLANS))
    found = offer(of, Asked(minutes=40, room=Room(kit=draw(st.sampled_from(Kit))))).session
    assert found is not None
    run = Journal(found).write("started", 0)
    for step_ms in draw(st.lists(st.integers(1_000, 400_000), max_size=12)):
        current = run.state.current
        if run.state.status is Status.running and current is not None:
            run.write("ticked" if current.pace == "self" else "mark", run.state.at_ms + step_ms, **_mark(run))
    joint, side = draw(st.sampled_from(JOINT_POINTS))
    in_hand = run.state.in_hand
    note = pain(
        session_ms=run.state.at_ms,
        joint=joint,
        side=side,
        rating=draw(st.integers(1, 5)),
        qualities=draw(st.sampled_from([(), (PainQuality.sharp,)])),
        movement=in_hand.movement if in_hand is not None else None,
    )
    return of, run, note


def _mark(run: Journal) -> dict[str, str]:
    current = run.state.current
    assert current is not None
    return {} if current.pace == "self" else {"segment_id": current.id}


@given(hurt_runs())
def test_what_hurt_is_not_done_again_and_no_sore_joint_is_stressed(hurt) -> None:
    of, run, note = hurt
    if run.state.current is None:
        return
    known = of.known_movements()
    refit = swap_after_pain(run.state, note, known)
    session = run.state.session.with_items((added.block, added.item) for added in refit.items)
    assert note.joint is not None
    for segment in refit.segments:
        if segment.kind in BETWEEN or segment in run.state.segments[: run.state.interval.stop]:
            continue
        chosen = session.chosen(segment)
        assert chosen is not None
        assert chosen.movement != note.movement
        movement = known[chosen.movement]
        variant = next(variant for variant in movement.variants if variant.id == chosen.variant)
        assert movement.stress_on(note.joint, variant) <= allowed_stress(rating_to_spare(note))


@given(hurt_runs(), st.integers(1, 60_000))
def test_after_it_the_session_runs_to_its_end_and_can_be_logged(hurt, later_ms) -> None:
    of, run, note = hurt
    if run.state.current is None:
        return
    run.write("hurt", run.state.at_ms, pain=note)
    refit = swap_after_pain(run.state, note, of.known_movements())
    run.write("refitted", run.state.at_ms, segments=refit.segments, items=refit.items, said=refit.said)
    run.write("resumed", run.state.at_ms + later_ms)
    if run.state.current.movement == note.movement and run.state.current.kind not in BETWEEN:
        run.write("skipped", run.state.at_ms)
    while run.state.status is Status.running and run.state.current is not None:
        run.write(
            "ticked" if run.state.current.pace == "self" else "mark",
            run.state.at_ms + max(1, remaining_at(run.state, run.state.at_ms)),
            **_mark(run),
        )
    record = record_from(
        run.state,
        LogAnswers(),
        record_id="one",
        profile=profile(),
        started_at=run.started_at,
        ended_at=run.started_at,
    )
    assert {done.segment_id for done in record.done} <= record.by_id.keys()
    assert [change.said for change in record.changes] == [refit.said]


@given(hurt_runs())
def test_sides_stay_equal_when_movements_change(hurt) -> None:
    of, run, note = hurt
    if run.state.current is None:
        return
    for refit in (
        swap_after_pain(run.state, note, of.known_movements()),
        swap_for_easier(run.state, of.known_movements()),
    ):
        worked: dict[tuple[str, int | None, int | None], list[int]] = {}
        for segment in refit.segments if refit else ():
            new = segment not in run.state.segments[: run.state.interval.stop]
            if new and segment.kind in (Kind.work, Kind.cool_down) and segment.side in ("left", "right"):
                worked.setdefault((segment.block, segment.round, segment.place), []).append(
                    segment.planned_ms if segment.side == "left" else -segment.planned_ms
                )
        assert all(sum(both) == 0 for both in worked.values())
