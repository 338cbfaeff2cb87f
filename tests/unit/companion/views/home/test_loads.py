"""The proposals on the screen of kit and loads: in the person's unit, with their source."""

from __future__ import annotations

from flet_client import texts_of
from somebody import Person

from companion.views.home.loads import loads_part
from companion.words.saying import speaking
from engine.movements.movement import Kit


async def test_a_proposal_says_its_loads_in_the_persons_unit_and_where_it_comes_from() -> None:
    person = await Person().open()
    await person.do.kit.add_weight("10")
    await person.do.setup.choose_kit(Kit.single)
    await person.do.settings.set_unit("lb")
    with speaking(person.state.words):
        parts = loads_part(person.state, person.do.kit)
    said = [text.value for part in parts for text in texts_of(part)]
    assert any("Then start with 22 lb." in one for one in said)
    assert "† Our judgement, no source." in said
    assert not any(" kg" in one for one in said)
