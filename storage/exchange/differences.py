"""What differs between two versions of a document, field by field in plain words. Pure.

Every field in which they differ is a line, also one that has no words of its own here: a person who decides
between two versions must see all of what they decide about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any, NamedTuple

from engine.base.message import Argument
from engine.base.model import Model, canonical_json
from engine.base.phrases import number_of
from engine.base.units import LoadUnit, format_load
from engine.coach.question import Question
from engine.movements.movement import Equipment, Kit, library
from engine.movements.own_choice import Occasion
from engine.movements.words import EQUIPMENT_WORDS, KIT_WORDS
from engine.plan.plan import Amount, GiveUp, RoundsRange, SessionPlan
from engine.plan.words import (
    BLOCK_KIND_WORDS,
    LOST_WORDS,
    amount_words,
    length_words,
    occasion_words,
    range_words,
)
from engine.record.profile import Profile
from storage.exchange.merge import WHAT_HAPPENED, Conflict, Keep
from storage.models import KitOwned

NOTHING = "–"
UNSAID = {"allowances": "as usual", "questions": "as proposed"}
"""Fields in which it is one thing to say nothing, another to say that there is nothing."""
IN_IT, NOT_IN_IT = "in it", "not in it"

FIELDS = {
    "author": "By",
    "transition_s": "Changeover",
    "side_change": "Change of sides",
    "allowances": "Cut first when short of time",
    "buys": "With more time",
    "stop_rules": "Stop when",
    "work_s": "Work interval",
    "rest_s": "Rest",
    "round_rest_s": "Rest between rounds",
    "duration_s": "Length",
    "amount": "Amount",
    "estimate_s": "Time it takes",
    "repetitions_estimate_s": "Time for the practice by repetitions",
    "easier": "Easier version",
    "substitutes": "Instead of it",
    "reserve": "Repetitions to have left",
    "starting_g": "Starting load, one dumbbell",
    "starting_pair_g": "Starting load, two dumbbells",
    "may_go": "May go while the session runs",
    "end_point": "How far",
    "timed": "Practice by the clock",
    "repetitions": "Practice by repetitions",
    "usual": "Practice, usually",
    "fixed": "Weights",
    "adjustable": "Adjustable dumbbells",
    "absent": "Not there",
    "questions": "Questions for the coach",
    "zone": "Time zone",
    "unit": "Loads in",
    "flags": "What holds for you",
    "cautions_read_at": "Cautions read",
}
"""Words for the fields that do not say it by their name."""
INSIDE = ("blocks", "items", "movements", "rack")
"""Fields that are not named themselves: what is in them is."""
TITLES = ("name", "movement", "slug", "id", "key")
"""What names a part of a list: the first of these that it has."""
FLAGS = {
    "novice": "new to strength training",
    "older": "65 or older",
    "pregnant": "pregnant",
    "after_birth": "given birth lately",
    "high_blood_pressure": "high blood pressure",
    "fragile_bones": "fragile bones",
}
SIDES = {
    "added": "added to the interval",
    "inside": "within the interval",
    "from_rest": "taken from the rest",
}
BUYS = {"allowances": "what was cut", "rounds": "rounds", "warm_up": "warm-up rounds"}


class Differing(NamedTuple):
    """One field in words: what it is, and what each version says of it."""

    what: str
    here: str
    there: str


def differing(
    here: Model,
    there: Model,
    unit: LoadUnit = LoadUnit.kg,
    *,
    say: Callable[[Argument], str] = canonical_json,
) -> tuple[Differing, ...]:
    """Every field in which two versions of one document differ, in the order of the document. ``say`` puts
    messages into words."""
    words = _Words(_names(here, there), unit, say)
    return tuple(_differing(here.model_dump(mode="json"), there.model_dump(mode="json"), (), words))


def ways_to_settle(conflict: Conflict) -> tuple[Keep, ...]:
    """What may be kept. What happened stays as it was recorded here; only some things can be kept twice."""
    if conflict.part in WHAT_HAPPENED:
        return (Keep.ours,)
    can_be_both = isinstance(conflict.ours, KitOwned | SessionPlan)
    return (Keep.ours, Keep.theirs, Keep.both) if can_be_both else (Keep.ours, Keep.theirs)


def newer_version(conflict: Conflict) -> Keep | None:
    """Which version was said later, where both say when."""
    if isinstance(conflict.ours, Profile) and isinstance(conflict.theirs, Profile):
        ours, theirs = conflict.ours.pregnancy, conflict.theirs.pregnancy
        if ours and theirs and ours.said_on != theirs.said_on:
            return Keep.ours if ours.said_on > theirs.said_on else Keep.theirs
    return None


def _names(*several: Model) -> dict[str, str]:
    """The names of movements by slug, of the library and of these plans."""
    own = {one.slug: one.name for plan in several if isinstance(plan, SessionPlan) for one in plan.movements}
    return {slug: one.name for slug, one in library().items()} | own


def _differing(here: Any, there: Any, where: tuple[str, ...], words: _Words) -> Iterator[Differing]:
    if here == there:
        return
    field = where[-1] if where else ""
    if words.has(field) or not _is_structure(here, there):
        yield Differing(_label(where), words.of(field, here), words.of(field, there))
    elif isinstance(here, dict):
        for key in dict.fromkeys((*here, *there)):
            yield from _differing(here.get(key), there.get(key), (*where, key), words)
    else:
        yield from _in_list(here, there, where, words)


def _is_structure(here: Any, there: Any) -> bool:
    """Whether both are objects, or both lists of them, which are compared part by part."""
    if isinstance(here, dict) and isinstance(there, dict):
        return True
    both = isinstance(here, list) and isinstance(there, list)
    return both and all(isinstance(one, dict) for one in (*here, *there))


def _in_list(
    here: Sequence[Any], there: Sequence[Any], where: tuple[str, ...], words: _Words
) -> Iterator[Differing]:
    """Compares parts by what they are, so that one more does not make all that follow differ."""
    mine, theirs = _by_title(here, words), _by_title(there, words)
    for title in dict.fromkeys((*mine, *theirs)):
        if title in mine and title in theirs:
            yield from _differing(mine[title], theirs[title], (*where, title), words)
        else:
            told = (IN_IT, NOT_IN_IT) if title in mine else (NOT_IN_IT, IN_IT)
            yield Differing(_label((*where, title)), *told)
    if set(mine) == set(theirs) and list(mine) != list(theirs):
        yield Differing(_label((*where, "order")), ", ".join(mine), ", ".join(theirs))


def _by_title(parts: Iterable[Mapping[str, Any]], words: _Words) -> dict[str, Any]:
    """Parts by their name; the second of a name is numbered."""
    found, counts = dict[str, Any](), Counter[str]()
    for part in parts:
        title = words.title(part)
        counts[title] += 1
        found[title if counts[title] == 1 else f"{title} {counts[title]}"] = part
    return found


def _label(where: Sequence[str]) -> str:
    """“Work, Row: tempo”: the parts that lead to a field, and its name."""
    *parts, last = [one for one in where if one not in INSIDE] or [where[-1] if where else ""]
    name = FIELDS.get(last, last.replace("_", " ").capitalize())
    if not parts:
        return name
    ours = last in FIELDS or last == last.lower()
    return f"{', '.join(parts)}: {name[:1].lower() + name[1:] if ours else last}"


class _Words:
    """How values are said; ``names`` are those of movements."""

    def __init__(self, names: Mapping[str, str], unit: LoadUnit, say: Callable[[Argument], str]) -> None:
        self._names, self._unit = names, unit
        self._special: Mapping[str, Callable[[Any], str]] = {
            "rounds": self._rounds,
            "amount": lambda value: amount_words(Amount.model_validate(value)),
            "repetitions": lambda value: amount_words(Amount.model_validate(value)),
            "timed": lambda value: f"{value['work_s']} s each with {value['rest_s']} s between",
            "side_change": lambda value: f"{value['change_s']} s {SIDES[value['mode']]}",
            "allowances": self._allowances,
            "buys": lambda value: ", ".join(BUYS[one] for one in value),
            "substitutes": self._substitutes,
            "fixed": lambda value: ", ".join(map(self._weight, value)),
            "adjustable": lambda value: "; ".join(map(self._bell, value)),
            "absent": lambda value: ", ".join(EQUIPMENT_WORDS[Equipment(one)] for one in value),
            "dumbbells": lambda value: KIT_WORDS[Kit(value)],
            "flags": lambda value: ", ".join(FLAGS[one] for one in value),
            "questions": lambda value: " ".join(say(Question.model_validate(one).said) for one in value),
            "pregnancy": lambda value: f"week {value['week']}, said on {value['said_on']}",
            "birth": lambda value: f"{value['on']}{', caesarean' * value['caesarean']}",
        }

    def has(self, field: str) -> bool:
        """Whether a field is said as a whole."""
        return field in self._special

    def of(self, field: str, value: Any) -> str:
        if value is None:
            return UNSAID.get(field, NOTHING)
        if value in ("", []):
            return "nothing" if field in UNSAID else NOTHING
        if field in self._special:
            with suppress(KeyError, TypeError, ValueError):  # another document has a field of this name
                return self._special[field](value) or NOTHING
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int) and field.endswith("_s"):
            return length_words(value)
        if isinstance(value, int) and field.endswith("_g"):
            return format_load(value, self._unit)
        if isinstance(value, list):
            return "; ".join(self.of("", one) for one in value)
        if isinstance(value, dict):
            return ", ".join(f"{name.replace('_', ' ')} {self.of(name, one)}" for name, one in value.items())
        return self._names.get(str(value), str(value))

    def title(self, part: Mapping[str, Any]) -> str:
        """What a part of a list is called."""
        if part.get("kind") in BLOCK_KIND_WORDS:
            return BLOCK_KIND_WORDS[part["kind"]]
        named = next(
            (part[key] for key in ("name", "movement", "slug", "id", "key") if part.get(key)), "part"
        )
        return self._names.get(str(named), str(named))

    def _rounds(self, value: Any) -> str:
        rounds = RoundsRange.model_validate(value)
        fewest = f", {rounds.fewest} if short of time" if rounds.fewest is not None else ""
        return range_words(rounds) + fewest

    def _allowances(self, value: Any) -> str:
        said = []
        for one in value:
            to = f" ({', '.join(map(length_words, one['to_s']))})" if one["to_s"] else ""
            block = f" in “{one['block']}”" if one["block"] else ""
            said.append(f"{LOST_WORDS[GiveUp(one['give_up'])]}{to}{block}")
        return ", ".join(said)

    def _substitutes(self, value: Any) -> str:
        said = [
            (occasion_words(Occasion(one["when"])), self.of("movement", one["movement"])) for one in value
        ]
        return "; ".join(f"with {when}: {movement}" for when, movement in said)

    def _weight(self, value: Any) -> str:
        return f"{value['count']} × {format_load(value['load_g'], self._unit)}"

    def _bell(self, value: Any) -> str:
        plates = ", ".join(map(self._weight, value["plates"])) or "no plates"
        return f"{number_of(value['bars'], 'bar')} of {format_load(value['bar_g'], self._unit)}, {plates}"
