"""What is at home, what the device does, which plans there are: kept at once, undone where something goes."""

from __future__ import annotations

from datetime import timedelta

import builders
import pytest
from somebody import PLAN, Person

from companion.services.files import PickedFile
from companion.services.page_messages import Capabilities, Mix
from companion.state.screen import Screen
from companion.views.home import cues
from engine.base.units import LoadUnit
from engine.live.cues import PATTERNS_MS, CueKind
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack
from storage.models import Settings

OTHER = builders.plan(id="another-plan", name="Another plan", author="Ines Okonjo")


async def undone(person: Person) -> None:
    assert person.state.undo is not None
    await person.do.kit.undo()
    assert person.state.undo is None


async def test_weights_are_counted_in_the_unit_of_the_person_and_come_back() -> None:
    person = await Person().open()
    await person.do.settings.set_unit("lb")
    await person.do.kit.add_weight("20")
    await person.do.kit.add_weight("20,0")
    assert person.state.home.rack.fixed == (FixedWeight(load_g=9_072, count=2),)
    await person.do.kit.count_weight(9_072, 0)
    assert (await person.store.person.kit()).rack == Rack()
    await undone(person)
    assert (await person.store.person.kit()).rack.fixed == (FixedWeight(load_g=9_072, count=2),)
    assert (await person.store.person.profile()).unit is LoadUnit.lb


async def test_an_adjustable_bell_is_a_bar_and_its_plates() -> None:
    person = await Person().open()
    await person.do.kit.add_bell("2")
    await person.do.kit.count_bars(0, 2)
    await person.do.kit.add_plates(0, "1.25")
    bell = AdjustableBell(bar_g=2_000, bars=2, plates=(Plates(load_g=1_250, count=4),))
    assert (await person.store.person.kit()).rack.adjustable == (bell,)
    assert bell.loads_g(2) == (2_000, 4_500)
    await person.do.kit.count_plates(0, 1_250, 0)
    await undone(person)
    await person.do.kit.remove_bell(0)
    await undone(person)
    assert (await person.store.person.kit()).rack.adjustable == (bell,)


@pytest.mark.parametrize("written", ["", "heavy", "0", "-3", "501", "nan", "1e9"])
async def test_what_is_no_weight_is_refused_in_a_sentence(written: str) -> None:
    person = await Person().open()
    with pytest.raises(ValueError, match=r"load|weight"):
        await person.do.kit.add_weight(written)
    assert person.state.home.rack == Rack()


async def test_the_mix_of_the_cues_is_kept_and_holds_at_the_next_opening_and_at_each_start() -> None:
    person = await Person().open()
    await person.do.cues.set_device(tone=False, voice=True, volume=0.25)
    mix = Mix(haptic=True, tone=False, voice=True, volume=0.25)
    assert person.cues.mix == mix
    again = await Person(person.store).open()
    assert again.cues.mix == mix
    again.cues.mix = Mix()
    await again.do.session.start()
    assert again.cues.mix == mix


async def test_a_cue_is_tried_with_its_own_pattern() -> None:
    person = await Person().open()
    for kind in cues.CUES:
        await person.do.cues.try_out(kind)
    assert [cue.pattern_ms for cue in person.cues.played] == [PATTERNS_MS[kind] for kind in cues.CUES]
    assert set(cues.CUES) == set(CueKind)


def test_what_a_device_cannot_do_is_said_plainly() -> None:
    bare = Capabilities(vibrate=False, audio="none", voice="none", wake_lock=False)
    assert list(cues.on_this_device(bare)) == [
        cues.NO_TOUCH,
        cues.NO_TONE,
        cues.SPOKEN_BY["none"],
        cues.NO_LIGHT,
    ]
    full = Capabilities(vibrate=True, audio="running", voice="device", wake_lock=True)
    assert list(cues.on_this_device(full)) == [cues.MAYBE_TOUCH, cues.SPOKEN_BY["device"], cues.ALWAYS]
    assert list(cues.on_this_device(None)) == [cues.NO_ANSWER]


async def test_a_plan_from_a_file_is_kept_beside_the_samples_and_stays_chosen() -> None:
    person = await Person().open()
    person.files.to_pick.append(PickedFile("other.json", OTHER.model_dump_json().encode()))
    await person.do.plans.open_file()
    assert person.state.plans.shown == OTHER
    assert await person.store.plans.all() == ()
    await person.do.plans.save(OTHER)
    assert {plan.id for plan in await person.store.plans.all()} == {OTHER.id, PLAN.id}
    again = await Person(person.store).open()
    assert again.state.plans.chosen == OTHER
    await undone(person)
    assert await person.store.plans.all() == (PLAN,)


async def test_a_newer_version_of_a_plan_can_be_taken_back() -> None:
    person = await Person().open()
    await person.do.plans.save(OTHER)
    await person.do.plans.save(OTHER.model_copy(update={"note": "Slower."}))
    await undone(person)
    assert await person.store.plans.one(OTHER.id) == OTHER


async def test_where_no_plan_is_left_the_samples_are_there_again() -> None:
    person = await Person().open()
    await person.do.plans.remove(PLAN)
    assert person.state.plans.all == (PLAN,)
    assert await person.store.plans.all() == ()


async def test_a_file_with_faults_changes_nothing_and_says_where_they_are() -> None:
    person = await Person().open()
    for content in (b"", b"\xff", b"[]", b'{"format": "profile"}', OTHER.model_dump_json().encode()[:-9]):
        person.files.to_pick.append(PickedFile("broken\u202e.json", content))
        await person.do.plans.open_file()
        assert person.state.screen is Screen.plans
        assert person.state.plans.faults
        assert person.state.plans.faulty == "broken .json"
    assert await person.store.plans.all() == ()


async def test_erasing_leaves_the_application_as_new_and_a_backup_brings_the_plans_back() -> None:
    person = await Person().open()
    await person.do.plans.save(OTHER)
    await person.do.cues.set_device(haptic=False)
    await person.do.settings.backup.save()
    (backup,) = person.files.saved
    person.clock.ms += timedelta(days=1) // timedelta(milliseconds=1)
    await person.do.settings.backup.erase_everything()
    assert person.state.screen is Screen.cautions
    assert person.state.home.profile is None
    assert await person.store.person.settings() == Settings()
    assert person.cues.mix.haptic
    await person.do.opening.accept_cautions(())
    person.files.to_pick.append(backup)
    await person.do.settings.backup.pick()
    assert await person.store.plans.all() == (OTHER, PLAN)
