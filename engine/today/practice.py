"""Which of today's movements must not skip their practice, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from engine.base.message import Argument, Count, Message, message
from engine.load.propose import RETURN_PERCENT
from engine.movements.tempo import parse_tempo
from engine.plan.plan import SessionPlan
from engine.record.exposure import Exposure
from engine.record.history import History
from engine.session.choices import Chosen, ChosenByBlock
from engine.session.terms import chosen_term

PRACTISED_DAYS = 14
"""How long a movement counts as practised. † Our judgement, no source."""


@dataclass(frozen=True)
class Worked:
    """A movement of today's work, as it is done today."""

    chosen: Chosen
    tempo: str

    def past(self, history: History) -> list[Exposure]:
        """The exposures in which the movement was worked, in whatever variant, the latest last."""
        return [one for one in history.exposures if one.key.movement == self.chosen.movement and one.sets]


def worked_today(plan: SessionPlan, chosen: ChosenByBlock) -> Iterator[Worked]:
    """Every movement of the work blocks that is done today; ``chosen`` by block and by the plan's slug."""
    for block in plan.work_blocks():
        for item in block.movements:
            if item.movement in chosen[block.id]:
                yield Worked(chosen[block.id][item.movement], item.tempo)


def why_practise(worked: Worked, history: History, today: date, load_g: int = 0) -> Message | None:
    """Why a movement must not skip its practice; None where it may.

    ``load_g`` is what is planned to be lifted, where that is known.
    """
    past = worked.past(history)
    same_variant = [one for one in past if one.key.variant == worked.chosen.variant]
    if not same_variant:
        return message("practice_new_version") if past else message("practice_new")
    last = [one for one in same_variant if one.record_id == same_variant[-1].record_id]
    days = (today - last[-1].local_date).days
    lifted_g = [done.load_g for one in last for done in one.sets if done.load_g is not None]
    if days > PRACTISED_DAYS:
        return message("practice_days_ago", days=Count(count=days))
    if all(_is_slower(worked.tempo, one.key.tempo) for one in last):
        return message("practice_slower")
    if load_g > max(lifted_g, default=0):
        return message("practice_heavier")
    if not all(one.form_kept for one in last):
        return message("practice_form_slipped")
    if not all(one.variant_kept for one in last):
        return message("practice_was_easier")
    return _why_after_pain([one for one in history.exposures if one.key.movement == worked.chosen.movement])


def why_practice_stays(reasons: Sequence[tuple[Worked, Message]]) -> Iterator[Message]:
    """The first reason with its movement, and the number of the others, since a session may have a dozen
    movements."""
    for one, why in reasons[:1]:
        name, more = chosen_term(one.chosen), len(reasons) - 1
        yield message("practice_stays", why=why, movement=_with_more(name, more) if more else name)


def _with_more(name: Argument, more: int) -> Message:
    return message("movement_and_more", movement=name, more=Count(count=more))


def _is_slower(tempo: str, than: str | None) -> bool:
    """Whether the lowering or the whole repetition takes longer; as fast as possible counts as no time."""
    if than is None:
        return False
    now, before = parse_tempo(tempo), parse_tempo(than)
    lasts_s, lasted_s = (t.lowering_s + t.bottom_s + (t.lifting_s or 0) + t.top_s for t in (now, before))
    return now.lowering_s > before.lowering_s or lasts_s > lasted_s


def _why_after_pain(exposures: Sequence[Exposure]) -> Message | None:
    """What to say where the movement hurt last time, or has not come back all the way after pain."""
    if any(one.pain for one in exposures if one.record_id == exposures[-1].record_id):
        return message("practice_hurt")
    pains = [one.started_at for one in exposures if one.hurt_badly]
    returns = {one.record_id for one in exposures if pains and one.started_at > pains[-1] and one.sound}
    if pains and len(returns) < len(RETURN_PERCENT):
        return message("practice_back_after_pain")
    return None
