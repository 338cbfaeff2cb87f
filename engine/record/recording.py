"""Makes the record of a session that has ended, from its state and what the person said in the log."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from engine.live.loads import load_of
from engine.live.state import Done, Outcome, RunState
from engine.movements.tempo import predicted_repetitions
from engine.record.profile import Profile
from engine.record.record import LogAnswers, Record, SetAnswer, SetDone, set_key
from engine.session.fitted import FittedSession
from engine.session.segment import Kind, Segment


def record_from(
    state: RunState,
    answers: LogAnswers,
    *,
    record_id: str,
    profile: Profile,
    started_at: datetime,
    ended_at: datetime,
) -> Record:
    """The record of a session that has ended. ``started_at`` and ``ended_at`` carry the local offset.

    Raises ValueError when the session has not ended or a time has no offset.
    """
    offset = started_at.utcoffset()
    if state.ending is None or offset is None or ended_at.utcoffset() is None:
        raise ValueError("A record needs a session that has ended and times with their offset.")
    return Record(
        id=record_id,
        trainee_id=profile.trainee_id,
        plan_id=state.session.plan_id,
        plan_revision=state.session.plan_revision,
        session=state.session.model_copy(update={"segments": state.segments}),
        started_at=started_at,
        ended_at=ended_at,
        zone=profile.zone,
        utc_offset_min=round(offset.total_seconds() / 60),
        local_date=started_at.date(),
        ending=state.ending,
        active_ms=sum(done.worked_ms for done in state.done),
        paused_ms=state.paused_ms,
        away_ms=state.away_ms,
        done=state.done,
        taken_out=state.taken_out,
        changes=state.changes,
        sets=sets_of(state, answers),
        pains=state.pains,
        lost=state.lost,
        effort=answers.effort,
        note=answers.note,
    )


def sets_of(state: RunState, answers: LogAnswers) -> tuple[SetDone, ...]:
    """Every work interval that was begun, in order; one that was repeated counts as it was done last.

    Its load is what the person says in the log, else what was told or entered on the way; what was tried
    without weight after pain was lifted at 0. Easy movement has no sets.
    """
    if state.session.easy_movement:
        return ()
    known = state.by_id
    latest: dict[str, Done] = {}
    for done in state.done:
        if known[done.segment_id].kind is Kind.work and done.outcome is not Outcome.skipped:
            latest[done.segment_id] = done
    return tuple(_set_done(state, known[key], done, answers) for key, done in latest.items())


def _set_done(state: RunState, segment: Segment, done: Done, answers: LogAnswers) -> SetDone:
    """One work interval with the answers that the log has for it."""
    item = state.session.item(segment)
    if item is None or segment.round is None or segment.place is None or segment.side is None:
        raise ValueError(f"The work segment “{segment.id}” names no movement of its block.")
    chosen = item.chosen
    key = set_key(segment.block, segment.round, segment.place, chosen.movement, segment.side)
    said = answers.exceptions.get(key, SetAnswer())
    if said.load_g is None:
        said = said.model_copy(update={"load_g": load_of(state, segment)})
    return SetDone(
        **said.model_dump(),
        block=segment.block,
        round=segment.round,
        place=segment.place,
        movement=chosen.movement,
        variant=chosen.variant,
        pattern=chosen.pattern,
        also=chosen.also,
        accessory=chosen.accessory,
        side=segment.side,
        dumbbells=chosen.dumbbells,
        is_hold=chosen.is_hold,
        tempo=item.tempo,
        planned_ms=segment.planned_ms,
        worked_ms=done.worked_ms,
        outcome=done.outcome,
        alternates=chosen.alternates,
        planned_repetitions=_predicted(done, item.tempo, alternates=chosen.alternates),
    )


def _predicted(done: Done, tempo: str | None, *, alternates: bool) -> int | None:
    """What the tempo predicts; sides that take turns did as much each, unless the interval was cut short."""
    if tempo is None:
        return None
    even = alternates and done.outcome is Outcome.done
    return predicted_repetitions(done.worked_ms, tempo, alternates=even)


def sets_in_turn(
    session: FittedSession, sets: Iterable[SetDone], movement: str, turn: int | None
) -> tuple[SetDone, ...]:
    """The sets of a movement, in order; of those that come several times in a round, the sets of one
    ``turn``, each of which has a row of its own in the log."""
    return tuple(
        one
        for one in sets
        if one.movement == movement and session.turn(one.block, one.place, movement) == turn
    )


def with_load(answers: LogAnswers, own: Sequence[SetDone], load_g: int) -> LogAnswers:
    """The answers with another load for each of a movement's ``own`` sets that was lifted with the load of
    the last of them; a set with a load of its own keeps it."""
    changed = {
        done.key: answers.exceptions.get(done.key, SetAnswer()).model_copy(update={"load_g": load_g})
        for done in own
        if done.load_g == own[-1].load_g
    }
    return answers.model_copy(update={"exceptions": {**answers.exceptions, **changed}})
