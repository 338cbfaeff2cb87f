"""What time away, sore muscles, pain and the profile change about today's session: only ever towards less.

Loads are proposed elsewhere (``engine.load``); here are practice, rounds, getting down and the cool-down.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from engine.fit.asked import Asked
from engine.fit.choose import Choice
from engine.load.clear import LONGEST_BREAK_DAYS
from engine.load.next_step import FRESH_DAYS
from engine.load.propose import RETURN_PERCENT
from engine.movements.tempo import parse_tempo
from engine.plan.plan import PracticeBlock, SessionPlan
from engine.record.exposure import Exposure
from engine.record.history import History
from engine.record.profile import ProfileFlag
from engine.session.segment import Chosen
from engine.session.timeline import Movements

PRACTISED_DAYS = 14
"""How long a movement counts as practised. † Our judgement, no source."""
LONG_BREAK_DAYS = 28
"""† Our judgement, no source."""
VERY_SORE = 4
"""Muscle soreness from which the fewest rounds are enough; below it, half of those beyond. † Our judgement,
no source."""

EASES_THE_COOL_DOWN = frozenset({ProfileFlag.older, ProfileFlag.pregnant, ProfileFlag.high_blood_pressure})
EASES_GETTING_DOWN = frozenset({ProfileFlag.older, ProfileFlag.pregnant})

CAUTIONS = {
    ProfileFlag.novice: (
        "New to strength training: practise every movement first, and end each set with 3 or more "
        "repetitions left."
    ),
    ProfileFlag.older: "Take your time on the way down and up, with something firm to hold on to.",
    ProfileFlag.pregnant: (
        "Train once your midwife or doctor has cleared you. From mid-pregnancy do not lie on your back for "
        "long. Bleeding, loss of fluid or contractions: stop and get help now."
    ),
    ProfileFlag.high_blood_pressure: (
        "Have your blood pressure looked at first. Breathe out on the effort, and do not hold your breath."
    ),
}
"""Beside the cautions for everyone. Novice and older: † our judgement, no source. Pregnant: ACOG Committee
Opinion 804 (2020); blood pressure: ACSM's Guidelines for Exercise Testing (both from memory)."""
AFTER_A_LONG_BREAK = (
    "After more than four weeks away begin with about half the load. If you were ill or hurt, have a health "
    "professional clear you first."
)


@dataclass(frozen=True)
class Care:
    """What a session takes care of, and the sentences that say why; ``cautions`` are to be shown as well."""

    first_time: bool = False
    practice_required: bool = False
    careful_cool_down: bool = False
    careful_to_floor: bool = False
    extra_rounds_percent: int = 100
    said: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    def over(self, asked: Asked) -> Asked:
        """The same question, with this care."""
        return replace(
            asked,
            first_time=self.first_time,
            practice_required=self.practice_required,
            careful_cool_down=self.careful_cool_down,
            careful_to_floor=self.careful_to_floor,
            extra_rounds_percent=self.extra_rounds_percent,
        )


def care_for(
    plan: SessionPlan,
    choice: Choice,
    history: History,
    *,
    today: date,
    flags: Iterable[ProfileFlag] = (),
    sore_muscles: int = 0,
    loads_g: Mapping[str, int] | None = None,
) -> Care:
    """The care that this plan takes today; the minutes make no difference to it.

    ``choice`` is what the person does of the plan today. ``sore_muscles`` is a number from 0 to 10,
    ``loads_g`` what is planned to be lifted, by movement: without it, no more than last time.
    """
    profile = frozenset(flags)
    worked = tuple(_worked(plan, choice.by_block))
    reasons = [(one, why) for one in worked if (why := one.why_practise(history, today, loads_g or {}))]
    away_days = max(0, (today - history.days[-1]).days) if history.days else 0
    has_practice = any(isinstance(block, PracticeBlock) for block in plan.blocks)
    return Care(
        first_time=any(not one.known(history) for one in worked),
        practice_required=bool(reasons) or away_days > FRESH_DAYS or ProfileFlag.novice in profile,
        careful_cool_down=bool(profile & EASES_THE_COOL_DOWN),
        careful_to_floor=bool(profile & EASES_GETTING_DOWN),
        extra_rounds_percent=min(_after_time_away(away_days), _with_sore_muscles(sore_muscles)),
        said=(
            *_said_of_time_away(away_days),
            *_said_of_soreness(sore_muscles),
            *(_said_of_practice(reasons) if has_practice else ()),
        ),
        cautions=tuple(_cautions(profile, away_days)),
    )


