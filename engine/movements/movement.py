"""Movements and their variants for each kit, and the library of movements (data in
``engine/library/*.json``)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import cache
from importlib import resources
from typing import Annotated

from pydantic import ConfigDict, Field, TypeAdapter

from engine.base.model import Model, Name, Sentence, Slug
from engine.movements.tempo import Hardest, Phase


class MovementPattern(StrEnum):
    """What a movement trains, as the trade groups it."""

    squat = "squat"
    hinge = "hinge"
    lunge = "lunge"
    horizontal_push = "horizontal_push"
    vertical_push = "vertical_push"
    horizontal_pull = "horizontal_pull"
    vertical_pull = "vertical_pull"
    carry = "carry"
    trunk = "trunk"
    mobility = "mobility"


class Region(StrEnum):
    """The part of the body that a movement trains; neighbours in a round should differ in it."""

    lower_body = "lower"
    upper_body = "upper"
    trunk = "trunk"


class Joint(StrEnum):
    """The joints that a person can name as sore, and the low back and neck."""

    wrist = "wrist"
    elbow = "elbow"
    shoulder = "shoulder"
    neck = "neck"
    low_back = "low_back"
    hip = "hip"
    knee = "knee"
    ankle = "ankle"


PATTERNS_THAT_WORK: dict[Joint, frozenset[MovementPattern]] = {
    Joint.shoulder: frozenset(
        {
            MovementPattern.horizontal_push,
            MovementPattern.vertical_push,
            MovementPattern.horizontal_pull,
            MovementPattern.vertical_pull,
        }
    ),
    Joint.hip: frozenset({MovementPattern.squat, MovementPattern.hinge, MovementPattern.lunge}),
    Joint.knee: frozenset({MovementPattern.squat, MovementPattern.lunge}),
    Joint.ankle: frozenset({MovementPattern.lunge}),
}
"""The patterns that work a joint itself: they are left out while it may take no stress. Every other pattern
has a movement that leaves the joint alone."""


class Kit(StrEnum):
    """The dumbbells on hand."""

    none = "none"
    single = "single"
    pair = "pair"

    @property
    def dumbbells(self) -> int:
        """How many there are."""
        return _DUMBBELLS[self]


_DUMBBELLS = {Kit.none: 0, Kit.single: 1, Kit.pair: 2}


class Equipment(StrEnum):
    """What a variant may need besides dumbbells."""

    wall = "wall"
    floor = "floor"
    chair = "chair"
    bench = "bench"
    table = "table"
    step = "step"
    towel = "towel"
    band = "band"


class Sides(StrEnum):
    """What changes sides during a work interval: nothing, the loaded hand, or the working leg.

    ``leg`` covers every movement that has sides whatever the kit, and that takes a new stance to change them,
    a side plank too. ``Variant.changes`` says what the person is told to change.
    """

    none = "none"
    hand = "hand"
    leg = "leg"


class Changing(StrEnum):
    """What the person is told to change at a change of sides."""

    hand = "hand"
    leg = "leg"
    side = "side"


class Side(StrEnum):
    """A side of the body, or both at once."""

    left = "left"
    right = "right"
    both = "both"


JointPoint = tuple[Joint, Side | None]
"""A joint on one side; neck and low back have none."""

PAIRED_JOINTS = frozenset(Joint) - {Joint.neck, Joint.low_back}
JOINT_POINTS: tuple[JointPoint, ...] = tuple(
    (joint, side)
    for joint in Joint
    for side in ((Side.left, Side.right) if joint in PAIRED_JOINTS else (None,))
)
"""Every joint on every side it has, from the wrist up and from the neck down."""


class Held(StrEnum):
    """How or where the weight is held."""

    none = "none"
    both_hands = "both_hands"
    same_side = "same_side"
    opposite_side = "opposite_side"
    front = "front"
    chest = "chest"
    shoulder = "shoulder"
    at_sides = "at_sides"


class Position(StrEnum):
    """What carries the body. ``propped`` are hands or forearms with the feet or knees on the floor, face
    down; with ``raised_hands`` they are on a wall, a table or a chair."""

    standing = "standing"
    sitting = "sitting"
    floor_sitting = "floor_sitting"
    kneeling = "kneeling"
    half_kneeling = "half_kneeling"
    all_fours = "all_fours"
    propped = "propped"
    raised_hands = "raised_hands"
    side_propped = "side_propped"
    on_side = "on_side"
    supine = "supine"
    prone = "prone"


class Demand(StrEnum):
    """What a movement does to the trunk that not everybody should do."""

    head_low = "head_low"
    """The head comes below the hips."""
    trunk_level = "trunk_level"
    """The trunk leans as far as level; stopped earlier it is still the same movement."""
    rounding = "rounding"
    twisting = "twisting"
    belly_load = "belly_load"
    """A weight rests on the belly, a knee comes up to it, or it holds up the trunk as that leans back."""


class StartsWith(StrEnum):
    """The phase a repetition begins with: lowering (squat, press-up) or lifting (row, deadlift)."""

    lowering = "lowering"
    lifting = "lifting"
    hold = "hold"


Stress = Annotated[int, Field(ge=0, le=3)]
"""How much a movement asks of a joint; ``Movement`` says what the grades mean."""
Level = Annotated[int, Field(ge=1, le=5)]
"""How demanding a movement is; ``Movement`` says what the grades mean."""


Balance = Annotated[int, Field(ge=0, le=3)]
"""How much balance a movement asks for; ``Movement`` says what the grades mean."""


class Variant(Model):
    """One way of doing a movement with one kit.

    A side is named for what works: the loaded hand, the leg that carries, the side underneath in a side
    plank, the side that is stretched. ``level``, ``balance``, ``stress`` and ``same_as`` are given where this
    variant differs from the movement; a joint that ``stress`` does not name keeps the movement's grade, and
    ``asks`` adds to what the movement asks for. ``harder`` names the movement that comes after this variant,
    ``harder_variant`` which of its variants, where that is not the first with the same dumbbells.
    """

    id: Slug
    name: Name
    kit: Kit
    sides: Sides = Sides.none
    changes: Changing | None = None
    """What the person changes, where that is not what ``sides`` names."""
    alternates: bool = False
    """The sides take turns within the interval, so that none of them is changed to."""
    held: Held = Held.none
    needs: tuple[Equipment, ...] = Field(default=(), max_length=len(Equipment))
    position: Position = Position.standing
    on_floor: bool = False
    hands_bear: bool = False
    """Hands or forearms carry the body, on the floor or raised, so that nobody can tap a screen."""
    grip_heavy: bool = False
    level: Level | None = None
    balance: Balance | None = None
    asks: tuple[Demand, ...] = Field(default=(), max_length=len(Demand))
    same_as: Slug | None = None
    stress: dict[Joint, Stress] = {}
    harder: Slug | None = None
    harder_variant: Slug | None = None
    placing: Sentence | None = None
    """How to take up, put down and change over the weight safely; required where the variant has a weight."""


class Movement(Model):
    """A movement with everything that the fit and the screens need to know.

    ``variants`` are in order of preference within a kit. ``hardest`` is where in a repetition a pause is
    added to make it harder. ``stress`` grades each joint: 0 no more than quiet standing, sitting or lying, 1
    light, 2 clear, 3 high; a joint that is not named has 0. ``level`` grades the demand: 1 anyone's first
    day, 2 a beginner's, 3 usual, 4 practised, 5 strong. ``balance`` is 0 for lying, sitting and whatever
    leans on something firm, 1 on both feet, stepping as in walking, or with a hand on something firm, 2 in a
    split or narrow stance, a long or loaded step, or on the toes, 3 on one leg without support. ``easier``
    names another movement of the library or of the plan. † The grades are our judgement, no source.
    """

    slug: Slug
    name: Name
    pattern: MovementPattern
    region: Region
    other_names: tuple[Name, ...] = Field(default=(), max_length=12)
    """What others call it; a search finds it by them."""
    also: tuple[MovementPattern, ...] = Field(default=(), max_length=len(MovementPattern))
    """Patterns trained indirectly; a set counts half for each of them."""
    accessory: bool = False
    """Trains one joint's muscles and not the whole pattern, so it never stands in for the pattern."""
    starts_with: StartsWith = StartsWith.lowering
    hardest: Hardest = Phase.bottom
    level: Level = 3
    balance: Balance = 1
    asks: tuple[Demand, ...] = Field(default=(), max_length=len(Demand))
    same_as: Slug | None = None
    """The movement that this is another version of: a round has only one of them."""
    stress: dict[Joint, Stress] = {}
    variants: tuple[Variant, ...] = Field(min_length=1, max_length=20)
    easier: Slug | None = None
    cues: tuple[Sentence, ...] = Field(min_length=1, max_length=3)
    end_point: Sentence
    stop_rules: tuple[Sentence, ...] = Field(default=(), max_length=12)

    def variants_for(self, kit: Kit, without: frozenset[Equipment] = frozenset()) -> tuple[Variant, ...]:
        """The variants that a kit allows ``without`` some equipment, those with the most dumbbells first."""
        possible = (
            variant
            for variant in self.variants
            if variant.kit.dumbbells <= kit.dumbbells and not without.intersection(variant.needs)
        )
        return tuple(sorted(possible, key=lambda variant: -variant.kit.dumbbells))

    def variant_for(self, kit: Kit, without: frozenset[Equipment] = frozenset()) -> Variant | None:
        """The first of ``forms_for``; None where there is none."""
        return next(iter(self.variants_for(kit, without)), None)

    def stress_on(self, joint: Joint, variant: Variant) -> int:
        """The grade of stress on a joint in one variant, from 0 to 3."""
        return variant.stress.get(joint, self.stress.get(joint, 0))

    def stressed_in(self, variant: Variant) -> frozenset[Joint]:
        """The joints that a variant stresses at all."""
        return frozenset(joint for joint, grade in (self.stress | variant.stress).items() if grade)

    def level_of(self, variant: Variant) -> int:
        """The level of the movement in one variant, from 1 to 5."""
        return self.level if variant.level is None else variant.level

    def balance_of(self, variant: Variant) -> int:
        """How much balance one variant asks for, from 0 to 3."""
        return self.balance if variant.balance is None else variant.balance

    def asks_of(self, variant: Variant) -> frozenset[Demand]:
        """What one variant does to the trunk."""
        return frozenset((*self.asks, *variant.asks))

    def really(self, variant: Variant) -> Slug:
        """The movement that one variant really is: two names with the same answer are one movement."""
        return variant.same_as or self.same_as or self.slug


