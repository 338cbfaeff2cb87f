"""Takes out of records what a person keeps back from a page for the coach. Nothing else does this."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, TypeVar

from engine.base.model import Model
from engine.live.events import Ending
from engine.movements.after_pain import AfterPain
from engine.movements.limits import planned_end_point, without_rules
from engine.plan.plan import GiveUp
from engine.record.amendment import AmendedField, Amendment, SetCorrection
from engine.record.noted_pain import NotedPain
from engine.record.record import LimitedBy, Record, SetAnswer
from engine.session.fitted import FittedItem, FittedSession
from engine.session.reason import Reason

_OF_TIME = frozenset(GiveUp) | {"below_minimum"}
"""Codes of reasons that are about minutes. Every other reason may name a joint, so it goes with the pain."""
_LATE_PAIN = frozenset({AmendedField.next_morning_pain, AmendedField.soreness})


class PageChoice(Model):
    """What goes on a page; the person chooses.

    Without ``pain`` nothing on the page betrays it: no pain note, sore joint or stop for pain, no swap or
    re-fit, no easy movement, no soreness and no answer of the next morning. ``notes`` are the person's own
    words.
    """

    pain: bool = True
    loads: bool = True
    effort: bool = True
    given_up: bool = True
    notes: bool = True

    @property
    def left_out(self) -> tuple[str, ...]:
        """The names of the parts that are kept back."""
        return tuple(name for name in PageChoice.model_fields if not getattr(self, name))


def shown_at_all(record: Record, choice: PageChoice) -> bool:
    """Whether a record is on the page: easy movement tells of pain, whatever else it says."""
    return choice.pain or not record.session.easy_movement


def shown_record(record: Record, choice: PageChoice) -> Record:
    """The record without what the person keeps back.

    Where pain is kept back, a record with pain looks as if nothing had hurt and the session had ended early.
    The limits of the day and what they added to reasons, stop rules, end points and holds are never shown:
    they hint at a profile.
    """
    session, changed = _without_limits(record.session), dict[str, Any]()
    if not choice.pain:
        changed |= {"pains": (), "changes": (), "ending": _without_pain(record.ending)}
        kept = tuple(reason for reason in session.reasons if reason.code in _OF_TIME)
        room = session.room.model_copy(update={"sore": ()})
        session = session.model_copy(update={"reasons": kept, "room": room})
    if not choice.given_up:
        changed["changes"] = ()
        session = session.model_copy(update={"reasons": ()})
    if not choice.effort:
        changed["effort"] = None
    if not choice.notes:
        changed["note"] = ""
    sets = tuple(done.model_copy(update=_kept_back(done, choice)) for done in record.sets)
    return record.model_copy(update=changed | {"session": session, "sets": sets})


def _without_limits(session: FittedSession) -> FittedSession:
    blocks = tuple(
        block.model_copy(update={"items": tuple(map(_without_limit_rules, block.items))})
        for block in session.blocks
    )
    room = session.room.model_copy(update={"limits": ()})
    reasons = tuple(map(_as_sent, session.reasons))
    return session.model_copy(update={"room": room, "blocks": blocks, "reasons": reasons})


def _as_sent(reason: Reason) -> Reason:
    return reason.model_copy(update={"message": reason.sent or reason.message, "sent": None})


def _without_limit_rules(item: FittedItem) -> FittedItem:
    chosen = item.chosen.model_copy(
        update={
            "stop_rules": without_rules(item.chosen.stop_rules),
            "end_point": planned_end_point(item.chosen.end_point),
            "most_hold_s": None,
        }
    )
    return item.model_copy(update={"chosen": chosen})


Pain = TypeVar("Pain", AfterPain, NotedPain)


def shown_pain(told: Iterable[Pain], choice: PageChoice) -> tuple[Pain, ...]:
    """What is told of pain beside the sessions; nothing where the person keeps pain back."""
    return tuple(told) if choice.pain else ()


def _without_pain(ending: Ending) -> Ending:
    return Ending.early if ending is Ending.pain else ending


def _kept_back(said: SetAnswer, choice: PageChoice) -> dict[str, None]:
    """The answers about a set that are kept back, to be replaced by None."""
    hurt = not choice.pain and said.limited_by is LimitedBy.joint
    gone = {"load_g": not choice.loads, "effort": not choice.effort, "limited_by": hurt}
    return {name: None for name, is_gone in gone.items() if is_gone}


def shown_amendments(amendments: Iterable[Amendment], choice: PageChoice) -> Iterator[Amendment]:
    """The amendments without what the person keeps back; a corrected set loses single answers."""
    gone = {AmendedField.note} if not choice.notes else set()
    gone |= {AmendedField.effort} if not choice.effort else set()
    gone |= _LATE_PAIN if not choice.pain else set()
    for one in amendments:
        if one.field is AmendedField.set:
            said = SetCorrection.model_validate(one.value)
            answer = said.answer.model_copy(update=_kept_back(said.answer, choice))
            value = said.model_copy(update={"answer": answer}).model_dump(mode="json", exclude_unset=True)
            yield one.model_copy(update={"value": value})
        elif one.field not in gone:
            yield one
