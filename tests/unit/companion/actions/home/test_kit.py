"""The weights at home: kept at once, undone where something goes."""

from __future__ import annotations

import pytest
from somebody import Person

from engine.base.units import LoadUnit
from engine.load.rack import AdjustableBell, FixedWeight, Plates, Rack


async def test_weights_are_counted_in_the_unit_of_the_person_and_come_back() -> None:
    person = await Person().open()
    await person.do.settings.set_unit("lb")
    await person.do.kit.add_weight("20")
    await person.do.kit.add_weight("20,0")
    assert person.state.home.rack.fixed == (FixedWeight(load_g=9_072, count=2),)
    await person.do.kit.count_weight(9_072, 0)
    assert (await person.store.person.kit()).rack == Rack()
    await person.undo()
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
    await person.undo()
    await person.do.kit.remove_bell(0)
    await person.undo()
    assert (await person.store.person.kit()).rack.adjustable == (bell,)


@pytest.mark.parametrize("written", ["", "heavy", "0", "-3", "501", "nan", "1e9"])
async def test_what_is_no_weight_is_refused_in_a_sentence(written: str) -> None:
    person = await Person().open()
    with pytest.raises(ValueError, match=r"load|weight"):
        await person.do.kit.add_weight(written)
    assert person.state.home.rack == Rack()
