"""What differs between two versions of a document, field by field in plain words. Pure.

Every field in which they differ is a line, also one that has no words of its own here: a person who decides
between two versions must see all of what they decide about.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any, NamedTuple

from companion.words.places import PLACES
from companion.words.saying import msgid, said, say, several, words_here
from engine.base.message import Own, Seconds, listed, message
from engine.base.model import Model
from engine.base.units import LoadUnit, format_load
from engine.coach.question import Question
from engine.movements.movement import Equipment, Kit, library
from engine.movements.own_choice import Occasion
from engine.movements.terms import equipment_term, kit_term
from engine.plan.plan import Amount, GiveUp, RoundsRange, SessionPlan
from engine.plan.terms import CUTS, amount_term, occasion_term, rounds_term

NOTHING = "–"
UNSAID = {"allowances": msgid("as usual"), "questions": msgid("as proposed")}
"""Fields in which it is one thing to say nothing, another to say that there is nothing."""
IN_IT, NOT_IN_IT = msgid("in it"), msgid("not in it")

FIELDS = {
    "fixed": msgid("Weights"),
    "adjustable": msgid("Adjustable dumbbells"),
    "absent": msgid("Not there"),
    "dumbbells": msgid("Dumbbells"),
    "questions": msgid("Questions for the coach"),
    "zone": msgid("Time zone"),
    "unit": msgid("Weights in"),
    "flags": msgid("What holds for you"),
    "cautions_read_at": msgid("Cautions read"),
    "pregnancy": msgid("Pregnancy"),
    "birth": msgid("Birth"),
    "order": msgid("Order"),
    "all_activity_logged": msgid("All activity logged"),
}
"""The fields that only a kit, a profile or a note on a week has."""
INSIDE = ("blocks", "items", "movements", "rack")
"""Fields that are not named themselves: what is in them is."""
TITLES = ("name", "movement", "slug", "id", "key")
"""What names a part of a list: the first of these that it has."""
KINDS = {
    "warm_up": msgid("Warm-up"),
    "practice": msgid("Practice"),
    "work": msgid("Work"),
    "cool_down": msgid("Cool-down"),
}
FLAGS = {
    "novice": msgid("new to strength training"),
    "older": msgid("65 or older"),
    "pregnant": msgid("pregnant"),
    "after_birth": msgid("given birth lately"),
    "high_blood_pressure": msgid("high blood pressure"),
    "fragile_bones": msgid("fragile bones"),
}
SIDES = {
    "added": msgid("{length} added to the interval"),
    "inside": msgid("{length} of the interval"),
    "from_rest": msgid("{length} taken from the rest"),
}
BUYS = {
    "allowances": msgid("what was cut"),
    "rounds": msgid("rounds"),
    "warm_up": msgid("warm-up rounds"),
}


class Differing(NamedTuple):
    """One field in words: what it is, and what each version says of it."""

    what: str
    here: str
    there: str


def differing(here: Model, there: Model, unit: LoadUnit = LoadUnit.kg) -> tuple[Differing, ...]:
    """Every field in which two versions of one document differ, in the order of the document."""
    words = _Words(_names(here, there), unit)
    return tuple(_differing(here.model_dump(mode="json"), there.model_dump(mode="json"), (), words))


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
            yield Differing(_label((*where, title)), *map(say, told))
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
    """“Work › Row › Tempo”: the parts that lead to a field, and its name."""
    parts = [one for one in where if one not in INSIDE] or where[-1:]
    return " › ".join(map(_named, parts))


def _named(part: str) -> str:
    """The words for a field; what is none of ours, such as a movement, is named already."""
    name = FIELDS.get(part) or PLACES.get(part)
    return say(name) if name else part.replace("_", " ")


class _Words:
    """How values are said; ``names`` are those of movements."""

    def __init__(self, names: Mapping[str, str], unit: LoadUnit) -> None:
        self._names, self._unit = names, unit
        self._special: Mapping[str, Callable[[Any], str]] = {
            "rounds": self._rounds,
            "amount": lambda value: said(amount_term(Amount.model_validate(value))),
            "repetitions": lambda value: said(amount_term(Amount.model_validate(value))),
            "timed": self._timed,
            "side_change": lambda value: say(SIDES[value["mode"]], length=_length(value["change_s"])),
            "allowances": self._allowances,
            "buys": lambda value: words_here().listed(say(BUYS[one]) for one in value),
            "substitutes": self._substitutes,
            "fixed": lambda value: ", ".join(map(self._weight, value)),
            "adjustable": lambda value: "; ".join(map(self._bell, value)),
            "absent": lambda value: ", ".join(said(equipment_term(Equipment(one))) for one in value),
            "dumbbells": lambda value: said(kit_term(Kit(value))),
            "flags": lambda value: words_here().listed(say(FLAGS[one]) for one in value),
            "questions": self._questions,
            "pregnancy": lambda value: say(
                "week {week}, said on {day}", week=value["week"], day=value["said_on"]
            ),
            "birth": self._birth,
        }

    def has(self, field: str) -> bool:
        """Whether a field is said as a whole."""
        return field in self._special

    def of(self, field: str, value: Any) -> str:
        if value is None:
            return say(UNSAID[field]) if field in UNSAID else NOTHING
        if value in ("", []):
            return say("nothing") if field in UNSAID else NOTHING
        if field in self._special:
            with suppress(KeyError, TypeError, ValueError):  # another document has a field of this name
                return self._special[field](value) or NOTHING
        if isinstance(value, bool):
            return say("yes") if value else say("no")
        if isinstance(value, int) and field.endswith("_s"):
            return _length(value)
        if isinstance(value, int) and field.endswith("_g"):
            return format_load(value, self._unit)
        if isinstance(value, list):
            return "; ".join(self.of("", one) for one in value)
        if isinstance(value, dict):
            return ", ".join(f"{_named(name)} {self.of(name, one)}" for name, one in value.items())
        return self._names.get(str(value), str(value))

    def title(self, part: Mapping[str, Any]) -> str:
        """What a part of a list is called."""
        if part.get("kind") in KINDS:
            return say(KINDS[part["kind"]])
        named = next(
            (part[key] for key in ("name", "movement", "slug", "id", "key") if part.get(key)), "part"
        )
        return self._names.get(str(named), str(named))

    def _rounds(self, value: Any) -> str:
        rounds = RoundsRange.model_validate(value)
        usual = said(rounds_term(rounds))
        if rounds.fewest is None:
            return usual
        return say("{rounds}, {fewest} if short of time", rounds=usual, fewest=rounds.fewest)

    def _timed(self, value: Any) -> str:
        work, rest = (Seconds(seconds=value[name]) for name in ("work_s", "rest_s"))
        return said(message("practice_of_seconds", work=work, rest=rest))

    def _allowances(self, value: Any) -> str:
        cuts = []
        for one in value:
            cut = CUTS[GiveUp(one["give_up"])]
            if one["to_s"]:
                lengths = listed(Seconds(seconds=length_s) for length_s in one["to_s"])
                cut = message("cut_to_lengths", cut=cut, lengths=lengths)
            cuts.append(say("{cut} in “{block}”", cut=cut, block=one["block"]) if one["block"] else said(cut))
        return ", ".join(cuts)

    def _substitutes(self, value: Any) -> str:
        named = (
            message(
                "on_occasion",
                movement=Own(own=self.of("movement", one["movement"])),
                occasion=occasion_term(Occasion(one["when"])),
            )
            for one in value
        )
        return "; ".join(map(said, named))

    def _questions(self, value: Any) -> str:
        asked = (Question.model_validate(one).said for one in value)
        return " ".join(map(words_here().argument, asked))

    def _birth(self, value: Any) -> str:
        return say("{day}, caesarean", day=value["on"]) if value["caesarean"] else str(value["on"])

    def _weight(self, value: Any) -> str:
        return f"{value['count']} × {format_load(value['load_g'], self._unit)}"

    def _bell(self, value: Any) -> str:
        plates = ", ".join(map(self._weight, value["plates"])) or say("no plates")
        bar = format_load(value["bar_g"], self._unit)
        bars = several("{count} bar of {bar}", "{count} bars of {bar}", value["bars"], bar=bar)
        return f"{bars}, {plates}"


def _length(length_s: int) -> str:
    """“45 s”, and from one minute on “1:30”."""
    return words_here().length(length_s)
