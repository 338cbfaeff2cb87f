"""What a coach adds to a draft: blocks, movements and allowances with usual values, ready to be changed."""

from __future__ import annotations

import re
from itertools import count
from typing import Any

from engine.base.model import JsonObject
from engine.movements.movement import Kit, Movement, StartsWith, library
from engine.movements.own_choice import Occasion
from engine.movements.repertoire import Repertoire
from engine.movements.room import SORE_ALLOWS, Room, SoreJoint
from engine.plan.allowances import DEFAULT_ALLOWANCES
from engine.plan.draft import DraftPlace, Edit, Insert, PlanDraft, Put, value_at
from engine.plan.plan import (
    BLOCK_KINDS,
    Allowance,
    Amount,
    AmountUnit,
    BlockKind,
    GiveUp,
    PracticeKind,
    TimedPractice,
    WarmUpItem,
    WorkMovement,
)

_ONE_ROUND = {"min": 1, "max": 1}
_NEW_BLOCKS: dict[BlockKind, JsonObject] = {
    "warm_up": {"items": [], "rounds": _ONE_ROUND},
    "practice": {
        "movements": [],
        "timed": TimedPractice().model_dump(),
        "repetitions": None,
        "repetitions_estimate_s": None,
        "usual": PracticeKind.timed.value,
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
"""Where to begin. † Our judgement, no source."""
_NEW_LENGTHS_S = {GiveUp.cool_down: (240, 180, 120), GiveUp.rest: (25, 20, 15), GiveUp.work: (40, 30, 20)}
"""Where to begin. † Our judgement, no source."""


def block_added(draft: PlanDraft, kind: BlockKind) -> Insert:
    """Adds a block where one of its kind usually comes; a practice starts with every movement of the work."""
    blocks = draft.content.get("blocks") or []
    later = BLOCK_KINDS[BLOCK_KINDS.index(kind) + 1 :]
    before = next((n for n, block in enumerate(blocks) if block.get("kind") in later), len(blocks))
    taken = {block.get("id") for block in blocks}
    part = {"kind": kind, "id": free_name(kind.replace("_", "-"), taken), **_NEW_BLOCKS[kind]}
    if kind == "practice":
        part["movements"] = _worked(draft)
    return Insert(("blocks",), before, part)


def _worked(draft: PlanDraft) -> list[str]:
    works = [block for block in draft.content["blocks"] if block.get("kind") == "work"]
    return list(dict.fromkeys(item["movement"] for block in works for item in block["movements"]))


def movement_list(block: JsonObject) -> str:
    """The name of the field in which a block lists its movements."""
    return "items" if block.get("kind") == "warm_up" else "movements"


def movement_added(draft: PlanDraft, block: int, slug: str) -> Edit:
    """Adds a movement at the end of a block, given by its number from 0."""
    content = value_at(draft, ("blocks", block)) or {}
    where = ("blocks", block, movement_list(content))
    return Insert(where, len(value_at(draft, where) or ()), _item(draft, content.get("kind"), slug))


def _item(draft: PlanDraft, kind: str | None, slug: str) -> Any:
    """A movement as a block of a kind lists it; a hold of the warm-up lasts some seconds."""
    if kind == "work":
        return WorkMovement(movement=slug).model_dump(mode="json")
    if kind != "warm_up":
        return slug
    movement = known_movements(draft).get(slug)
    is_hold = movement is not None and movement.starts_with is StartsWith.hold
    amount = Amount(low=30, unit=AmountUnit.seconds) if is_hold else Amount(low=8)
    return WarmUpItem(movement=slug, amount=amount).model_dump(mode="json")


def substitute_added(draft: PlanDraft, where: DraftPlace, when: Occasion) -> Edit:
    """Adds a substitute of the coach's own for an occasion to the movement at a place: to begin with, what
    the fit would choose there by itself and the block has not got."""
    *of_block, _ = where
    named = [one.get("movement") for one in value_at(draft, tuple(of_block)) or ()]
    slug = str((value_at(draft, where) or {}).get("movement"))
    known = known_movements(draft)
    joint = when.joint
    sore = () if joint is None else (SoreJoint(joint=joint, rating=SORE_ALLOWS[0][0]),)
    today = Repertoire(known, Room(kit=when.kit or Kit.pair, sore=sore))
    usual = today.usual(slug, light=of_block[-1] == "items") if slug in known else None
    found = today.stand_ins(usual, {one for one in named if one in known}) if usual else ()
    part = {"when": when.value, "movement": found[0].movement.slug if found else ""}
    here = (*where, "substitutes")
    return Insert(here, len(value_at(draft, here) or ()), part)


def allowance_added(draft: PlanDraft, give_up: str) -> Edit:
    """Adds something to give up, last; where the plan says nothing yet, after what is usual."""
    part = Allowance(give_up=GiveUp(give_up), to_s=_NEW_LENGTHS_S.get(GiveUp(give_up), ()))
    return Put(("allowances",), [*allowances_shown(draft), part.model_dump(mode="json")])


def allowances_shown(draft: PlanDraft) -> list[JsonObject]:
    """What may be given up: as the plan says, or what is usual where it says nothing."""
    written = draft.content.get("allowances")
    usual = [one.model_dump(mode="json") for one in DEFAULT_ALLOWANCES]
    return usual if written is None else list(written)


def own_movement_added(draft: PlanDraft, like: str, name: str) -> Edit:
    """Adds a movement of the plan's own: a copy of a known one under another name."""
    known = known_movements(draft)
    slug = free_name(slug_of(name), set(known))
    made = known[like].model_copy(update={"slug": slug, "name": name, "easier": like})
    own = draft.content.get("movements") or []
    return Insert(("movements",), len(own), made.model_dump(mode="json"))


def slug_of(name: str) -> str:
    """A name as a stable id: small letters, digits and hyphens."""
    return "-".join(re.findall(r"[a-z0-9]+", name.lower()))[:56].strip("-") or "plan"


def free_name(wanted: str, taken: set[Any]) -> str:
    """The wanted name, with a number behind it where it is taken."""
    candidates = (wanted if number == 1 else f"{wanted}-{number}" for number in count(1))
    return next(name for name in candidates if name not in taken)


def known_movements(draft: PlanDraft) -> dict[str, Movement]:
    """The movements of the library and of the draft by slug, without those that are still faulty."""
    own = {}
    for one in draft.content.get("movements") or ():
        try:
            movement = Movement.model_validate(one)
        except ValueError:
            continue
        own[movement.slug] = movement
    return library() | own


def movements_found(draft: PlanDraft, written: str) -> tuple[Movement, ...]:
    """The movements in whose names, pattern or region every written word occurs.

    First come those whose name begins with the words, then those with all the words in the name, then the
    rest; each group by name.
    """
    asked = written.lower().split()

    def order(movement: Movement) -> tuple[bool, bool, str]:
        name = movement.name.lower()
        return not name.startswith(" ".join(asked)), not all(word in name for word in asked), name

    known = known_movements(draft).values()
    return tuple(sorted((m for m in known if all(word in _searched(m) for word in asked)), key=order))


def _searched(movement: Movement) -> str:
    return " ".join(
        (movement.name, *movement.other_names, movement.pattern.replace("_", " "), movement.region)
    ).lower()
