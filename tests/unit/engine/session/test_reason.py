"""What the reasons of a session are about: pain first, time last, each group told apart by code."""

import pytest
from reasons_said import below_minimum, hands_inside, practice_cut, rest_cut, swapped_for_a_knee

from companion.words.words import english
from engine.base.message import Message, Own, listed, message
from engine.movements.limits import Limit
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.movements.own_choice import AFTER_PAIN
from engine.movements.terms import joint_term, kit_term, limit_term, missing_equipment, missing_kit
from engine.session.reason import FOR_TODAY, Reason, grouped


def swapped(*why: Message) -> Reason:
    names = {"replacement": Own(own="Lift"), "planned": Own(own="Squat")}
    return Reason(message=message("swapped", why=listed(why), **names), seconds=0)


def titles(*reasons: Reason) -> list[str]:
    return [english(one.title) for one in grouped(reasons)]


def test_what_a_joint_changed_stands_apart_from_what_saves_time() -> None:
    assert titles(hands_inside(120), swapped_for_a_knee(), practice_cut(180), below_minimum(60)) == [
        "For your left knee: 1 change",
        "To save time: 2 changes",
    ]


def test_the_joints_of_several_reasons_share_one_group_and_are_named_once() -> None:
    wrist = message("spares", joints=listed([joint_term((Joint.wrist, None))]))
    assert titles(swapped_for_a_knee(), swapped(wrist), swapped_for_a_knee("Row", "Press")) == [
        "For your left knee and wrist: 3 changes"
    ]


def test_that_pain_never_adds_rounds_stands_with_the_joint_or_else_after_pain() -> None:
    held_back = Reason(message=message("no_more_for_pain"), seconds=0)
    assert titles(held_back, swapped_for_a_knee()) == ["For your left knee: 2 changes"]
    assert titles(held_back, swapped(AFTER_PAIN)) == ["After pain: 2 changes"]
    assert titles(held_back) == ["After pain: 1 change"]


@pytest.mark.parametrize(
    ("why", "about"),
    [
        ((AFTER_PAIN, missing_kit(Kit.single)), "After pain"),
        ((limit_term(Limit.not_on_back), missing_kit(Kit.single)), "For today"),
        ((FOR_TODAY,), "For today"),
        ((missing_equipment(Equipment.floor),), "For your kit and room"),
        ((kit_term(Kit.none),), "For your kit and room"),
        ((message("as_coach_asks"),), "From your coach"),
    ],
)
def test_a_reason_is_about_one_thing(why: tuple[Message, ...], about: str) -> None:
    assert titles(swapped(*why)) == [f"{about}: 1 change"]


def test_a_reason_of_one_block_names_it_and_the_time_that_it_saves() -> None:
    in_third = rest_cut(90).model_copy(update={"block": 3})
    assert english(in_third.with_seconds) == "In block 3: Rests cut to 15 s. Saves 1:30."
    assert in_third.code == "rest"


def test_the_side_of_a_joint_is_said_as_it_was_told() -> None:
    both = [joint_term((Joint.knee, side)) for side in (Side.left, Side.right)]
    assert titles(swapped(message("spares", joints=listed(both)))) == [
        "For your left knee and right knee: 1 change"
    ]