def sides_of(variant: Variant) -> Sides:
    """What changes sides in this variant: hands do not with a weight in each, a leg always does."""
    if variant.sides is Sides.hand and variant.kit is Kit.pair:
        return Sides.none
    return variant.sides


def changing_in(variant: Variant) -> Changing | None:
    """What the person is told to change in this variant; None where nothing changes sides."""
    sides = sides_of(variant)
    return None if sides is Sides.none else variant.changes or Changing(sides)


def held_at_side(sides: Sides, held: Held) -> Held | None:
    """How the weight is held that a side is named for; None where it is named for what works."""
    return held if sides is Sides.hand else None


_ARM = frozenset({Joint.wrist, Joint.elbow, Joint.shoulder})
_LEG = frozenset({Joint.hip, Joint.knee, Joint.ankle})
_JOINTS_OF_A_SIDE = {
    None: frozenset[Joint](),
    Changing.hand: _ARM,
    Changing.leg: _LEG,
    Changing.side: _ARM | _LEG,
}


def one_sided_joints(variant: Variant) -> frozenset[Joint]:
    """The joints that a variant works on one side at a time."""
    return _JOINTS_OF_A_SIDE[changing_in(variant)]


def harder_version(variant: Variant, known: Mapping[str, Movement]) -> tuple[Movement, Variant] | None:
    """The movement and variant that come after a variant; None where there is none.

    ``known`` are the movements of the plan and the library by slug.
    """
    movement = known.get(variant.harder) if variant.harder else None
    if movement is None:
        return None
    if variant.harder_variant is not None:
        found = [one for one in movement.variants if one.id == variant.harder_variant]
    else:
        apart = {one.id: abs(one.kit.dumbbells - variant.kit.dumbbells) for one in movement.variants}
        found = sorted(movement.variants, key=lambda one: apart[one.id])
    return (movement, found[0]) if found else None


def trains_pattern_of(movement: Movement, planned: Movement) -> bool:
    """Whether a movement trains the pattern of a planned one; an accessory does so only for an accessory."""
    return movement.pattern is planned.pattern and (planned.accessory or not movement.accessory)


_MOVEMENTS = TypeAdapter(tuple[Movement, ...], config=ConfigDict(defer_build=True))


@cache
def library() -> dict[str, Movement]:
    """Every movement of the library by slug, in the order of its files' names."""
    folder = resources.files("engine").joinpath("library")
    files = sorted((f for f in folder.iterdir() if f.name.endswith(".json")), key=lambda f: f.name)
    return by_slug(movement for f in files for movement in _MOVEMENTS.validate_json(f.read_text("utf-8")))


def by_slug(movements: Iterable[Movement]) -> dict[str, Movement]:
    """Movements by slug. Raises ValueError where two have the same slug."""
    found: dict[str, Movement] = {}
    for movement in movements:
        if movement.slug in found:
            raise ValueError(f"The movement “{movement.slug}” stands twice.")
        found[movement.slug] = movement
    return found
