"""A loaded movement of today's session, what is proposed for it, and the case a proposal is made from."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from functools import cached_property
from typing import Self

from engine.base.message import Argument, Count, Message, Said, message
from engine.base.model import Model
from engine.base.units import Grams
from engine.load.clear import FELL_SHORT, RESERVE_TO_RISE, reserve_of, shortfall
from engine.load.rack import at_most
from engine.load.rules import EASY_EFFORT, EASY_RESERVE, OURS, RESERVE, LoadRules, reserve_aimed_at
from engine.load.rung import is_near, pause_key
from engine.load.sides import side_question
from engine.movements.movement import Held, Kit, MovementPattern, StartsWith
from engine.movements.tempo import Hardest, Phase, Tempo
from engine.movements.terms import load_term, named
from engine.record.exposure import Exposure, LoadKey
from engine.session.fitted import FittedItem
from engine.session.to_lift import ToLift

PRACTICE_PERCENT = 50
"""Practice takes about half the load. † Our judgement, no source."""

SAME_AGAIN = message("the_same_again")
NOTHING_GROWS = message("nothing_grows_on_a_day_that_hurts")
BEFORE_THAT_TOO = message("session_before_went_badly_too")
FORM_FIRST = message("form_and_range_come_first")
STEP_BACK = message("one_step_back")
LEAVE_OUT_THE_PAUSE = message("leave_out_the_pause")
MINIMUM_ROUNDS = message("only_minimum_rounds")
EFFORT_LOW = message("keep_effort_low", effort=Count(count=EASY_EFFORT))
AFTER_ILLNESS = message("back_after_illness")
ONLY_PAINLESS = message("only_while_nothing_hurts")
TWO_CLEAR = message("two_clear_sessions")
ONE_CLEAR_SO_FAR = message("one_clear_session_so_far")
ROUND_IS_THE_STEP = message("round_more_is_the_step")
NO_STEP_LEFT = message("no_step_left")


class LoadStep(StrEnum):
    """What a proposal changes, compared with the last time."""

    returning = "after_hold"
    after_absence = "after_absence"
    after_illness = "after_illness"
    staged = "staged"
    """No weight, or a weight in round 1 only, where none is owned that is light enough."""
    first_time = "first_time"
    starting = "starting"
    """What the coach starts people with who have no load of their own."""
    one_load = "one_load"
    """What serves several movements, between which weights cannot be changed in time."""
    found = "found"
    """The next weight in a movement's first sessions, while a lot is left."""
    carried_over = "carried_over"
    """Worked out from the same variant with another interval or tempo."""
    lighter = "lighter"
    rung_back = "rung_back"
    same = "same"
    back_up = "back_up"
    """Back towards a load lifted before a break, or before the movement was left out after pain."""
    heavier = "heavier"
    round_more = "round_more"
    pause = "pause"
    heavier_first_rounds = "heavier_first_rounds"


NEW = frozenset({LoadStep.first_time, LoadStep.starting})
"""The movement has no load of the person's own yet."""


class PlannedMovement(Model):
    """A movement of today's work, with today's ``rounds``.

    ``goal`` is the coach's number of repetitions: for a tempo that predicts none, or to earn a step early.
    ``reserve`` is the coach's number of repetitions to have left, ``harder`` is the harder version.
    """

    key: LoadKey
    name: str
    starts_with: StartsWith = StartsWith.lowering
    hardest: Hardest = Phase.bottom
    rounds: int
    goal: int | None = None
    reserve: int | None = None
    harder: Argument | None = None

    @classmethod
    def of_item(cls, key: LoadKey, item: FittedItem, rounds: int, **more: object) -> Self:
        """The movement of an item; ``more`` are the fields that only loaded movements have."""
        chosen = item.chosen
        made: dict[str, object] = {
            "key": key,
            "name": chosen.name,
            "starts_with": chosen.starts_with,
            "hardest": chosen.hardest,
            "rounds": rounds,
            "goal": item.goal,
            "reserve": item.reserve,
            "harder": chosen.harder,
        }
        return cls.model_validate(made | more)

    @property
    def named(self) -> Argument:
        return named(self.key.movement, self.name)

    @property
    def harder_version(self) -> Message:
        """Which version is harder, or that the coach knows."""
        if self.harder is None:
            return message("ask_for_harder_version")
        return message("harder_version_is", version=self.harder)

    def outgrown(self, load_g: int) -> Message:
        """The question for the coach, where no step is left with a load."""
        load = load_term(load_g, self.key.kit)
        if self.harder is None:
            return message("outgrown_question", movement=self.named, load=load)
        return message("outgrown_harder_question", movement=self.named, load=load, harder=self.harder)


