"""The cues of this device: their mix is kept, and each can be tried."""

from __future__ import annotations

from somebody import Person

from companion.services.page_messages import Mix
from companion.views.home import cues
from engine.live.cues import PATTERNS_MS, CueKind


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
