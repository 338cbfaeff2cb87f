"""The start of a session: with the loads that are owned, for the first time and soon after."""

from __future__ import annotations

from builders import HAND
from somebody import Person, started

from engine.live.loads import load_of
from engine.load.rack import Rack
from engine.movements.movement import Kit
from engine.session.segment import Kind
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.models import KitOwned


async def test_the_loads_that_are_owned_shape_what_is_proposed_at_the_start() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_kit(
        KitOwned(dumbbells=Kit.pair, rack=Rack.of_weights((4_000, 6_000, 10_000), dumbbells=2))
    )
    person = await Person(store).open()
    await person.do.session.start()
    assert {one.load_g for one in person.state.run.proposals.values()} <= {4_000, 6_000, 10_000, 0}
    run = person.run
    told_g = {one.movement: load_of(run, one) for one in run.segments if one.kind is Kind.work}
    assert told_g.keys() >= {"hard-hinge", HAND.slug}
    assert {told_g["hard-hinge"], told_g[HAND.slug]} <= {4_000, 6_000, 10_000, 0}


async def test_a_second_session_soon_after_is_known_and_needs_no_first_time() -> None:
    person = await started()
    assert person.state.fit.care.first_time
    await person.later(900)
    await person.do.log.save()
    await person.do.setup.show()
    assert not person.state.fit.care.first_time
    await person.do.session.start()
    assert person.state.run.live is not None