class LoadedMovement(PlannedMovement):
    """A movement with a weight. ``starting_g`` is what the coach starts people with, ``weight`` says how the
    weight is held that the sides are named for."""

    pattern: MovementPattern
    starting_g: Grams | None = None
    weight: Held | None = None


class LoadProposal(Model):
    """What to lift today. Loads are grams of one dumbbell; 0 means no weight, None that no weight is known.

    The first ``heavier_rounds`` rounds take ``heavier_g``, all others ``load_g``; ``heavier_goal`` is the
    goal of repetitions with a weight that is a jump. ``next_g`` is what to offer after a round that left 5 or
    more repetitions, while the load is being found. ``tempo`` is the one to use, with a pause where that is
    the step. ``practice_g`` is for practice, ``reserve`` the repetitions to have left after each set,
    ``question`` is for the coach.
    """

    key: LoadKey
    name: str
    weight: Held | None = None
    step: LoadStep
    load_g: Grams | None
    heavier_g: Grams | None = None
    heavier_rounds: int = 0
    heavier_goal: int | None = None
    next_g: Grams | None = None
    tempo: Tempo | None
    minimum_of_rounds: bool = False
    practice_g: Grams | None = None
    practice_required: bool = False
    reserve: int = RESERVE
    reason: Said
    source: Said = (OURS,)
    question: Message | None = None

    @property
    def named(self) -> Argument:
        return named(self.key.movement, self.name)

    @property
    def to_lift(self) -> ToLift:
        """What is told when the session starts."""
        return ToLift.model_validate(self.model_dump(include=set(ToLift.model_fields)))


