"""What never goes on a page for the coach."""

from __future__ import annotations

from datetime import date

import pytest
from builders import record

from companion.samples import sample_plans
from engine.coach.withheld import PageChoice, shown_record
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.movements.limits import ENDS_SOONER, LIMIT_RULES
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.record.profile import Birth, ProfileFlag
from engine.today.limits import limits_for

NAMES = ("pregnan", "birth", "blood pressure", "bones", "osteop", "65", "novice")
TODAY = date(2026, 3, 2)


@pytest.mark.parametrize("flag", ProfileFlag)
def test_neither_a_profile_nor_its_limits_and_rules_are_on_a_page(flag: ProfileFlag) -> None:
    limits = limits_for((flag,), TODAY, birth=Birth(on=date(2025, 1, 1)))
    asked = Asked(minutes=40, room=Room(kit=Kit.single, limits=limits))
    session = offer(sample_plans()[1], asked).session
    assert session is not None
    done = record(session)
    assert done.session.room.limits == limits
    page = shown_record(done, PageChoice())
    written = page.model_dump_json().lower()
    assert page.session.room.limits == ()
    assert not any(rule.lower() in written for rule in LIMIT_RULES.values())
    assert not any(f'"{limit}"' in written for limit in limits)
    assert ENDS_SOONER.lower() not in written
    items = [item for block in page.session.blocks for item in block.items]
    assert all(item.chosen.most_hold_s is None for item in items)
    words = " ".join((*page.session.stop_rules, *(reason.text for reason in page.session.reasons))).lower()
    assert not any(name in words for name in NAMES)


def test_a_session_without_limits_is_shown_as_it_was() -> None:
    done = record()
    assert shown_record(done, PageChoice()) == done
