"""What the mornings after sessions say about today: what is left out, and what does not grow."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from engine.base.message import Count, Day, Message, message
from engine.movements.after_pain import AfterPain, MovementPain, Stage, after_pain
from engine.movements.movement import JointPoint, Movement
from engine.movements.terms import joint_term
from engine.record.history import History
from engine.record.morning import JointMorning

LEAVES_OUT_FROM = 2
"""The grade of stress from which a movement is left out after a morning that was worse. † Our judgement, no
source."""


def worse_mornings(history: History) -> tuple[JointMorning, ...]:
    """The latest answer about each joint point after which movements that load it are left out."""
    return tuple({(one.joint, one.side): one for one in history.mornings if one.is_worse}.values())


def after_mornings(history: History, movements: Mapping[str, Movement]) -> tuple[AfterPain, ...]:
    """The movements left out because a joint was worse the morning after, or on their way back from that.

    ``movements`` are all that today's session could have, by slug. The first of them that comes back brings
    back the others of its joint.
    """
    return tuple(
        entry for morning in worse_mornings(history) for entry in _after(morning, history, movements)
    )


def _after(morning: JointMorning, history: History, movements: Mapping[str, Movement]) -> list[AfterPain]:
    pains = [
        MovementPain(
            at=morning.at,
            local_date=morning.local_date,
            record_id=morning.record_id,
            movement=one.slug,
            name=one.name,
            joint=morning.joint,
            side=morning.side,
        )
        for one in movements.values()
        if max(one.stress_on(morning.joint, variant) for variant in one.variants) >= LEAVES_OUT_FROM
    ]
    entries = list(after_pain(pains, history.tried))
    left_out = [one for one in entries if one.stage is Stage.left_out]
    return entries if len(left_out) == len(pains) else [one for one in entries if one not in left_out]


def watched_joints(history: History, left_out: Iterable[AfterPain]) -> tuple[JointPoint, ...]:
    """The joint points to ask about on the morning after, because pain has left movements out."""
    points = [one.point for one in left_out]
    points += [(one.joint, one.side) for one in worse_mornings(history)]
    return tuple(dict.fromkeys(points))


def what_pain_changes(
    history: History,
    worse: Iterable[AfterPain],
    spared: Iterable[JointPoint],
    said_today: Collection[JointPoint],
) -> Iterator[Message]:
    """What pain changes about today's session, to be said before anything else.

    ``worse`` is from ``after_mornings``; ``spared`` are the joint points with a sign of injury today,
    ``said_today`` those whose number of today was said.
    """
    for point in spared:
        yield message("spared_until_tomorrow", joint=joint_term(point))
    left_out = {one.point for one in worse if one.stage is Stage.left_out}
    for one in worse_mornings(history):
        point = one.joint, one.side
        if point in left_out:
            yield _worse(one, said=point in said_today)
    for one in history.mornings:
        if one.rating and not one.is_worse and one.local_date in history.days[-1:]:
            yield message(
                "not_free_in_the_morning",
                day=Day(day=one.local_date),
                joint=joint_term((one.joint, one.side)),
                rating=Count(count=one.rating),
            )


def _worse(one: JointMorning, *, said: bool) -> Message:
    day, joint = Day(day=one.local_date), joint_term((one.joint, one.side))
    rating = Count(count=one.rating)
    if said:
        return message("worse_in_the_morning", day=day, joint=joint, rating=rating)
    return message("worse_in_the_morning_unsaid_today", day=day, joint=joint, rating=rating)