@dataclass(frozen=True)
class Case:
    """One movement up to today. ``past`` are its exposures in every variant, the earliest first;
    ``weights_g`` the weights that can be had, lightest first; ``trained_on`` is the last day with a session,
    None for somebody without one."""

    planned: LoadedMovement
    past: tuple[Exposure, ...]
    weights_g: tuple[int, ...]
    today: date
    rules: LoadRules
    trained_on: date | None = None

    @property
    def days_away(self) -> int:
        """How long ago the last session was, whatever was done in it; 0 for somebody without one."""
        return 0 if self.trained_on is None else max(0, (self.today - self.trained_on).days)

    @cached_property
    def loaded(self) -> tuple[Exposure, ...]:
        """The exposures in this variant with a known load, whatever interval and tempo."""
        return tuple(one for one in self.past if one.load_g and one.key.same_variant(self.planned.key))

    @cached_property
    def with_pause(self) -> LoadKey | None:
        """The planned key with a pause; None where there is none, as in a hold."""
        is_hold = self.planned.starts_with is StartsWith.hold
        return None if is_hold else pause_key(self.planned.key, self.planned.hardest)

    @cached_property
    def ladder(self) -> tuple[Exposure, ...]:
        """The exposures with the planned key, or with the pause that our own proposal added to it.

        An interval that differs by little counts as the same where 3 or more repetitions were left.
        """
        return tuple(one for one in self.past if one.sets and self._on_ladder(one))

    def _on_ladder(self, one: Exposure) -> bool:
        key, tempos = self.planned.key, {self.planned.key.tempo, self.with_pause and self.with_pause.tempo}
        if not is_near(one.key, key) or (one.key.tempo not in tempos):
            return False
        return one.key.interval_ms == key.interval_ms or (reserve_of(one) or 0) >= RESERVE_TO_RISE

    @cached_property
    def sessions(self) -> int:
        """How many sessions had the movement in this version."""
        own = (one for one in self.past if one.sets and one.key.same_variant(self.planned.key))
        return len({one.record_id for one in own})

    @cached_property
    def with_a_weight(self) -> tuple[Exposure, ...]:
        """The exposures in this variant in which some round took a weight."""
        return tuple(
            one for one in self.past if any(one.loads_g or ()) and one.key.same_variant(self.planned.key)
        )

    @property
    def paused_last(self) -> bool:
        """Whether the last session on the ladder had the pause that our own proposal added."""
        return bool(self.ladder) and self.ladder[-1].key.tempo != self.planned.key.tempo

    def latest_since(self, exposure: Exposure) -> tuple[Exposure, ...]:
        """An exposure and those on the ladder that came after it without a weight, the earliest first."""
        after = self.ladder[self.ladder.index(exposure) + 1 :] if exposure in self.ladder else ()
        return (exposure, *(one for one in after if one.loads_g))

    @property
    def sound(self) -> bool:
        """Whether the movement went well the last time, in whatever variant."""
        return not self.past or self.past[-1].sound

    def limited(self, load_g: int) -> int:
        """The load, but no more than the load at which the movement did not go well the last time; no weight
        where that was without a weight."""
        if self.sound:
            return load_g
        last = self.past[-1]
        if last.key.kit is Kit.none:
            return 0
        return min(load_g, last.load_g or load_g) if last.key.same_variant(self.planned.key) else load_g

    @property
    def trouble(self) -> Said:
        """What was wrong the last time; nothing where all was well."""
        what = next((one for one in reversed(self.past) if not one.sound), None)
        why = what and shortfall(what)
        return (FELL_SHORT[why],) if why else ()

    def until(self, last: Exposure) -> Case:
        """The case as it was after an earlier exposure."""
        return replace(self, past=self.past[: self.past.index(last) + 1])

    def free_of_pain_before(self, exposure: Exposure) -> Case:
        """The case as it was before an earlier exposure, by what did not hurt."""
        before = self.past[: self.past.index(exposure)]
        return replace(self, past=tuple(one for one in before if one.is_free_of_pain))

    def on_the_day_of(self, exposure: Exposure) -> Case:
        """The case as it was before an exposure, on a usual day."""
        rules = self.rules.model_copy(update={"no_growth": False, "easy_session": 0})
        past = self.past[: self.past.index(exposure)]
        return replace(self, past=past, today=exposure.local_date, rules=rules)

    @property
    def reserve(self) -> int:
        """The repetitions to have left after each set today."""
        if self.rules.easy_session:
            return EASY_RESERVE
        return reserve_aimed_at(self.planned.reserve, careful=self.rules.careful, sessions=self.sessions)

    def days_since(self, exposure: Exposure) -> int:
        return max(0, (self.today - exposure.local_date).days)

    def percent_of(self, load_g: int, percent: int) -> int:
        """The heaviest weight that can be had up to a share of a load."""
        return at_most(self.weights_g, load_g * percent // 100)

    def load(self, load_g: int) -> Argument:
        """“10 kg each”; “no weight” for 0."""
        return load_term(load_g, self.planned.key.kit)

    def weight_today(self, load_g: int) -> Message:
        return message("weight_today", load=self.load(load_g))

    def proposal(self, step: LoadStep, load_g: int | None, reason: Said, **fields: object) -> LoadProposal:
        """A proposal for this case; ``fields`` replace what follows from the step and the load."""
        practice_g = None if load_g is None else self.percent_of(load_g, PRACTICE_PERCENT)
        made: dict[str, object] = {
            "key": self.planned.key,
            "name": self.planned.name,
            "step": step,
            "load_g": load_g,
            "weight": self.planned.weight,
            "tempo": self.planned.key.tempo,
            "practice_g": practice_g,
            "practice_required": step not in (LoadStep.same, LoadStep.round_more),
            "reserve": self.reserve,
            "reason": reason,
            "question": side_question(self.planned.named, self.loaded, self.planned.weight),
        }
        return LoadProposal.model_validate(made | fields)
