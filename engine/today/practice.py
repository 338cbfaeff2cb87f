"""Which of today's movements must not skip their practice, and why."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from engine.load.propose import RETURN_PERCENT
from engine.movements.tempo import parse_tempo
from engine.plan.plan import SessionPlan
from engine.record.exposure import Exposure
from engine.record.history import History
from engine.session.choices import Chosen, ChosenByBlock

PRACTISED_DAYS = 14
"""How long a movement counts as practised. † Our judgement, no source."""


@dataclass(frozen=True)
class Worked:
    """A movement of today's work, as it is done today."""

    chosen: Chosen
    tempo: str

    def past(self, history: History) -> list[Exposure]:
        """The exposures in which the movement was worked, in whatever form, the latest last."""
        return [one for one in history.exposures if one.key.movement == self.chosen.movement and one.sets]


def worked_today(plan: SessionPlan, chosen: ChosenByBlock) -> Iterator[Worked]:
    """Every movement of the work blocks that is done today; ``chosen`` by block and by the plan's slug."""
    for block in plan.work_blocks():
        for item in block.movements:
            if item.movement in chosen[block.id]:
                yield Worked(chosen[block.id][item.movement], item.tempo)


def why_practise(worked: Worked, history: History, today: date, load_g: int = 0) -> str | None:
    """Why a movement must not skip its practice, as the end of a sentence; None where it may.

    ``load_g`` is what is planned to be lifted, where that is known.
    """
    past = worked.past(history)
    same_form = [one for one in past if one.key.form == worked.chosen.form]
    if not same_form:
        return "is new in this form" if past else "is new"
    last = [one for one in same_form if one.record_id == same_form[-1].record_id]
    days = (today - last[-1].local_date).days
    lifted_g = [done.load_g for one in last for done in one.sets if done.load_g is not None]
    if days > PRACTISED_DAYS:
        return f"was last done {days} days ago"
    if all(_is_slower(worked.tempo, one.key.tempo) for one in last):
        return "goes slower than last time"
    if load_g > max(lifted_g, default=0):
        return "is heavier than last time"
    if not all(one.position_kept for one in last):
        return "lost its position last time"
    if not all(one.form_kept for one in last):
        return "was done in an easier form last time"
    return _why_after_pain([one for one in history.exposures if one.key.movement == worked.chosen.movement])


def practice_sentences(reasons: Sequence[tuple[Worked, str]]) -> Iterator[str]:
    """The first reason in full and the number of the others, since a session may have a dozen movements."""
    for one, why in reasons[:1]:
        more = f", and {len(reasons) - 1} more" if len(reasons) > 1 else ""
        yield f"Practice stays: {one.chosen.name} {why}{more}."


def _is_slower(tempo: str, than: str | None) -> bool:
    """Whether the lowering or the whole repetition takes longer; as fast as possible counts as no time."""
    if than is None:
        return False
    now, before = parse_tempo(tempo), parse_tempo(than)
    lasts_s, lasted_s = (t.lowering_s + t.bottom_s + (t.lifting_s or 0) + t.top_s for t in (now, before))
    return now.lowering_s > before.lowering_s or lasts_s > lasted_s


def _why_after_pain(exposures: Sequence[Exposure]) -> str | None:
    """What to say where the movement hurt last time, or has not come back all the way after pain."""
    if any(one.pain for one in exposures if one.record_id == exposures[-1].record_id):
        return "hurt last time"
    pains = [one.started_at for one in exposures if one.hurt_badly]
    returns = {one.record_id for one in exposures if pains and one.started_at > pains[-1] and one.sound}
    if pains and len(returns) < len(RETURN_PERCENT):
        return "comes back from a hold"
    return None
