"""Forgetting: nothing of a person is left in a window."""

from __future__ import annotations

from dataclasses import fields
from typing import cast

from companion.state.app import State
from companion.state.person import Device

STAYS = ("read_only", "on_change", "device")


def test_a_state_that_forgets_keeps_nothing_of_the_person() -> None:
    state = State("Only read.", device=Device(less_motion=True, remark="Nothing is felt here."))
    parts = {one.name for one in fields(State)} - {*STAYS}
    left_behind = cast("State", object())
    for part in parts:
        setattr(state, part, left_behind)
    state.forget()
    fresh = State()
    assert {part: getattr(state, part) for part in parts} == {part: getattr(fresh, part) for part in parts}
    assert state.read_only == "Only read."
    assert state.device == Device(less_motion=True, remark="Nothing is felt here.")
