"""What to lift in a session, from earlier sessions, the weights at hand and the coach's word."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from datetime import date

from engine.growth.free import FreeProposal, free_movements, propose_free
from engine.growth.one_load import with_one_load
from engine.load.proposal import LoadProposal
from engine.load.rack import Rack
from engine.load.rules import LoadRules
from engine.load.session_loads import proposals
from engine.movements.movement import Kit
from engine.plan.adjustment import Adjustment
from engine.record.exposure import Exposure
from engine.record.profile import ProfileFlag
from engine.session.fitted import FittedSession
from engine.today.adjusted import rules_with_adjustments
from engine.today.cautions import NOTHING_GROWS_FROM

CAREFUL = frozenset(
    {ProfileFlag.novice, ProfileFlag.older, ProfileFlag.pregnant, ProfileFlag.high_blood_pressure}
)
"""Who always keeps 3 repetitions in reserve. † Our judgement, no source."""


def loads_for(
    session: FittedSession,
    past: Sequence[Exposure],
    owned: Rack,
    *,
    adjustments: Iterable[Adjustment] = (),
    today: date,
    sore_muscles: int = 0,
    flags: Collection[ProfileFlag] = (),
    easy_session: int = 0,
) -> tuple[LoadProposal, ...]:
    """One proposal for each loaded movement of the session's work, in order, with one load for those between
    which there is no time to change it.

    ``past`` are the exposures of earlier sessions, ``owned`` the weights at hand, an empty rack where nobody
    has said, ``adjustments`` those ``in_force`` today. Nothing
    grows where a joint hurts, or where muscles are as sore as ``NOTHING_GROWS_FROM``. ``flags`` are those
    of the profile, ``easy_session`` counts the sessions after an illness.
    """
    rack = _lifted_before(past, session.kit) if owned == Rack() else owned
    rules = rules_with_adjustments(rules_today(session, sore_muscles, flags), adjustments)
    rules = rules.model_copy(update={"easy_session": easy_session})
    made = proposals(session, past, rack, today=today, rules=rules)
    return with_one_load(session, made, rack)


def free_for(
    session: FittedSession,
    past: Sequence[Exposure],
    *,
    today: date,
    sore_muscles: int = 0,
    flags: Collection[ProfileFlag] = (),
    easy_session: int = 0,
) -> tuple[FreeProposal, ...]:
    """One proposal for each movement of the session's work that is done without a weight, in order."""
    rules = rules_today(session, sore_muscles, flags).model_copy(update={"easy_session": easy_session})
    return tuple(propose_free(one, past, today=today, rules=rules) for one in free_movements(session))


def rules_today(session: FittedSession, sore_muscles: int, flags: Collection[ProfileFlag]) -> LoadRules:
    """What the day and the profile say about growth."""
    hurts = bool(session.room.sore) or sore_muscles >= NOTHING_GROWS_FROM
    return LoadRules(no_growth=hurts, careful=bool(CAREFUL.intersection(flags)))


def _lifted_before(past: Iterable[Exposure], kit: Kit) -> Rack:
    """A rack with the weights lifted in earlier sessions, as many dumbbells of each as the kit has."""
    lifted_g = {done.load_g for one in past for done in one.sets if done.load_g}
    return Rack.of_weights(sorted(lifted_g), dumbbells=max(1, kit.dumbbells))
