"""Which movements are easy for somebody whose joint hurts too much for a session."""

from __future__ import annotations

import pytest
from builders import movement

from engine.movements.easy import NEIGHBOURS, easy_movements, joints_at_rest
from engine.movements.limits import Limit
from engine.movements.movement import PAIRED_JOINTS, Equipment, Joint, Kit, MovementPattern, by_slug, library
from engine.movements.room import Room, SoreJoint


def room(joint: Joint = Joint.knee, rating: int = 7, **fields: object) -> Room:
    return Room.model_validate({"sore": (SoreJoint(joint=joint, rating=rating),), **fields})


def easy(here: Room) -> set[str]:
    return set(easy_movements(library(), here))


def test_every_joint_has_neighbours_and_is_the_neighbour_of_its_neighbours() -> None:
    assert set(NEIGHBOURS) == set(Joint)
    for joint, beside in NEIGHBOURS.items():
        assert beside
        assert joint not in beside
        assert all(joint in NEIGHBOURS[other] for other in beside)


def test_arm_and_leg_are_chains_from_the_trunk_outwards() -> None:
    """Anatomy: shoulder, elbow, wrist; low back, hip, knee, ankle."""
    for chain in (
        (Joint.neck, Joint.shoulder, Joint.elbow, Joint.wrist),
        (Joint.low_back, Joint.hip, Joint.knee, Joint.ankle),
    ):
        for number, joint in enumerate(chain):
            assert NEIGHBOURS[joint] == {chain[at] for at in (number - 1, number + 1) if at in range(4)}


@pytest.mark.parametrize("rating", range(1, 11))
def test_only_a_joint_at_six_or_more_rests_with_its_neighbours(rating: int) -> None:
    expected = {Joint.hip, Joint.knee, Joint.ankle} if rating >= 6 else set()
    assert joints_at_rest(room(rating=rating)) == expected


@pytest.mark.parametrize("field, most", [("balance", 1), ("level", 1)])
def test_an_easy_movement_is_of_the_first_level_and_on_steady_feet(field: str, most: int) -> None:
    """† Our judgement, no source."""
    grades, easiest = range(1, 4), {"pattern": MovementPattern.mobility, "level": 1, "balance": 1}
    made = [movement(f"swing-{n}", **(easiest | {field: n})) for n in grades]
    assert set(easy_movements(by_slug(made), room())) == {f"swing-{n}" for n in grades if n <= most}


def test_a_knee_leaves_the_arms_and_the_trunk() -> None:
    """Common practice, no source."""
    assert {"arm-circles", "shoulder-rolls", "wrist-circles", "trunk-turns"} <= easy(room())
    assert not {"march-in-place", "hip-circles", "heel-and-toe-rock", "squat-and-reach"} & easy(room())


def test_a_shoulder_leaves_walking_and_the_legs() -> None:
    """Common practice, no source."""
    assert {"march-in-place", "hip-circles", "heel-and-toe-rock"} <= easy(room(Joint.shoulder))
    assert not {"arm-circles", "shoulder-rolls", "neck-turns", "side-bend"} & easy(room(Joint.shoulder))


@pytest.mark.parametrize(
    "joint, variant",
    [(Joint.shoulder, "Arms still"), (Joint.elbow, "Arms still"), (Joint.wrist, "Arms swing along")],
)
def test_the_arms_stay_still_on_the_walk_where_a_shoulder_rests(joint: Joint, variant: str) -> None:
    """Common practice, no source."""
    assert easy_movements(library(), room(joint))["march-in-place"].variants[0].name == variant


def test_nobody_stands_on_one_leg_at_a_time_with_an_ankle_that_hurts() -> None:
    """The swinging leg may be spared; the other one carries the body."""
    assert "leg-swing" in easy(room(Joint.wrist))
    assert "leg-swing" not in easy(room(Joint.ankle))


def test_strength_movements_are_not_easy_however_light() -> None:
    of_a_wrist = easy_movements(library(), room(Joint.wrist)).values()
    assert {one.pattern for one in of_a_wrist} == {"mobility"}


@pytest.mark.parametrize("joint", sorted(PAIRED_JOINTS))
def test_weights_at_hand_and_a_free_floor_change_nothing(joint: Joint) -> None:
    assert easy(room(joint, kit=Kit.pair)) == easy(room(joint, without=(Equipment.floor,)))


def test_what_the_room_lacks_limits_and_left_out_movements_are_not_there() -> None:
    assert "heel-and-toe-rock" not in easy(room(Joint.wrist, without=(Equipment.wall, Equipment.chair)))
    assert easy(room(limits=(Limit.breathing_and_walking,))) == {"seated-breath", "standing-breath"}
    assert "arm-circles" not in easy(room(after_pain=("arm-circles",)))


def test_another_joint_that_hurts_a_little_is_loaded_no_more_than_its_number_allows() -> None:
    """Pain of 3 or more allows no stress at all, 1 or 2 light stress."""
    for rating, allowed in ((2, True), (3, False)):
        shoulder = SoreJoint(joint=Joint.shoulder, rating=rating)
        here = Room(sore=(SoreJoint(joint=Joint.knee, rating=7), shoulder))
        assert ("arm-circles" in easy(here)) is allowed


def test_a_movement_keeps_only_its_easy_forms() -> None:
    stretch = easy_movements(library(), room(Joint.elbow))["hamstring-stretch"]
    assert [variant.on_floor for variant in stretch.variants] == [False]