@dataclass(frozen=True)
class _Worked:
    """A movement of today's work, as it is done today."""

    chosen: Chosen
    tempo: str

    def known(self, history: History) -> list[Exposure]:
        """The sessions in which it was worked, in whatever form, the latest last."""
        return [one for one in history.exposures if one.key.movement == self.chosen.movement and one.sets]

    def why_practise(self, history: History, today: date, loads_g: Mapping[str, int]) -> str | None:
        """What speaks against skipping its practice, or None."""
        movement = self.chosen.movement
        known = self.known(history)
        same_form = [one for one in known if one.key.form == self.chosen.form]
        if not same_form:
            return "is new in this form" if known else "is new"
        last = [one for one in same_form if one.record_id == same_form[-1].record_id]
        days = (today - last[-1].local_date).days
        lifted_g = [done.load_g for one in last for done in one.sets if done.load_g is not None]
        if days > PRACTISED_DAYS:
            return f"was last done {days} days ago"
        if all(_is_slower(self.tempo, one.key.tempo) for one in last):
            return "goes slower than last time"
        if loads_g.get(movement, 0) > max(lifted_g, default=0):
            return "is heavier than last time"
        if not all(one.position_kept for one in last):
            return "lost its position last time"
        if not all(one.form_kept for one in last):
            return "was done in an easier form last time"
        return _why_after_pain([one for one in history.exposures if one.key.movement == movement])


def _worked(plan: SessionPlan, chosen: Movements) -> Iterator[_Worked]:
    for block in plan.work_blocks():
        for item in block.movements:
            if item.movement in chosen[block.id]:
                yield _Worked(chosen[block.id][item.movement], item.tempo)


def _is_slower(tempo: str, than: str | None) -> bool:
    """Whether the lowering or the whole repetition takes longer; as fast as possible counts as no time."""
    if than is None:
        return False
    now, before = parse_tempo(tempo), parse_tempo(than)
    lasts_s, lasted_s = (t.lowering_s + t.bottom_s + (t.lifting_s or 0) + t.top_s for t in (now, before))
    return now.lowering_s > before.lowering_s or lasts_s > lasted_s


def _cautions(profile: frozenset[ProfileFlag], away_days: int) -> Iterator[str]:
    yield from (CAUTIONS[flag] for flag in ProfileFlag if flag in profile)
    if away_days > LONG_BREAK_DAYS:
        yield AFTER_A_LONG_BREAK


def _why_after_pain(exposures: Sequence[Exposure]) -> str | None:
    """A movement that hurt last time, or that has not yet come back all the way from a hold."""
    if any(one.pain for one in exposures if one.record_id == exposures[-1].record_id):
        return "hurt last time"
    held = [one.started_at for one in exposures if one.hurt_badly]
    returns = {one.record_id for one in exposures if held and one.started_at > held[-1] and one.sound}
    if held and len(returns) < len(RETURN_PERCENT):
        return "comes back from a hold"
    return None


def _after_time_away(days: int) -> int:
    return 0 if days > LONGEST_BREAK_DAYS else 100


def _with_sore_muscles(rating: int) -> int:
    if rating >= VERY_SORE:
        return 0
    return 50 if rating else 100


def _said_of_time_away(days: int) -> Iterator[str]:
    if days > LONGEST_BREAK_DAYS:
        yield f"{days} days since the last session: practice first, and the fewest rounds."
    elif days > FRESH_DAYS:
        yield f"{days} days since the last session: practice first."


def _said_of_soreness(rating: int) -> Iterator[str]:
    if rating:
        what = "the fewest rounds" if rating >= VERY_SORE else "half of the extra rounds at most"
        yield f"Sore muscles: {what}, and the same movements."


def _said_of_practice(reasons: Sequence[tuple[_Worked, str]]) -> Iterator[str]:
    """The first reason in full; a session may have a dozen movements."""
    for one, why in reasons[:1]:
        more = f", and {len(reasons) - 1} more" if len(reasons) > 1 else ""
        yield f"Practice stays: {one.chosen.name} {why}{more}."
