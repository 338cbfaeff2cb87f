"""What became of a set: done, stopped on the way, or skipped; and where something hurt."""

from __future__ import annotations

from builders import BOTH, HAND, journal, logged, pain, plan, record, session, work
from page_sentences import written

from engine.coach.pain_lines import pain_in_session
from engine.movements.movement import Side, StartsWith
from engine.movements.pain import PainQuality
from engine.movements.room import SoreJoint
from engine.plan.plan import RoundsRange
from engine.record.record import LogAnswers, SetAnswer, SetDone, set_key
from engine.record.reserve import with_reserve
from engine.record.sets import hurt_sets, is_skipped, is_whole
from engine.record.week import rounds_done, rounds_done_in

FIRST_LEFT = set_key("circuit", 1, 1, HAND.slug, Side.left)
LEAD_IN_MS, REPETITION_MS = 10_000, 4_000
"""Of the short session: the lead-in, and a repetition at 3-0-1-0."""


def left_after(ms: int) -> SetDone:
    """The one set of a session that was left this long after its work began."""
    (done,) = logged(journal().write("ended", LEAD_IN_MS + ms, ending="early")).sets
    return done


def test_a_set_without_a_whole_repetition_was_skipped_and_one_with_it_was_stopped() -> None:
    before, after = left_after(REPETITION_MS - 1), left_after(REPETITION_MS)
    assert (is_skipped(before), is_skipped(after)) == (True, False)
    assert not is_whole(after)
    assert all(is_whole(done) and not is_skipped(done) for done in record().sets)


def test_what_is_said_of_a_set_changes_nothing_of_what_the_clock_knows() -> None:
    said = logged(
        journal().write("ended", LEAD_IN_MS + 800, ending="early"),
        exceptions={FIRST_LEFT: SetAnswer(repetitions=7)},
    )
    assert all(map(is_skipped, said.sets))


def test_a_hold_is_skipped_under_a_second() -> None:
    hold = BOTH.model_copy(update={"slug": "long-hold", "starts_with": StartsWith.hold})
    of = session(plan(work(hold.slug, rounds=RoundsRange(min=1, max=1)), movements=(hold,)))
    for ms, skipped in ((900, True), (1_000, False)):
        (done,) = logged(journal(of).write("ended", LEAD_IN_MS + ms, ending="early")).sets
        assert is_skipped(done) is skipped


def test_the_set_that_a_pain_note_names_is_the_one_that_hurt() -> None:
    run = journal()
    segment = next(one for one in run.session.segments if one.kind == "work")
    hurt = run.write("hurt", 18_000, pain=pain(segment_id=segment.id, rating=4))
    made = logged(hurt.write("ended", 18_000, ending="pain"))
    assert hurt_sets(made.pains, made.by_id) == {FIRST_LEFT}
    calm = (pain(segment_id=segment.id, rating=0), pain(segment_id=None, rating=4), pain(segment_id="gone"))
    assert hurt_sets(calm, made.by_id) == frozenset()


def test_what_was_left_in_the_last_round_is_said_of_the_last_round_that_was_done() -> None:
    run = journal()
    second = next(one for one in run.session.segments if one.kind == "work" and one.round == 2)
    start = run.session.segments.index(second)
    begins = sum(one.planned_ms for one in run.session.segments[:start])
    made = logged(run.write("ended", begins + 500, ending="early"))
    assert [is_skipped(done) for done in made.sets] == [False, False, True]
    answers = with_reserve(LogAnswers(), made.sets, 2)
    assert {key.split(":")[1] for key in answers.exceptions} == {"1"}


def test_rounds_are_counted_alike_before_and_after_the_record_is_made() -> None:
    for ended_ms in (18_000, 80_000, 130_000):
        run = journal().write("ended", ended_ms, ending="early")
        made = logged(run)
        of = run.state.session.model_copy(update={"segments": run.state.segments})
        assert rounds_done_in(of, made.sets) == rounds_done(made)


def test_what_hurt_is_told_in_the_words_of_the_person_with_the_movement_by_name() -> None:
    sore = [SoreJoint(joint="knee", side="left", rating=2)]  # type: ignore[arg-type]
    notes = [
        pain(movement=HAND.slug, rating=4, qualities=(PainQuality.sharp,), words="A sting on the way down."),
        pain(rating=3),
    ]
    assert written(pain_in_session(sore, notes, {HAND.slug: HAND.name})) == [
        "Before you started: left knee, pain 2 of 10.",
        "One hand press: left knee, pain 4 of 10. Signs: sharp. “A sting on the way down.”",
        "In the session: left knee, pain 3 of 10.",
    ]
