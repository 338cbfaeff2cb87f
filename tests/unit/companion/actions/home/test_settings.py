"""What a person says of themselves in the settings, and what the next fit makes of it."""

from __future__ import annotations

from datetime import date

from somebody import BEGAN, Person

from companion.words.words import ENGLISH
from engine.movements.limits import Limit
from engine.record.profile import Birth, ProfileFlag, WeekSaid


def limits(person: Person) -> set[Limit]:
    session = person.state.fit.session
    return set() if session is None else set(session.room.limits)


async def at_home() -> Person:
    person = Person()
    await person.come_back()
    await person.do.opening.accept_cautions(())
    return person


async def test_a_week_that_is_said_counts_from_the_day_it_was_said_and_is_kept() -> None:
    person = await at_home()
    await person.do.settings.toggle_flag(ProfileFlag.pregnant)
    assert Limit.not_on_back in limits(person)
    await person.do.settings.say_week(12)
    in_any_week = {Limit.effort_7, Limit.keep_breathing, Limit.belly_free, Limit.not_head_down}
    assert limits(person) == in_any_week
    kept = await person.context.store.person.profile()
    assert kept is not None
    assert kept.pregnancy == WeekSaid(week=12, said_on=BEGAN.date())


async def test_a_birth_leaves_breathing_and_walking_until_its_week_and_says_until_when() -> None:
    person = await at_home()
    await person.do.settings.toggle_flag(ProfileFlag.after_birth)
    assert person.state.fit.session is None
    await person.do.settings.say_birth(Birth(on=date(2026, 2, 16), caesarean=True))
    assert person.state.fit.session is None
    assert "until Monday 11 May" in ENGLISH.say(person.state.fit.care.no_session)
    await person.do.settings.say_birth(Birth(on=date(2026, 1, 5)))
    assert limits(person) == {Limit.stop_when_heavy}


async def test_what_was_told_goes_with_its_tick() -> None:
    person = await at_home()
    for flag in (ProfileFlag.pregnant, ProfileFlag.after_birth):
        await person.do.settings.toggle_flag(flag)
    await person.do.settings.say_week(30)
    await person.do.settings.say_birth(Birth(on=date(2025, 1, 1)))
    for flag in (ProfileFlag.pregnant, ProfileFlag.after_birth):
        await person.do.settings.toggle_flag(flag)
    profile = person.state.home.profile
    assert profile is not None
    assert (profile.flags, profile.pregnancy, profile.birth) == ((), None, None)
    assert limits(person) == set()


async def test_what_is_told_with_the_cautions_holds_for_the_first_session() -> None:
    person = Person()
    await person.come_back()
    await person.do.opening.accept_cautions((ProfileFlag.pregnant,), 8, None)
    assert Limit.not_on_back not in limits(person)
    profile = person.state.home.profile
    assert profile is not None
    assert profile.pregnancy == WeekSaid(week=8, said_on=BEGAN.date())
