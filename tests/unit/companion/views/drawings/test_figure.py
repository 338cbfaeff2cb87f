"""The figure of joint points: a finger can hit each, and left is where a mirror shows it."""

from itertools import combinations
from math import dist

import flet as ft

from companion.views.controls.theme import TOUCH_PX
from companion.views.drawings.figure import HEIGHT, WIDTH, centre, joint_points
from engine.movements.movement import JOINT_POINTS, PAIRED_JOINTS, Joint, Side


def test_the_points_lie_a_finger_apart_and_inside_the_picture() -> None:
    for one, other in combinations(JOINT_POINTS, 2):
        assert dist(centre(*one), centre(*other)) >= TOUCH_PX, (one, other)
    for point in JOINT_POINTS:
        x, y = centre(*point)
        assert 0 <= x - TOUCH_PX / 2 <= WIDTH - TOUCH_PX
        assert 0 <= y - TOUCH_PX / 2 <= HEIGHT - TOUCH_PX


def test_left_stands_on_the_left_and_both_sides_at_one_height() -> None:
    for joint in PAIRED_JOINTS:
        (left_x, left_y), (right_x, right_y) = centre(joint, Side.left), centre(joint, Side.right)
        assert left_x < right_x
        assert left_y == right_y
        assert left_x + right_x == WIDTH


def names(control: ft.Control) -> list[str]:
    """What a screen reader says of each button, in order."""
    found = []
    for child in (getattr(control, "content", None), *(getattr(control, "controls", None) or ())):
        if isinstance(child, ft.Semantics) and child.label:
            found.append(child.label)
        elif isinstance(child, ft.Text):
            found.append(child.value)
        elif isinstance(child, ft.Control):
            found += names(child)
    return found


def test_the_list_says_in_words_what_the_picture_shows() -> None:
    shown = names(joint_points((Joint.neck, None), lambda *_: None, said={(Joint.knee, Side.left): 4}))
    pointed = [name.removeprefix("point ") for name in shown if name.startswith("point ")]
    listed = shown[-len(JOINT_POINTS) :]
    assert pointed == listed
    assert len(listed) == len(set(listed)) == len(JOINT_POINTS)
    assert "left knee: 4" in listed
