"""What a coach adds to a draft: blocks, movements and allowances with usual values, ready to be changed."""

from __future__ import annotations

import re
from itertools import count
from typing import Any

from engine.base.model import JsonObject
from engine.movements.movement import Movement, StartsWith, library
from engine.plan.allowances import DEFAULT_ALLOWANCES
from engine.plan.draft import Edit, Insert, PlanDraft, Put, at
from engine.plan.plan import (
    Allowance,
    Dose,
    DoseUnit,
    GiveUp,
    PracticeForm,
    TimedPractice,
    WarmUpItem,
    WorkMovement,
)

_ONCE = {"min": 1, "max": 1}
_BLOCKS: dict[str, JsonObject] = {
    "warm_up": {"items": [], "rounds": _ONCE},
    "practice": {
        "movements": [],
        "timed": TimedPractice().model_dump(),
        "repetitions": None,
        "repetitions_estimate_s": None,
        "usual": PracticeForm.timed.value,
    },
    "work": {
        "movements": [],
        "rounds": {"min": 2, "max": 4},
        "work_s": 45,
        "rest_s": 30,
        "round_rest_s": None,
    },
    "cool_down": {"movements": [], "duration_s": 300},
}
"""† Our judgement, no source: only where to begin."""
BLOCK_KINDS = tuple(_BLOCKS)
_LENGTHS_S = {GiveUp.cool_down: (240, 180, 120), GiveUp.rest: (25, 20, 15), GiveUp.work: (40, 30, 20)}


def block_added(draft: PlanDraft, kind: str) -> Insert:
    """A block of a kind where it usually stands: warm-up, practice, work, cool-down; a practice holds what is
    worked."""
    blocks = draft.content.get("blocks") or []
    later = BLOCK_KINDS[BLOCK_KINDS.index(kind) + 1 :]
    before = next((n for n, block in enumerate(blocks) if block.get("kind") in later), len(blocks))
    taken = {block.get("id") for block in blocks}
    part = {"kind": kind, "id": free_name(kind.replace("_", "-"), taken), **_BLOCKS[kind]}
    if kind == "practice":
        part["movements"] = _worked(draft)
    return Insert(("blocks",), before, part)


def _worked(draft: PlanDraft) -> list[str]:
    works = [block for block in draft.content["blocks"] if block.get("kind") == "work"]
    return list(dict.fromkeys(item["movement"] for block in works for item in block["movements"]))


def movement_list(block: JsonObject) -> str:
    """Under which name a block lists its movements."""
    return "items" if block.get("kind") == "warm_up" else "movements"


def movement_added(draft: PlanDraft, block: int, slug: str) -> Edit:
    """A movement at the end of a block."""
    content = at(draft, ("blocks", block)) or {}
    where = ("blocks", block, movement_list(content))
    return Insert(where, len(at(draft, where) or ()), _part(draft, content.get("kind"), slug))


def _part(draft: PlanDraft, kind: str | None, slug: str) -> Any:
    if kind == "work":
        return WorkMovement(movement=slug).model_dump(mode="json")
    if kind != "warm_up":
        return slug
    movement = known_movements(draft).get(slug)
    held = movement is not None and movement.starts_with is StartsWith.hold
    dose = Dose(low=30, unit=DoseUnit.seconds) if held else Dose(low=8)
    return WarmUpItem(movement=slug, dose=dose).model_dump(mode="json")


def allowance_added(draft: PlanDraft, give_up: str) -> Edit:
    """One thing more that may be given up, last; where the plan was silent, behind what is usual."""
    part = Allowance(give_up=GiveUp(give_up), to_s=_LENGTHS_S.get(GiveUp(give_up), ()))
    return Put(("allowances",), [*allowances_shown(draft), part.model_dump(mode="json")])


def allowances_shown(draft: PlanDraft) -> list[JsonObject]:
    """What may be given up; the usual where the plan is silent."""
    written = draft.content.get("allowances")
    usual = [one.model_dump(mode="json") for one in DEFAULT_ALLOWANCES]
    return usual if written is None else list(written)


def own_movement_added(draft: PlanDraft, like: str, name: str) -> Edit:
    """A movement of the plan's own, made like one that is known and named anew."""
    known = known_movements(draft)
    slug = free_name(slug_of(name), set(known))
    made = known[like].model_copy(update={"slug": slug, "name": name, "easier": like, "harder": None})
    own = draft.content.get("movements") or []
    return Insert(("movements",), len(own), made.model_dump(mode="json"))


def slug_of(name: str) -> str:
    """A name as a stable id: small letters, digits and hyphens."""
    return "-".join(re.findall(r"[a-z0-9]+", name.lower()))[:56].strip("-") or "plan"


def free_name(wanted: str, taken: set[Any]) -> str:
    """The wanted name, with a number where it is taken."""
    named = (wanted if number == 1 else f"{wanted}-{number}" for number in count(1))
    return next(name for name in named if name not in taken)


def known_movements(draft: PlanDraft) -> dict[str, Movement]:
    """The library with the draft's own movements over it, as far as they are whole."""
    own = {}
    for one in draft.content.get("movements") or ():
        try:
            movement = Movement.model_validate(one)
        except ValueError:
            continue
        own[movement.slug] = movement
    return library() | own


def movements_found(draft: PlanDraft, written: str) -> tuple[Movement, ...]:
    """The movements in whose name or pattern every written word stands: those whose name begins so, then
    those that are named so, then the rest, each by name."""
    asked = written.lower().split()

    def likeness(movement: Movement) -> tuple[bool, bool, str]:
        name = movement.name.lower()
        return not name.startswith(" ".join(asked)), not all(word in name for word in asked), name

    known = known_movements(draft).values()
    return tuple(sorted((m for m in known if all(word in _said_of(m) for word in asked)), key=likeness))


def _said_of(movement: Movement) -> str:
    return f"{movement.name} {movement.pattern.replace('_', ' ')} {movement.region}".lower()
