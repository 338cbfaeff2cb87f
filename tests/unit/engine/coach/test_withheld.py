"""What never goes on a page for the coach."""

from __future__ import annotations

from datetime import date

import pytest
from builders import record

from companion.samples import sample_plans
from companion.words.words import english
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice, shown_record
from engine.fit.asked import Asked
from engine.fit.offer import offer
from engine.movements.limits import ENDS_SOONER, LIMIT_RULES
from engine.movements.movement import Kit
from engine.movements.room import Room
from engine.movements.terms import limit_term
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
    assert not any(english(limit_term(one)) in written for one in limits if one not in LIMIT_RULES)
    assert not any(limit_term(one).code in written for one in limits)
    words = " ".join(
        (*page.session.stop_rules, *(english(reason.said) for reason in page.session.reasons))
    ).lower()
    assert not any(name in words for name in NAMES)


def test_a_session_without_limits_is_shown_as_it_was() -> None:
    done = record()
    assert shown_record(done, PageChoice()) == done


def test_the_reason_of_a_swap_on_a_page_does_not_tell_of_a_pregnancy() -> None:
    """“Not on the back”, “not face down” and “without loading the belly” told it, though nobody ticked it."""
    found = set()
    for plan in sample_plans():
        limits = limits_for((ProfileFlag.pregnant,), TODAY)
        session = offer(plan, Asked(minutes=45, room=Room(kit=Kit.single, limits=limits))).session
        assert session is not None
        words = [english(limit_term(limit)) for limit in limits if limit not in LIMIT_RULES]
        told = [one for one in session.reasons if any(word in english(one.said) for word in words)]
        found |= {one.said for one in told}
        shown = report_of(record(session), (), PageChoice())
        text = " ".join(english(reason.said) for reason in shown.reasons)
        assert not any(word in text for word in words)
        assert len(shown.reasons) == len(session.reasons), "that something was swapped stays"
        for one in told:
            assert english(one.said).partition(":")[0] in text
        assert all(reason.sent is None for reason in shown.reasons)
    assert found, "the person reads why"
